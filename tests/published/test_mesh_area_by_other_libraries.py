"""The area of a mesh file as trimesh, numpy-stl and VTK add it up, and four formats of one body against each other.

VTK (Kitware's vtkMassProperties) is used where it is installed: areacalc[peers].
"""

import numpy as np
import pytest
import trimesh

from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.read import read_body

SHAPES = {
    "ball": trimesh.creation.icosphere(4, 12.5),
    "ring": trimesh.creation.torus(20.0, 4.0),
    "tube": trimesh.creation.annulus(4.0, 6.0, 110.0),
    "bar": trimesh.creation.box((80.0, 12.0, 3.0)),
}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "ply", "off", "obj", "3mf", "glb"])
def test_the_area_is_that_of_trimesh(tmp_path, name, kind):
    path = tmp_path / f"part.{kind.partition('_')[0]}"
    SHAPES[name].export(path, file_type=kind)
    ours = read_body(path, LENGTH_UNITS["mm"]).facet_area_mm2
    assert ours == pytest.approx(trimesh.load_mesh(path, process=False).area, rel=1e-9)


@pytest.mark.parametrize("name", SHAPES)
def test_one_body_in_four_formats_has_one_area(tmp_path, name):
    mesh = SHAPES[name].copy()
    mesh.vertices = mesh.vertices.astype(np.float32)  # what STL and GLB can hold, so that the files hold the same
    areas = {}
    for kind in ("stl", "obj", "3mf", "glb"):
        path = tmp_path / f"part.{kind}"
        options = {"digits": 12} if kind == "obj" else {}
        mesh.export(path, **options)
        areas[kind] = read_body(path, LENGTH_UNITS["mm"]).facet_area_mm2
    assert [area / areas["stl"] for area in areas.values()] == pytest.approx([1.0] * 4, rel=1e-9)


@pytest.mark.parametrize("name", SHAPES)
def test_the_area_of_an_stl_is_that_of_numpy_stl(tmp_path, name):
    from stl import Mesh

    path = tmp_path / "part.stl"
    SHAPES[name].export(path)
    peer = Mesh.from_file(str(path))
    corners = peer.vectors.astype(np.float64)
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    body = read_body(path)
    assert body.facet_area_mm2 == pytest.approx(0.5 * np.linalg.norm(cross, axis=1).sum(), rel=1e-12)
    assert len(body.triangles) == len(peer.vectors)


@pytest.mark.parametrize("name", SHAPES)
def test_the_area_is_that_of_vtk(tmp_path, name):
    pytest.importorskip("vtkmodules", reason="VTK is not installed: pip install 'areacalc[peers]'")
    from vtkmodules.vtkFiltersCore import vtkMassProperties
    from vtkmodules.vtkIOGeometry import vtkSTLReader

    path = tmp_path / "part.stl"
    SHAPES[name].export(path)
    reader, mass = vtkSTLReader(), vtkMassProperties()
    reader.SetFileName(str(path))
    mass.SetInputConnection(reader.GetOutputPort())
    mass.Update()
    assert read_body(path).facet_area_mm2 == pytest.approx(mass.GetSurfaceArea(), rel=1e-9)
