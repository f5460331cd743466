"""Assemblies, colours, what stands beside a solid, triangles in STEP, and units that differ in one file."""

import math
import re

import pytest

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.step.read_step import read


def codes(body):
    return {note.code for note in body.notes}


def exact_mm2(body) -> float:
    return math.fsum(face.area_mm2 for face in body.faces)


def test_one_part_at_two_places(step_files):
    body = read(step_files.rack())
    assert body.solids == ("left knob", "rechter Knopf Ø")
    assert exact_mm2(body) == pytest.approx(4400.0, rel=1e-9)
    assert body.topology.shell_count == 2
    assert body.closed
    assert len(body.faces) == 12
    red = [f for f in body.faces if f.colour == (255, 0, 0)]
    green = [f for f in body.faces if f.colour is not None and f.colour[0] == 0]
    assert (len(red), len(green)) == (2, 10)
    turned = body.vertices[body.triangles[body.solid_of_triangle == 1]].reshape(-1, 3)
    assert turned[:, 0].max() == pytest.approx(100 + 10 * math.cos(1.0), rel=1e-9)


def test_names_of_faces_are_kept(step_files):
    path = step_files.write("named.step", step_files.box())
    text = path.read_text().replace("ADVANCED_FACE(''", "ADVANCED_FACE('seat'", 1)
    path.write_text(text)
    assert [face.name for face in read(path).faces].count("seat") == 1


def test_two_solids_are_two_bodies(step_files):
    body = read(step_files.write("two.step", step_files.box(), step_files.box(5, 5, 5, (100, 0, 0))))
    assert len(body.solids) == 2
    assert exact_mm2(body) == pytest.approx(2350.0, rel=1e-12)


@pytest.mark.parametrize("joined", [False, True])
def test_a_drawing_plane_beside_a_solid_is_no_skin(step_files, joined):
    shapes = step_files.box(), step_files.plane(7, 100)
    body = read(step_files.write("beside.step", *([step_files.together(*shapes)] if joined else shapes)))
    assert exact_mm2(body) == pytest.approx(2200.0, rel=1e-12)
    (note,) = [n for n in body.notes if n.code == "faces-left-out"]
    assert note.fact["area"].estimate.value == pytest.approx(49.0)
    assert note.warns


def test_lines_and_points_are_left_out(step_files):
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.gp import gp_Pnt

    line = BRepBuilderAPI_MakeEdge(gp_Pnt(0, 0, 0), gp_Pnt(1, 2, 50)).Edge()
    body = read(step_files.write("line.step", step_files.together(step_files.box(), line)))
    assert exact_mm2(body) == pytest.approx(2200.0, rel=1e-12)
    assert "wires-left-out" in codes(body)


def test_open_surfaces_alone_are_read_and_flagged(step_files):
    body = read(step_files.write("open.step", step_files.plane(7, 0)))
    assert exact_mm2(body) == pytest.approx(49.0, rel=1e-12)
    assert not body.closed
    assert "open-surfaces" in codes(body)


@pytest.fixture
def tessellating():
    from OCP.Interface import Interface_Static

    Interface_Static.SetCVal_s("write.step.tessellated", "On")
    yield
    Interface_Static.SetCVal_s("write.step.tessellated", "OnNoBRep")


@pytest.mark.usefixtures("tessellating")
def test_triangles_alone_are_read_as_a_mesh(step_files):
    path = step_files.write("triangles.step", step_files.triangles_of(step_files.rod(5, 20)), schema="AP242DIS")
    assert "ADVANCED_FACE" not in path.read_text()
    body = read(path)
    assert body.faces == ()
    assert len(body.face_of_triangle) == 0
    assert body.closed
    assert "tessellated" in codes(body)
    assert body.facet_area_mm2 == pytest.approx(2 * math.pi * 5 * 25, rel=1e-2)


@pytest.mark.usefixtures("tessellating")
@pytest.mark.parametrize("linked", [True, False])
def test_a_part_stored_twice_counts_once(step_files, linked):
    from OCP.BRepMesh import BRepMesh_IncrementalMesh

    rod = step_files.rod(5, 20)
    triangles = step_files.triangles_of(rod)
    if linked:
        BRepMesh_IncrementalMesh(rod, 0.1, False, 0.3, False)
        path = step_files.write("linked.step", rod, schema="AP242DIS")
    else:
        path = step_files.write("twice.step", step_files.together(rod, triangles), schema="AP242DIS")
    assert "TESSELLATED" in path.read_text()
    assert "ADVANCED_FACE" in path.read_text()
    body = read(path)
    assert exact_mm2(body) == pytest.approx(2 * math.pi * 5 * 25, rel=1e-11)
    assert body.facet_area_mm2 == pytest.approx(2 * math.pi * 5 * 25, rel=2e-3)
    assert (body.face_of_triangle >= 0).all()


def mixed(step_files):
    """Two boxes; the second one's context is turned from mm to inch, so it is 25.4 times as large."""
    path = step_files.write("mixed.step", step_files.box(), step_files.box(1, 1, 1, (3, 3, 3)))
    text = path.read_text()
    found = list(re.finditer(r"#(\d+) = \( LENGTH_UNIT\(\) NAMED_UNIT\(\*\) SI_UNIT\(\.MILLI\.,\.METRE\.\) \);", text))
    unit = found[-1]
    inch = (
        f"#{unit[1]} = ( CONVERSION_BASED_UNIT('INCH',#9002) LENGTH_UNIT() NAMED_UNIT(#9001) );\n"
        "#9001 = DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
        "#9002 = LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#9003);\n"
        "#9003 = ( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );"
    )
    path.write_text(text[: unit.start()] + inch + text[unit.end() :])
    return path


def test_units_that_differ_within_one_file(step_files):
    body = read(mixed(step_files))
    assert exact_mm2(body) == pytest.approx(2200.0 + 6 * 25.4**2, rel=1e-9)
    assert "unit-mixed" in codes(body)


def test_mixed_units_cannot_be_overruled(step_files):
    with pytest.raises(BadInput, match="mixes units"):
        read(mixed(step_files), LENGTH_UNITS["in"])


def test_a_part_without_a_name_of_its_own_has_its_assemblys(step_files):
    """Where a product's solid stands beside its drawing lines, the kernel makes a nameless part of it."""
    path = step_files.rack("nameless.step")
    text = path.read_text().replace("PRODUCT('knob','knob'", "PRODUCT('',''").replace("'left knob'", "''")
    text = re.sub(r"USAGE_OCCURRENCE\('[^']*','',", "USAGE_OCCURRENCE('','',", text)
    path.write_text(text.replace("MANIFOLD_SOLID_BREP('knob'", "MANIFOLD_SOLID_BREP(''"))
    assert read(path).solids == ("rack", "rechter Knopf Ø")


@pytest.mark.parametrize("scale", [-1.0, 2.0])
def test_a_mirrored_place_turns_the_mesh_round_and_a_scaled_one_is_refused(step_files, scale):
    import numpy as np
    from OCP.gp import gp_Pnt, gp_Trsf
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    from areacalc.shape.step.step_collect import collect

    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    part = tool.AddShape(step_files.cut(step_files.box(), step_files.rod(2, 30, (5, 5, 0))), False)
    whole = tool.NewShape()
    place = gp_Trsf()
    if scale < 0:
        place.SetMirror(gp_Pnt(0, 0, 0))
    else:
        place.SetScaleFactor(scale)
    tool.AddComponent(whole, part, TopLoc_Location(place))
    tool.UpdateAssemblies()
    if scale > 0:
        with pytest.raises(BadInput, match="at another scale"):
            collect("rack.step", document)
        return
    body = collect("rack.step", document)
    corners = body.vertices[body.triangles]
    assert np.linalg.det(corners).sum() / 6 == pytest.approx(6000 - math.pi * 4 * 30, rel=1e-3)
    assert body.vertices.max(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
    assert body.vertices.min(axis=0) == pytest.approx([-10.0, -20.0, -30.0])
