"""Triangles for exact faces: neighbours share their edges' points, every face is held against its true area, and all
are welded into one mesh."""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepGProp import BRepGProp
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.GProp import GProp_GProps
from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters
from OCP.ShapeFix import ShapeFix_Face
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_FORWARD, TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS

from areacalc.shape.body import triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import near
from areacalc.shape.step.step_parts import pieces

CHORD_SHARE = 1e-3  # of the part's diagonal
ANGLE_RAD = 0.15  # between facets of a curve; the kernel takes half of what it is asked for: 84 to the turn
_SINGLE_RAD = 0.25  # the same of a body alone, which hides nothing of another: 50 to the turn
MOST_TRIANGLES = 2_000_000
_COARSEST_RAD = 0.8
_TRIES = 2
NEAR = 1e-6  # of the part's diagonal: the kernel's own points of one edge differ by rounding only
_MANY_EDGES = 150  # of one face: 300 round holes in a plate take the slow way 10 s, the quick one 0.6 s


@dataclass(frozen=True, eq=False)
class FaceMesh:
    """The triangles of one face in its part's coordinates, outward; empty where the kernel made none."""

    vertices: Floats
    triangles: Ints

    @cached_property
    def area_mm2(self) -> float:
        return float(triangle_areas_mm2(self.vertices, self.triangles).sum()) if len(self.triangles) else 0.0


@dataclass(frozen=True, eq=False)
class PartMesh:
    """One mesh a face, the chord error asked for [mm], and the faces (by row) whose triangles miss their true area."""

    faces: list[FaceMesh]
    chord_mm: float
    poor: list[int]

    @property
    def count(self) -> int:
        return sum(len(face.triangles) for face in self.faces)


def mesh_part(shape: Any, faces: list[Any], areas_mm2: list[float], chord_mm: float, single: bool,
              most: int) -> PartMesh:  # fmt: skip
    """Mesh a shape whose faces these are: finer where triangles miss the true area, coarser above `most` triangles.

    areas_mm2: the true area of each face, NaN where it has none (a face that is triangles already). single: there is no
    other body that it may touch.
    """
    edges = [boundary_mm(face) for face in faces]
    if single:
        best = _mesh(shape, faces, areas_mm2, edges, chord_mm, _SINGLE_RAD, True)
        if best.count <= most and not _poor(best.faces, areas_mm2, edges, ANGLE_RAD):
            return best
        BRepTools.Clean_s(shape)
    angle = ANGLE_RAD
    best = _mesh(shape, faces, areas_mm2, edges, chord_mm, angle, True)
    while best.count > most and angle < _COARSEST_RAD:
        chord_mm, angle = 4.0 * chord_mm, 2.0 * angle
        BRepTools.Clean_s(shape)
        best = _mesh(shape, faces, areas_mm2, edges, chord_mm, angle, True)
    if not best.poor:
        return best
    quick = max((len(pieces(face, TopAbs_EDGE)) for face in faces), default=0) > _MANY_EDGES
    if not quick:
        BRepTools.Clean_s(shape)
        usual = _mesh(shape, faces, areas_mm2, edges, chord_mm, angle, False)
        best = usual if len(usual.poor) < len(best.poor) else best
    if best.poor:
        split = _split(shape, faces, areas_mm2, edges, chord_mm)
        best = split if len(split.poor) < len(best.poor) else best
    for _ in range(_TRIES):
        if not best.poor or 4 * best.count > most:
            break
        chord_mm, angle = chord_mm / 3.0, angle / 2.0
        tried = [_alone(_copied(faces[row]), chord_mm, angle) for row in best.poor]
        here = [[each[row] for row in best.poor] for each in (areas_mm2, edges)]
        if len(_poor(tried, here[0], here[1], max(angle, ANGLE_RAD))) == len(tried):
            continue  # a finer mesh of the whole would not cure one of them
        BRepTools.Clean_s(shape)
        finer = _mesh(shape, faces, areas_mm2, edges, chord_mm, angle, quick)
        if len(finer.poor) < len(best.poor):
            best = finer
    for row in best.poor:
        for way in (_mended, _free_form, _fan):
            alone = way(faces[row], best.chord_mm)
            if abs(alone.area_mm2 - areas_mm2[row]) < abs(best.faces[row].area_mm2 - areas_mm2[row]):
                best.faces[row] = alone
            if not _poor([best.faces[row]], [areas_mm2[row]], [edges[row]], ANGLE_RAD):
                break
    return PartMesh(best.faces, best.chord_mm, _poor(best.faces, areas_mm2, edges, ANGLE_RAD))


def _mesh(shape: Any, faces: list[Any], areas_mm2: list[float], edges: list[float], chord_mm: float,
          angle_rad: float, quick: bool) -> PartMesh:  # fmt: skip
    """quick: by the kernel's other way, whose time grows with a face's points and not with their square."""
    how = IMeshTools_Parameters()
    how.Deflection, how.Angle = chord_mm, angle_rad
    if quick:
        how.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    BRepMesh_IncrementalMesh(shape, how)
    made = [face_mesh(face) for face in faces]
    return PartMesh(made, chord_mm, _poor(made, areas_mm2, edges, max(angle_rad, ANGLE_RAD)))


def _poor(made: list[FaceMesh], areas_mm2: list[float], edges_mm: list[float], angle_rad: float) -> list[int]:
    """Faces whose triangles miss the true area by more than good facets can.

    A doubly curved facet loses under angle^2 / 6 of itself, a boundary of length P under angle P^2 / 150 (a circle in
    chords of that angle loses a tenth of it).
    """
    least = 1e-9 * math.fsum(a for a in areas_mm2 if not math.isnan(a))
    found = []
    for row, (mesh, area, edge) in enumerate(zip(made, areas_mm2, edges_mm, strict=True)):
        slack = angle_rad**2 / 6.0 * area + angle_rad / 150.0 * edge**2 + least
        if not math.isnan(area) and area > least and (mesh.area_mm2 == 0.0 or abs(mesh.area_mm2 - area) > slack):
            found.append(row)
    return found


def _split(shape: Any, faces: list[Any], areas_mm2: list[float], edges: list[float], chord_mm: float) -> PartMesh:
    """The whole shape with each face that closes on itself cut in two: the kernel drops some whole cones."""
    from OCP.ShapeUpgrade import ShapeUpgrade_ShapeDivideClosed

    copy = BRepBuilderAPI_Copy(shape, True, False)
    divider = ShapeUpgrade_ShapeDivideClosed(copy.Shape())
    divider.Perform()
    BRepMesh_IncrementalMesh(divider.Result(), chord_mm, False, ANGLE_RAD, False)
    context = divider.GetContext()
    made = []
    for face in faces:
        plain = copy.ModifiedShape(face).Oriented(TopAbs_FORWARD)
        halves = pieces(context.Apply(plain), TopAbs_FACE)
        made.append(_joined([h.Reversed() if face.Orientation() == TopAbs_REVERSED else h for h in halves]))
    return PartMesh(made, chord_mm, _poor(made, areas_mm2, edges, ANGLE_RAD))


def _joined(faces: list[Any]) -> FaceMesh:
    meshes = [face_mesh(TopoDS.Face(face)) for face in faces]
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    corners = [mesh.triangles + start for mesh, start in zip(meshes, starts[:-1], strict=True)]
    return FaceMesh(np.concatenate([mesh.vertices for mesh in meshes]), np.concatenate(corners).astype(np.int32))


# a face by itself: its edges no longer follow its neighbours'


def _mended(face: Any, chord_mm: float) -> FaceMesh:
    mender = ShapeFix_Face(_copied(face))
    mender.Perform()
    return _alone(mender.Face(), chord_mm)


def _free_form(face: Any, chord_mm: float) -> FaceMesh:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert

    return _alone(TopoDS.Face(BRepBuilderAPI_NurbsConvert(face, True).Shape()), chord_mm)


def _alone(face: Any, chord_mm: float, angle_rad: float = ANGLE_RAD) -> FaceMesh:
    BRepMesh_IncrementalMesh(face, chord_mm, False, angle_rad, False)
    return face_mesh(face)


def _copied(face: Any) -> Any:
    return TopoDS.Face(BRepBuilderAPI_Copy(face, True, False).Shape())


def _fan(face: Any, _chord_mm: float) -> FaceMesh:
    """A poor stand-in, so that no face is without triangles: its outer edge, seen from the middle."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepTools import BRepTools_WireExplorer

    points: list[tuple[float, ...]] = []
    walk = BRepTools_WireExplorer(BRepTools.OuterWire_s(face), face)
    while walk.More():
        curve = BRepAdaptor_Curve(walk.Current())
        along = np.linspace(curve.FirstParameter(), curve.LastParameter(), 33)
        back = walk.Current().Orientation() == TopAbs_REVERSED
        points += [curve.Value(float(t)).Coord() for t in (along[:0:-1] if back else along[:-1])]
        walk.Next()
    if len(points) < 3:
        return FaceMesh(np.empty((0, 3)), np.empty((0, 3), np.int32))
    count = len(points)
    ring = np.arange(count)
    corners = np.column_stack([np.full(count, count), ring, np.roll(ring, -1)]).astype(np.int32)
    if face.Orientation() == TopAbs_REVERSED:
        corners = corners[:, ::-1]
    return FaceMesh(np.vstack([points, np.mean(points, axis=0)]), np.ascontiguousarray(corners))


def boundary_mm(face: Any) -> float:
    """The length of a face's edges [mm]."""
    found = GProp_GProps()
    BRepGProp.LinearProperties_s(face, found)
    return float(found.Mass())


def face_mesh(face: Any) -> FaceMesh:
    place = TopLoc_Location()
    sheet = BRep_Tool.Triangulation_s(face, place)
    if sheet is None or sheet.NbTriangles() == 0:
        return FaceMesh(np.empty((0, 3)), np.empty((0, 3), np.int32))
    points = np.array([sheet.Node(i).Coord() for i in range(1, sheet.NbNodes() + 1)], np.float64)
    corners = np.array([sheet.Triangle(i).Get() for i in range(1, sheet.NbTriangles() + 1)], np.int32) - 1
    if not place.IsIdentity():
        points = placed(points, matrix_of(place))
    if face.Orientation() == TopAbs_REVERSED:
        corners = corners[:, ::-1]
    return FaceMesh(points, np.ascontiguousarray(corners))


def matrix_of(place: Any) -> Floats:
    """The (3, 4) matrix of a TopLoc_Location."""
    move = place.Transformation()
    return np.array([[move.Value(row, column) for column in range(1, 5)] for row in range(1, 4)])


def placed(points: Floats, matrix: Floats) -> Floats:
    """Points (n, 3) moved by a (3, 4) matrix."""
    return np.asarray(points @ matrix[:, :3].T + matrix[:, 3])


def welded(meshes: list[FaceMesh], group_of: Ints, diagonal_mm: float) -> tuple[Floats, Ints, int]:
    """Vertices (n, 3), triangles (m, 3) in the order given, and how many groups stay open."""
    starts = np.cumsum([0, *(len(m.vertices) for m in meshes)])
    vertices = np.concatenate([m.vertices for m in meshes])
    triangles = np.concatenate([m.triangles + s for m, s in zip(meshes, starts[:-1], strict=True)]).astype(np.int64)
    group = np.repeat(group_of, [len(m.triangles) for m in meshes])
    # a group keeps its own points, so that bodies that touch do not grow together
    point_group = np.repeat(group_of, [len(m.vertices) for m in meshes])
    unique, index = _distinct(np.column_stack([point_group.astype(np.float64), vertices + 0.0]))
    corners: Ints = index[triangles]
    points = unique[:, 1:]
    loose = _open_edges(corners)
    if len(loose):
        corners = _snapped(points, unique[:, 0], np.unique(loose), NEAR * diagonal_mm)[corners]
        loose = _open_edges(corners)
    still = np.unique(unique[loose[:, 0], 0]) if len(loose) else np.empty(0)
    return points, corners.astype(np.int32), len(np.intersect1d(still, group))


def _distinct(rows: Floats) -> tuple[Floats, Ints]:
    """The distinct rows in order, and which of them each row is: numpy's unique of rows takes five times as long."""
    order = np.lexsort(rows.T[::-1])
    sorted_rows = rows[order]
    first = np.ones(len(rows), bool)
    np.any(sorted_rows[1:] != sorted_rows[:-1], axis=1, out=first[1:])
    index = np.empty(len(rows), np.int64)
    index[order] = np.cumsum(first) - 1
    return sorted_rows[first], index


def _open_edges(corners: Ints) -> Ints:
    """Edges (e, 2) that only one triangle uses; triangles that have lost a corner do not count."""
    a, b, c = corners.T
    sound = corners[(a != b) & (b != c) & (c != a)]
    from_, to = sound.ravel(), sound[:, [1, 2, 0]].ravel()
    count = int(corners.max()) + 1 if len(corners) else 1
    edges, uses = np.unique(np.minimum(from_, to) * count + np.maximum(from_, to), return_counts=True)
    return np.column_stack(np.divmod(edges[uses == 1], count))


def _snapped(points: Floats, group: Floats, loose: Ints, near_mm: float) -> Ints:
    """For each point the point it becomes: loose points of one group that lie near each other become the first."""
    target = np.arange(len(points))
    pairs = near(points[loose], near_mm)
    pairs = pairs[group[loose[pairs[:, 0]]] == group[loose[pairs[:, 1]]]]
    for one, two in sorted(pairs.tolist()):
        root = target[loose[one]]
        target[loose[two]] = min(root, target[loose[two]])
    return target
