"""Runs commands on small parts with every loop called twice, compiled and as plain Python; stops where they differ."""

import contextlib
import importlib.util
import io
import itertools
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import manifold3d as m3
import numpy as np
from stl import mesh

ROOT = Path(__file__).parent.parent
SOURCES = sorted((ROOT / "areacalc").rglob("*_loops.py"))
COMMANDS = [
    "area {room}/cup.stl --unit mm",
    "hang {room}/cup.stl --unit mm --up z- --least-gap 3mm",
]
waiting: set[str] = set()


def both(name: str, compiled: Callable[..., Any], plain: Callable[..., Any]) -> Callable[..., Any]:
    """The compiled function, held against the plain one the first thousand times that it is called."""
    times = itertools.count()

    def called(*given: Any) -> Any:
        if next(times) >= 1000:
            return compiled(*given)
        copies = [np.copy(one) if isinstance(one, np.ndarray) else one for one in given]
        with np.errstate(all="ignore"):
            expected = plain(*copies)
        found = compiled(*given)
        same(name, found, expected)
        same(f"{name}, its arguments", given, copies)
        waiting.discard(name)
        return found

    return called


def same(name: str, found: Any, expected: Any) -> None:
    if isinstance(expected, (tuple, list)):
        assert len(found) == len(expected), name
        for one, other in zip(found, expected, strict=True):
            same(name, one, other)
    elif isinstance(expected, np.ndarray):
        assert (found.dtype, found.shape) == (expected.dtype, expected.shape), name
        np.testing.assert_allclose(found, expected, rtol=1e-12, atol=1e-12, err_msg=name)
    else:
        assert found == expected or abs(found - expected) <= 1e-12 * abs(expected), (name, found, expected)


def plain_module(source: Path, name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"{name}_plain", source)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def double(source: Path) -> None:
    name = ".".join(source.relative_to(ROOT).with_suffix("").parts)
    compiled, plain = importlib.import_module(name), plain_module(source, name)
    for word, function in vars(plain).items():
        if callable(function) and function.__module__ == plain.__name__ and hasattr(compiled, word):
            waiting.add(f"{name}.{word}")
            setattr(compiled, word, both(f"{name}.{word}", getattr(compiled, word), function))


def cup(to: Path) -> None:
    """A round-bottomed cup with a slit across its wall, in few flats."""
    solid = m3.Manifold.cylinder(20.0, 10.0, 9.0, 24) - m3.Manifold.cylinder(20.0, 6.0, 6.0, 24).translate((0, 0, 8))
    solid -= m3.Manifold.sphere(6.0, 24).translate((0, 0, 8))
    flats = (solid - m3.Manifold.cube((30.0, 1.0, 3.0)).translate((0.0, -0.5, 12.0))).to_mesh()
    written = mesh.Mesh(np.zeros(len(flats.tri_verts), mesh.Mesh.dtype))
    written.vectors = flats.vert_properties[flats.tri_verts]
    written.save(to)


def called_alone() -> None:
    """The loops that small parts do not come to."""
    from areacalc.shape.mesh.boxes import BoxTree
    from areacalc.shape.mesh.boxes_loops import wider
    from areacalc.shape.mesh.measure_loops import winding_number, winding_numbers
    from areacalc.surface.air.air_loops import first_hit
    from areacalc.surface.contact_loops import overlaps
    from areacalc.surface.features.smooth_loops import bulge, corner_normals
    from areacalc.surface.picture_loops import nearest

    places = np.random.default_rng(1).random((90, 3, 3)) + 0.1 * np.arange(90)[:, None, None]
    points, corners = places.reshape(-1, 3), np.arange(270, dtype=np.int32).reshape(-1, 3)
    tree = BoxTree(places.min(axis=1), places.max(axis=1))
    wider(corners[:, :2].copy())
    overlaps(places[:-1, :, :2].copy(), places[1:, :, :2].copy())
    tree.overlaps(tree.low, tree.high)
    nearest(points * 4.0, corners, 40, 30, np.array([1.0, 0.5, 0.0, -2.0]))
    winding_number(places, np.array([0.3, 0.4, 0.5]))
    winding_numbers(places, np.array([[0.3, 0.4, 0.5], [90.0, 0.0, 0.0]]))
    x, y, z = np.eye(3)
    first_hit(points, corners, tree.node_low, tree.node_high, tree.order, points[0], -1, z, x, y, 9.0)
    skin = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    normal = corner_normals(points, skin, 2)
    bulge(points, skin, normal, np.full((2, 3), 0.2), np.ones((2, 3), np.uint8))


if __name__ == "__main__":
    for source in SOURCES:
        double(source)
    from areacalc_cli.main import app

    with tempfile.TemporaryDirectory() as room, contextlib.redirect_stdout(io.StringIO()):
        cup(Path(room, "cup.stl"))
        for command in COMMANDS:
            app(command.format(room=room).split(), standalone_mode=False)
    called_alone()
    print("not called:", ", ".join(sorted(waiting)) or "none")  # noqa: T201
