"""STEP files that are not whole, and a kernel that crashes, hangs or eats memory: one clear line each."""

import re
import runpy
import sys
from pathlib import Path

import pytest

from areacalc.errors import BadInput
from areacalc.shape.fence import one_fence
from areacalc.shape.read import read_body
from areacalc.shape.step.read_step import read


@pytest.fixture
def whole(step_files):
    part = step_files.cut(step_files.box(), step_files.rod(2, 30, (5, 5, 0)))
    return step_files.write("whole.step", part)


def broken(path, text):
    other = path.with_name("broken.step")
    other.write_text(text)
    return other


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9, 0.999])
def test_cut_short(whole, share):
    text = whole.read_text()
    with pytest.raises(BadInput, match="cut short"):
        read(broken(whole, text[: int(share * len(text)) - 5]))


@pytest.mark.parametrize("kind", ["ADVANCED_FACE", "PLANE", "CYLINDRICAL_SURFACE", "VERTEX_POINT", "EDGE_CURVE",
                                  "FACE_BOUND", "CLOSED_SHELL", "DIRECTION", "CARTESIAN_POINT"])  # fmt: skip
def test_an_entity_that_is_missing(whole, kind):
    text, count = re.subn(rf"#\d+ = {kind}\([^;]*;\n", "", whole.read_text(), count=1)
    assert count == 1
    with pytest.raises(BadInput, match=r"#\d+: uses #\d+.*does not hold"):
        read(broken(whole, text))


@pytest.mark.parametrize("kind", ["ADVANCED_FACE", "PLANE", "CYLINDRICAL_SURFACE", "EDGE_CURVE", "EDGE_LOOP",
                                  "CLOSED_SHELL"])  # fmt: skip
def test_an_entity_that_is_of_another_kind(whole, kind):
    """The reference is there, what stands under it is no face, surface, edge: never half a part."""
    text, count = re.subn(rf"= {kind}\([^;]*;", "= CARTESIAN_POINT('',(0.,0.,0.));", whole.read_text(), count=1)
    assert count == 1
    with pytest.raises(BadInput):
        read(broken(whole, text))


@pytest.mark.parametrize(("what", "find", "put"), [
    ("a number is no number", r"CYLINDRICAL_SURFACE\('',(#\d+),[^)]*\)", r"CYLINDRICAL_SURFACE('',\1,'two')"),
    ("a parameter is missing", r"CYLINDRICAL_SURFACE\('',(#\d+),[^)]*\)", r"CYLINDRICAL_SURFACE('',\1)"),
    ("a radius is zero", r"CYLINDRICAL_SURFACE\('',(#\d+),[^)]*\)", r"CYLINDRICAL_SURFACE('',\1,0.)"),
    ("a face has no bound", r"ADVANCED_FACE\('',\([^)]*\)", "ADVANCED_FACE('',()"),
    ("a shell has no face", r"CLOSED_SHELL\('',\([^)]*\)", "CLOSED_SHELL('',()"),
    ("a direction is zero", r"DIRECTION\('',\(0\.,0\.,1\.\)\)", "DIRECTION('',(0.,0.,0.))"),
    ("a point is not finite", r"CARTESIAN_POINT\('',\(10\.", "CARTESIAN_POINT('',(1.E400"),
])  # fmt: skip
def test_what_makes_no_sense_is_refused_or_whole(whole, what, find, put):
    text, count = re.subn(find, put, whole.read_text(), count=1)
    assert count == 1
    try:
        body = read(broken(whole, text))
    except BadInput:
        return
    good = read(whole)
    assert sum(f.area_mm2 for f in body.faces) == pytest.approx(sum(f.area_mm2 for f in good.faces), rel=1e-6)


def with_representation(whole, item):
    text = whole.read_text()
    context = re.search(r"ADVANCED_BREP_SHAPE_REPRESENTATION\('',\([^)]*\),(#\d+)\)", text)[1]
    lines = f"#9001 = SHAPE_REPRESENTATION('',(#9002),{context});\n#9002 = {item};\n"
    return broken(whole, text.replace("ENDSEC;\nEND-ISO", f"{lines}ENDSEC;\nEND-ISO"))


def test_drawing_text_that_the_kernel_does_not_know_costs_nothing(whole):
    body = read(with_representation(whole, "LEADER_DIRECTED_CALLOUT('',())"))
    assert len(body.faces) == len(read(whole).faces)
    assert "annotation-damaged" in [note.code for note in body.notes]


def test_a_shape_that_the_kernel_does_not_know_is_refused_by_its_number(whole):
    with pytest.raises(BadInput, match=r"broken\.step, #9001 cannot be read"):
        read(with_representation(whole, "PERSON('','','',$,$,$)"))


@pytest.mark.parametrize("kind", ["AXIS2_PLACEMENT_3D", "ADVANCED_FACE", "CYLINDRICAL_SURFACE", "CLOSED_SHELL",
                                  "PRODUCT_DEFINITION_SHAPE", "SHAPE_DEFINITION_REPRESENTATION"])  # fmt: skip
def test_a_label_that_is_not_there_refuses_no_part(whole, kind):
    text = re.sub(rf"= {kind}\('[^']*'", f"= {kind}($", whole.read_text())
    body = read(broken(whole, text))
    good = read(whole)
    assert [f.area_mm2 for f in body.faces] == pytest.approx([f.area_mm2 for f in good.faces])
    assert body.size_mm == pytest.approx(good.size_mm)


def test_what_stands_behind_the_end_is_not_read(whole):
    trace = "TRACE:#6\n#7 = PKCS_TRACE({operation:'validation'});\n#8 = PKCS('MIIX');\nENDSEC;\n"
    assert len(read(broken(whole, whole.read_text() + trace)).faces) == len(read(whole).faces)


@pytest.mark.parametrize("note", ["DIMENSIONAL_SIZE(#9002,5)", "ANGULAR_SIZE(3,'',7)", "SHAPE_ASPECT('',4,#1,.T.)",
                                  "PLUS_MINUS_TOLERANCE(1,2)"])  # fmt: skip
def test_a_damaged_note_on_the_drawing_refuses_no_part(whole, note):
    text = whole.read_text().replace("ENDSEC;\nEND-ISO", f"#9001 = {note};\n#9002 = CARTESIAN_POINT('',(0.,0.,0.));\n"
                                     "ENDSEC;\nEND-ISO")  # fmt: skip
    body = read(broken(whole, text))
    assert len(body.faces) == len(read(whole).faces)
    assert "annotation-damaged" in [each.code for each in body.notes]


def test_a_plate_of_many_holes_is_whole(step_files):
    """A face of more than 150 edges is cut the kernel's quick way; its triangles still have its area."""
    maker = Path(__file__).parents[1] / "bench" / "bench_readers.py"
    plate = runpy.run_path(str(maker))["plate"]
    path = step_files.folder / "plate.step"
    path.write_bytes(plate(160))
    body = read(path)
    assert body.closed
    assert len(body.faces) == 166
    assert body.facet_area_mm2 == pytest.approx(sum(face.area_mm2 for face in body.faces), rel=2e-3)


def test_an_entity_given_twice(whole):
    text = whole.read_text()
    line = re.search(r"#\d+ = PLANE\([^;]*;\n", text)[0]
    with pytest.raises(BadInput, match="more than once"):
        read(broken(whole, text.replace("ENDSEC;\nEND-ISO", f"{line}ENDSEC;\nEND-ISO")))


def test_a_reference_within_a_string_is_no_reference(whole):
    path = broken(whole, whole.read_text().replace("PLANE(''", "PLANE('as #99999; it''s said'", 1))
    assert read(path).closed


def test_empty_and_renamed(tmp_path):
    for text, said in (("", "is empty"), ("a shopping list\n", "the name says STEP, but it is plain text")):
        path = tmp_path / "part.step"
        path.write_text(text)
        with pytest.raises(BadInput, match=said):
            read_body(path)


def test_no_solid_and_no_surface(step_files):
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.gp import gp_Pnt

    line = BRepBuilderAPI_MakeEdge(gp_Pnt(0, 0, 0), gp_Pnt(1, 2, 50)).Edge()
    with pytest.raises(BadInput, match="no solid and no surface"):
        read(step_files.write("line-only.step", line))


def test_an_assembly_whose_parts_are_in_other_files(tmp_path):
    path = tmp_path / "tray.step"
    path.write_text(
        "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=DOCUMENT_TYPE('');\n#2=DOCUMENT_FILE('rail.stp','','',#1,'',$);\n"
        "#3=DOCUMENT_FILE('hook.stp','','',#1,'',$);\nENDSEC;\nEND-ISO-10303-21;\n"
    )
    with pytest.raises(BadInput, match=r"keeps its parts in other files \(rail\.stp, hook\.stp\)"):
        read(path)


def test_a_name_with_spaces_and_other_letters(step_files):
    assert read(step_files.write("Knopf für Lämpchen ø.step", step_files.box())).closed


def test_a_kernel_that_hangs(whole, monkeypatch):
    monkeypatch.setenv("AREACALC_STEP_SECONDS", "0.05")
    with one_fence(), pytest.raises(BadInput, match=r"did not finish within 0 s.*AREACALC_STEP_SECONDS"):
        read(whole)


def test_a_kernel_that_eats_memory(whole, monkeypatch):
    monkeypatch.setenv("AREACALC_STEP_MEMORY_GB", "0.35")
    with one_fence(), pytest.raises(BadInput, match=r"kernel"):
        read(whole)


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script stands in for the interpreter")
def test_a_kernel_that_crashes(whole, monkeypatch, tmp_path):
    crashing = tmp_path / "python"
    crashing.write_text("#!/bin/sh\nkill -SEGV $$\n")
    crashing.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(crashing))
    with one_fence(), pytest.raises(BadInput, match=r"broke down while reading it \(signal 11\)"):
        read(whole)


@pytest.mark.parametrize("value", ["soon", "0", "-3", "nan", "inf", "1e308"])
def test_a_limit_that_is_no_number(whole, monkeypatch, value):
    monkeypatch.setenv("AREACALC_STEP_SECONDS", value)
    with pytest.raises(BadInput, match="not a number above zero"):
        read(whole)
