"""The one door for files: what a file really is, what its unit is, and what is not let in."""

import contextlib
import os
import shutil
import stat
from pathlib import Path

import numpy as np
import pytest
import trimesh

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.kinds import UnitHow
from areacalc.shape.read import FORMATS, read_body

BOX = trimesh.creation.box((30, 20, 10))
MESHES = ["stl", "obj", "ply", "off", "3mf", "glb"]


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    folder = tmp_path_factory.mktemp("box")
    for kind in MESHES:
        BOX.export(folder / f"box.{kind}")
    (folder / "box.step").write_bytes(b"ISO-10303-21;\nHEADER;\n")
    return folder


@pytest.mark.parametrize("really", [*MESHES, "step"])
@pytest.mark.parametrize("named", MESHES)
def test_a_file_under_a_wrong_name_is_told_its_right_one(files, tmp_path, really, named):
    if really == named:
        assert read_body(files / f"box.{really}").bodies == 1
        return
    path = tmp_path / f"part.{named}"
    path.write_bytes((files / f"box.{really}").read_bytes())
    with pytest.raises(BadInput) as refused:
        read_body(path)
    assert f"name it part.{really}" in str(refused.value)


@pytest.mark.parametrize(("content", "word"), [
    (b"\x1f\x8b\x08" + bytes(40), "is packed (gzip); unpack it"),
    (b"%PDF-1.7 drawing" + bytes(90), "it is a PDF file"),
    (b"shopping list: soda, dye, gloves", "it is plain text of no known kind"),
    (b"<html><body>sign in</body></html>", "it is an HTML file"),
    (b"\x89PNG\r\n\x1a\n" + bytes(90), "it is a picture"),
], ids=["gzip", "pdf", "text", "html", "png"])  # fmt: skip
@pytest.mark.parametrize("suffix", [".stl", ".obj", ".ply", ".off", ".3mf", ".glb", ".gltf"])
def test_what_is_no_part_at_all_is_named(tmp_path, content, word, suffix):
    path = tmp_path / f"part{suffix}"
    path.write_bytes(content)
    with pytest.raises(BadInput) as refused:
        read_body(path)
    assert word in str(refused.value)


@pytest.mark.parametrize("suffix", sorted(FORMATS))
def test_an_empty_file_is_said_to_be_empty(tmp_path, suffix):
    path = tmp_path / f"part{suffix}"
    path.write_bytes(b"")
    with pytest.raises(BadInput, match="is empty"):
        read_body(path)


def test_an_unknown_ending_lists_the_known_ones(tmp_path):
    path = tmp_path / "part.xyz"
    path.write_bytes(b"1 2 3")
    with pytest.raises(BadInput, match=r"no '\.xyz' file can be read; export as one of \.stl \.step"):
        read_body(path)


def test_a_folder_a_missing_file_and_a_pipe_are_not_opened(tmp_path):
    with pytest.raises(BadInput, match="is a folder"):
        read_body(tmp_path)
    with pytest.raises(BadInput, match="there is no such file"):
        read_body(tmp_path / "no.stl")
    pipe = tmp_path / "pipe.stl"
    os.mkfifo(pipe)
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    with pytest.raises(BadInput, match="is a pipe or a device"):
        read_body(pipe)  # would wait for ever if it were opened


@pytest.mark.parametrize(
    ("size", "away", "said"),
    [
        (1e-9, 0.0, "1e-08 mm long"),
        (1e-300, 0.0, "mm long"),
        (1e9, 0.0, "1e\\+10 mm long"),
        (1.0, 1e12, "1e\\+12 mm from"),
    ],
)
def test_what_is_too_small_too_large_or_too_far_away_is_told(tmp_path, size, away, said):
    corners = np.array([[0, 0, 0], [10, 0, 0], [0, 10, 0], [0, 0, 10]]) * size + away
    lines = ["v " + " ".join(map(repr, row)) for row in corners.tolist()]
    (tmp_path / "part.obj").write_text("\n".join([*lines, "f 1 3 2", "f 1 2 4", "f 2 3 4", "f 1 4 3"]))
    with pytest.raises(BadInput, match=said):
        read_body(tmp_path / "part.obj")


def test_a_file_that_may_not_be_read_is_one_line(files, monkeypatch):
    def forbid(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", forbid)
    with pytest.raises(BadInput, match=r"box\.stl may not be read; ask"):
        read_body(files / "box.stl")


@pytest.mark.parametrize("kind", MESHES)
@pytest.mark.parametrize("name", ["Lampenknopf grün", "руль", "ノブ 2"])
def test_names_with_spaces_and_any_letters_work(files, tmp_path, kind, name):
    path = tmp_path / f"{name}.{kind.upper()}"
    path.write_bytes((files / f"box.{kind}").read_bytes())
    assert read_body(path).name == name


@pytest.mark.parametrize(("kind", "how", "declared"), [
    ("stl", UnitHow.ASSUMED, "mm"), ("obj", UnitHow.ASSUMED, "mm"), ("ply", UnitHow.ASSUMED, "mm"),
    ("off", UnitHow.ASSUMED, "mm"), ("3mf", UnitHow.DECLARED, "mm"), ("glb", UnitHow.DECLARED, "m"),
])  # fmt: skip
def test_the_unit_is_the_persons_then_the_files_then_mm(files, kind, how, declared):
    path = files / f"box.{kind}"
    body = read_body(path)
    assert (body.unit.how, body.unit.name) == (how, declared)
    assert ("unit-assumed" in {note.code for note in body.notes}) == (how is UnitHow.ASSUMED)
    given = read_body(path, LENGTH_UNITS["cm"])
    assert (given.unit.how, given.size_mm) == (UnitHow.GIVEN, pytest.approx((300, 200, 100), rel=1e-6))
    assert ("unit-overruled" in {note.code for note in given.notes}) == (how is UnitHow.DECLARED)


@pytest.mark.parametrize(("factor", "said"), [(1 / 25.4, "in (30 mm long)"), (1e-3, "m (30 mm long)"),
                                              (1e3, "um (30 mm long)"), (1.0, None)])  # fmt: skip
def test_a_size_that_is_odd_in_mm_is_a_warning_and_never_a_guess(tmp_path, factor, said):
    path = tmp_path / "part.off"
    BOX.copy().apply_scale(factor).export(path)
    body = read_body(path)
    assert body.unit.mm == 1.0
    warning = [note.fact["fits"] for note in body.notes if note.code == "unit-implausible"]
    assert (said is None) == (warning == [])
    assert said is None or said in warning[0]


@pytest.mark.parametrize(("unit", "odd"), [("in", True), ("mm", False), ("um", True), ("m", True)])
def test_a_unit_given_that_makes_an_odd_part_is_told_with_the_one_that_fits(tmp_path, unit, odd):
    path = tmp_path / "part.off"
    BOX.copy().apply_scale(4.0).export(path)  # 120 long
    warning = [note for note in read_body(path, LENGTH_UNITS[unit]).notes if note.code == "unit-implausible"]
    assert bool(warning) == odd
    assert [note.fact["fits"] for note in warning] == [("mm (120 mm long)",)] * odd


@pytest.mark.parametrize("kind", MESHES)
@pytest.mark.parametrize("part", np.linspace(0.02, 0.98, 13).tolist())
def test_a_file_cut_anywhere_is_refused_or_still_a_part(files, tmp_path, kind, part):
    whole = (files / f"box.{kind}").read_bytes()
    path = tmp_path / f"cut.{kind}"
    path.write_bytes(whole[: int(part * len(whole))])
    if kind == "obj":  # its text can be cut between two faces without a sign of it
        with contextlib.suppress(BadInput):
            assert read_body(path).facet_area_mm2 <= BOX.area * (1 + 1e-9)
        return
    with pytest.raises(BadInput) as refused:
        read_body(path)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("kind", MESHES)
def test_noise_in_a_file_never_ends_in_a_traceback(files, tmp_path, kind):
    whole = np.frombuffer((files / f"box.{kind}").read_bytes(), np.uint8)
    rng = np.random.default_rng(20)
    path = tmp_path / f"noisy.{kind}"
    refused = 0
    for _ in range(60):
        noisy = whole.copy()
        noisy[rng.integers(0, len(noisy), 4)] = rng.integers(0, 256, 4)
        path.write_bytes(noisy.tobytes())
        try:
            read_body(path)
        except BadInput:
            refused += 1
    assert refused > 0


@pytest.mark.skipif(os.name == "nt", reason="names are letters there, not bytes")
@pytest.mark.parametrize("kind", ["stl", "obj"])
def test_a_name_of_bytes_that_are_no_utf_8_can_be_printed(files, tmp_path, kind):
    path = os.fsdecode(os.fsencode(tmp_path) + b"/kn\xffob." + kind.encode())
    shutil.copy(files / f"box.{kind}", path)
    body = read_body(Path(path))
    assert (body.name, body.source) == ("kn\ufffdob", f"kn\ufffdob.{kind}")
    body.name.encode("utf-8")
