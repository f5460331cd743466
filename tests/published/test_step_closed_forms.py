"""STEP parts made and measured by Open CASCADE: closed forms, and the kernel's own BRepGProp surface properties."""

import math

import pytest

from areacalc.part.part import open_part

PI = math.pi


@pytest.fixture
def save(tmp_path):
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    def write(shape, name="part.step"):
        writer = STEPControl_Writer()
        writer.Transfer(shape, STEPControl_AsIs)
        writer.Write(str(tmp_path / name))
        return tmp_path / name

    return write


def kernel_area(shape):
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties, 1e-9)
    return properties.Mass()


def tube():
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder

    return BRepAlgoAPI_Cut(
        BRepPrimAPI_MakeCylinder(20.0, 50.0).Shape(), BRepPrimAPI_MakeCylinder(8.0, 50.0).Shape()
    ).Shape()


def box():
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox

    return BRepPrimAPI_MakeBox(25.0, 25.0, 25.0).Shape()


def torus():
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeTorus

    return BRepPrimAPI_MakeTorus(25.0, 6.0).Shape()


CASES = {
    "tube": (tube, 2 * PI * 28 * 50 + 2 * PI * (400 - 64)),
    "box": (box, 3750.0),
    "torus": (torus, 4 * PI**2 * 25 * 6),
}


@pytest.mark.parametrize("case", CASES)
def test_a_step_part_has_its_closed_form_area(case, save):
    make, exact = CASES[case]
    wetted = open_part(save(make())).wetted()
    assert wetted.value.value == pytest.approx(exact, rel=1e-9)
    assert wetted.value.low <= exact * (1 + 1e-12)
    assert exact * (1 - 1e-12) <= wetted.value.high
    assert wetted.value.value == pytest.approx(kernel_area(make()), rel=1e-6)


def test_the_tubes_bore_is_found_with_its_size(save):
    part = open_part(save(tube()))
    bore = next(f for f in part.skin.features if f.kind == "through-bore")
    assert bore.diameter_mm == pytest.approx(16.0, rel=1e-9)
    assert bore.depth_mm == pytest.approx(50.0, rel=1e-9)
    assert bore.area_mm2.value == pytest.approx(2 * PI * 8 * 50, rel=1e-9)


def loose(faces):
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    whole, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(whole)
    for face in faces:
        builder.Add(whole, face)
    return whole


def faces_of(shape):
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer

    explorer, found = TopExp_Explorer(shape, TopAbs_FACE), []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def test_open_surfaces_have_wide_bounds_that_hold_both_readings(save):
    """Five sides of a box: the sixth may be lost (3750), or the sheet may be wet on both sides (6250)."""
    part = open_part(save(loose(faces_of(box())[:5])))
    wetted = part.wetted().value
    assert wetted.value == pytest.approx(5 * 625.0, rel=1e-12)
    assert wetted.low <= 3125.0
    assert wetted.high == pytest.approx(6250.0, rel=1e-9)
    assert "open" in {note.code for note in part.wetted().notes if note.warns}


def test_loose_faces_that_close_are_a_skin(save):
    part = open_part(save(loose(faces_of(box()))))
    wetted = part.wetted().value
    assert (wetted.low, wetted.high) == pytest.approx((3750.0, 3750.0), rel=1e-9)
    assert "faces-close" in {note.code for note in part.body.notes}
