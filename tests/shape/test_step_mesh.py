"""Where the kernel's mesher drops or folds a face: found against the exact area, mended another way, and told."""

import math

import numpy as np
import pytest

from areacalc.shape.body import triangle_areas_mm2
from areacalc.shape.kinds import SurfaceKind


@pytest.fixture
def drops_whole_cones(monkeypatch):
    """The kernel's mesher, which leaves some whole cones without a triangle, made to do so always."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.BRepTools import BRepTools
    from OCP.GeomAbs import GeomAbs_Cone
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopoDS import TopoDS

    from areacalc.shape.step import step_mesh

    def mesh(shape, *settings):
        BRepMesh_IncrementalMesh(shape, *settings)
        for face in step_mesh.pieces(shape, TopAbs_FACE):
            sheet = BRepAdaptor_Surface(TopoDS.Face(face), True)
            if sheet.GetType() == GeomAbs_Cone and sheet.LastUParameter() - sheet.FirstUParameter() > 6.28:
                BRepTools.Clean_s(face)

    monkeypatch.setattr(step_mesh, "BRepMesh_IncrementalMesh", mesh)


@pytest.mark.usefixtures("drops_whole_cones")
def test_a_cone_that_the_mesher_drops_is_there(step_files):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone

    from areacalc.shape.step import step_kernel

    sink = step_files.cut(step_files.rod(14, 7), BRepPrimAPI_MakeCone(11.0, 4.0, 7.0).Shape())
    body = step_kernel.read_part(step_files.write("countersunk.step", sink))
    cone = math.pi * 15 * math.hypot(7, 7)
    wanted = 2 * math.pi * 14 * 7 + cone + math.pi * (196 - 16) + math.pi * (196 - 121)
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(wanted, rel=1e-9)
    (row,) = (row for row, face in enumerate(body.faces) if face.surface.kind is SurfaceKind.CONE)
    mine = body.triangles[body.face_of_triangle == row]
    assert triangle_areas_mm2(body.vertices, mine).sum() == pytest.approx(cone, rel=3e-3)
    corners = body.vertices[body.triangles]
    assert np.linalg.det(corners).sum() / 6 == pytest.approx(math.pi * (196 * 7 - 7 * (121 + 44 + 16) / 3), rel=1e-2)
    assert not {"mesh-differs", "mesh-open"} & {note.code for note in body.notes}


def test_a_mesher_that_makes_nothing_leaves_no_face_out(step_files, monkeypatch):
    from areacalc.shape.step import step_kernel, step_mesh

    path = step_files.write("unmeshed.step", step_files.rod(10, 30))
    monkeypatch.setattr(step_mesh, "BRepMesh_IncrementalMesh", lambda *_: None)
    body = step_kernel.read_part(path)
    assert set(body.face_of_triangle.tolist()) == {0, 1, 2}
    assert sum(face.area_mm2 for face in body.faces) == pytest.approx(2 * math.pi * 10 * 40, rel=1e-9)
    assert "mesh-differs" in [note.code for note in body.notes]
    wall = next(face for face in body.faces if face.surface.kind is SurfaceKind.CYLINDER)
    assert wall.area_error_mm2 > 0.1 * wall.area_mm2  # what the triangles miss is in the bounds


def test_no_face_without_triangles_goes_through(step_files, monkeypatch):
    from areacalc.errors import BadInput
    from areacalc.shape.step import step_kernel, step_mesh

    path = step_files.write("dropped.step", step_files.rod(10, 30))
    monkeypatch.setattr(step_mesh, "BRepMesh_IncrementalMesh", lambda *_: None)
    monkeypatch.setattr(step_mesh, "_fan", lambda face, _: step_mesh.face_mesh(face))
    with pytest.raises(BadInput, match="cannot be meshed"):
        step_kernel.read_part(path)


def test_every_part_of_a_divided_shape_faces_outward(step_files):
    """Faces cut in two keep their side, also where the file turns them round."""
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopoDS import TopoDS

    from areacalc.shape.step.step_faces import exact_area_mm2
    from areacalc.shape.step.step_mesh import _split
    from areacalc.shape.step.step_parts import pieces

    tube = step_files.cut(step_files.rod(20, 50), step_files.rod(8, 50))
    faces = [TopoDS.Face(f) for f in pieces(tube, TopAbs_FACE)]
    areas = [exact_area_mm2(f)[0] for f in faces]
    made = _split(tube, faces, areas, [1.0] * len(faces), 0.05)
    volume = sum(np.linalg.det(m.vertices[m.triangles]).sum() / 6 for m in made.faces)
    assert volume == pytest.approx(math.pi * (400 - 64) * 50, rel=1e-2)
    assert [m.area_mm2 for m in made.faces] == pytest.approx(areas, rel=1e-2)


@pytest.mark.parametrize(("beside", "facets"), [(None, 50), ((-5, -5, -8), 84)])
def test_a_body_that_may_touch_another_has_finer_facets(step_files, beside, facets):
    """A pin alone, or standing on a block: how many points its upper rim has."""
    from areacalc.shape.step import step_kernel

    others = [] if beside is None else [step_files.box(10, 10, 8, beside)]
    body = step_kernel.read_part(step_files.write(f"pin-{facets}.step", step_files.rod(3, 12), *others))
    rim = np.abs(body.vertices[:, 2] - 12) < 1e-9
    assert np.count_nonzero(rim) == pytest.approx(facets, abs=2)
