"""One body in every format: STL, OBJ, PLY, OFF, 3MF and GLB as trimesh writes them give one area; trimesh agrees."""

import numpy as np
import pytest
import trimesh

from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.read import read_body

MM = LENGTH_UNITS["mm"]


def body() -> trimesh.Trimesh:
    """Tube 40 outside, 16 inside, 50 long in 72 flats; its corners rounded to float32 as STL and GLB hold them."""
    made = trimesh.creation.annulus(8.0, 20.0, 50.0, sections=72)
    return trimesh.Trimesh(made.vertices.astype(np.float32).astype(float), made.faces, process=False)


@pytest.mark.parametrize("suffix", [".stl", ".obj", ".ply", ".off", ".3mf", ".glb"])
def test_one_body_in_every_format(suffix, tmp_path):
    made = body()
    file = tmp_path / f"tube{suffix}"
    out = made.copy()
    if suffix == ".glb":
        out.apply_scale(2.0**-10)  # an exact scale: glTF is in metres, so that the file says 1/1024 m to the mm
    out.export(file, **({"digits": 17} if suffix == ".obj" else {}))
    read = read_body(file, None if suffix in (".glb", ".3mf") else MM)
    scale = (1000.0 / 1024.0) ** 2 if suffix == ".glb" else 1.0
    assert read.facet_area_mm2 == pytest.approx(made.area * scale, rel=1e-9)
    assert read.closed
    assert read.bodies == 1


def test_an_ascii_stl_agrees_with_the_binary_one(tmp_path):
    made = body()
    made.export(tmp_path / "a.stl", file_type="stl_ascii")
    made.export(tmp_path / "b.stl")
    areas = [read_body(tmp_path / name, MM).facet_area_mm2 for name in ("a.stl", "b.stl")]
    assert areas[0] == pytest.approx(areas[1], rel=1e-9)
