"""Files changed at random: every reader ends in a body or one clear line, whatever was changed.

`AREACALC_FUZZ=20000` in the environment tries so many of each.
"""

import base64
import itertools
import json
import os
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput
from areacalc.shape.fence import one_fence
from areacalc.shape.read import FORMATS, read_body

pytestmark = pytest.mark.slow
BOX = trimesh.creation.box((30, 20, 10))
SAMPLES = Path(__file__).parents[2] / "sample_models"
SPOTS = ((0, 5), (30, 5), (40, 8), (60, 8))
LINES = "".join(f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n" for (a, b), (c, d) in itertools.pairwise(SPOTS))
WORDS = [b"", b" ", b"\n", b"0", b"-1", b"1e400", b"nan", b"inf", b"9" * 30, b"9" * 5000, b"-", b"#", b"(", b")", b"$"]
WORDS += [b"'", b'"', b"\\", b"/*", b"*/", b";", b"<", b">", b"{}", b"[", b"null", b"\xff", b"\x00", "ä".encode()]


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """A sound file of each kind, by its ending."""
    folder = tmp_path_factory.mktemp("sound")
    for kind in ("stl", "obj", "ply", "off", "3mf", "glb"):
        BOX.export(folder / f"box.{kind}")
    BOX.export(folder / "text.stl", file_type="stl_ascii")
    BOX.export(folder / "text.ply", encoding="ascii")
    points = BOX.vertices[BOX.faces.ravel()].astype("<f4").tobytes()
    (folder / "box.gltf").write_text(json.dumps({
        "asset": {"version": "2.0"}, "scenes": [{"nodes": [0]}], "nodes": [{"children": [1]}, {"mesh": 0, "name": "b"}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 36, "type": "VEC3"}],
        "bufferViews": [{"buffer": 0, "byteLength": len(points)}],
        "buffers": [{"byteLength": len(points), "uri": "data:;base64," + base64.b64encode(points).decode()}],
    }))  # fmt: skip
    (folder / "half.dxf").write_text(f"0\nSECTION\n2\nENTITIES\n{LINES}0\nENDSEC\n0\nEOF\n")
    (folder / "half.csv").write_text("x [mm];Durchmesser\n0;20\n30;20;r1\n30;12\n50;12\n")
    (folder / "pen.toml").write_bytes((SAMPLES / "pen-body.toml").read_bytes())
    return sorted(folder.iterdir())


change = st.tuples(
    st.floats(0, 1, exclude_max=True), st.integers(0, 40), st.sampled_from(WORDS) | st.binary(max_size=8)
)


def changed(content: bytes, changes: list[tuple[float, int, bytes]]) -> bytes:
    for share, length, put in changes:
        at = int(share * len(content))
        content = content[:at] + put + content[at + length :]
    return content


def tried(times: int) -> settings:
    more = int(os.environ.get("AREACALC_FUZZ", times))
    return settings(max_examples=more, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def outcome(path: Path) -> None:
    try:
        said = str(read_body(path).facet_area_mm2)
    except BadInput as refused:
        said = str(refused)
    assert "\n" not in said
    assert len(said) < 600
    assert said not in ("nan", "inf")


@tried(150)
@given(st.data())
def test_a_changed_file_is_a_body_or_one_line(sound, tmp_path, data):
    whole = data.draw(st.sampled_from(sound), "file")
    path = tmp_path / f"part{whole.suffix}"
    path.write_bytes(changed(whole.read_bytes(), data.draw(st.lists(change, min_size=1, max_size=4), "changes")))
    with one_fence():
        outcome(path)


@tried(60)
@given(st.lists(change, min_size=1, max_size=4))
def test_a_changed_model_inside_its_package(sound, tmp_path, changes):
    """Past the sum that the zip holds over its contents, which refuses nearly all changes to the file itself."""
    path = tmp_path / "part.3mf"
    with zipfile.ZipFile(next(each for each in sound if each.suffix == ".3mf")) as package:
        model = package.read("3D/3dmodel.model")
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("3D/3dmodel.model", changed(model, changes))
    outcome(path)


@tried(40)
@given(st.lists(change, min_size=1, max_size=3))
def test_a_changed_step_file(step_files, changes):
    whole = step_files.write("fuzzed-whole.step", step_files.cut(step_files.box(), step_files.rod(2, 30, (5, 5, 0))))
    path = whole.with_name("fuzzed.step")
    path.write_bytes(changed(whole.read_bytes(), changes))
    with one_fence():
        outcome(path)


@pytest.mark.parametrize("suffix", sorted(FORMATS))
def test_noise_alone_is_one_line(tmp_path, suffix):
    path = tmp_path / f"part{suffix}"
    for seed in range(20):
        path.write_bytes(np.random.default_rng(seed).bytes(2000))
        outcome(path)
