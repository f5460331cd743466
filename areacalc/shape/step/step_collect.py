"""From the kernel's document to arrays: each part worked out once and put at each of its places."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepBndLib import BRepBndLib
from OCP.TopoDS import TopoDS_Compound

from areacalc.errors import BadInput
from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, triangle_areas_mm2
from areacalc.shape.fenced import tell
from areacalc.shape.kinds import Face, FileNote, Floats, Ints, Note, UnitBasis, UnitHow
from areacalc.shape.mesh.openings import openings
from areacalc.shape.step.step_faces import exact_area_mm2, exact_face
from areacalc.shape.step.step_mesh import CHORD_SHARE, MOST_TRIANGLES, face_mesh, matrix_of, mesh_part, placed, welded
from areacalc.shape.step.step_parts import (
    FaceGroup,
    PartSkin,
    PlacedShape,
    is_bare,
    key_of,
    marks_of,
    parts,
    sort_pieces,
)

_LEAST_MM = 1e-3  # what is shorter than a ten-thousandth of this is nothing to the kernel
_FARTHEST = 1e5  # diagonals from the origin: farther off, areas were wrong by 1e-6 and more
_MOST_BOXED, _SHORT_BY = 20, 0.02  # chosen: parts whose exact size is sought, and how far chords may fall short of it
_SAME_AREA = 0.02  # a part stored as exact faces and as triangles: nearer than this, they are one


@dataclass(frozen=True, eq=False)
class StepPart:
    """One part in its own coordinates: its exact faces, and its mesh, welded and outward."""

    exact: list[Face]
    vertices: Floats
    triangles: Ints
    face_of: Ints  # row of `exact`, -1 for triangles without one
    group_of: Ints
    group_names: list[str]
    open_groups: int
    poor_mm2: list[tuple[float, float]]  # true area and area of the triangles, where they disagree
    shape: Any  # the kernel's own


def collect(source: str, document: Any) -> Body:
    """The parts of a document as one body, in mm. Raises BadInput: no solid and no surface, or a place that scales."""
    uses = list(parts(source, document))
    skins: dict[str, PartSkin] = {}
    for use in uses:
        if use.key not in skins and not use.shape.IsNull():
            skins[use.key] = sort_pieces(use.shape)
    firm = any(skin.solids or skin.bare for skin in skins.values())
    notes: list[Note] = []
    _note_left_out(notes, skins, firm)
    empty = sum(use.shape.IsNull() for use in uses)
    if empty:
        notes.append(Note(fact(FileNote.PART_EMPTY, count=empty), warns=True))
    most = MOST_TRIANGLES // max(1, len(uses))
    made: dict[str, StepPart] = {}
    for use in uses:
        if use.key in skins and use.key not in made:
            chosen = _chosen(skins[use.key], firm, notes, use.name)
            if chosen:
                made[use.key] = _part(source, use, chosen, len(uses) == len(chosen) == 1, most)
    here = _once([use for use in uses if use.key in made], made, notes)
    if not here:
        raise BadInput(source, "holds no solid and no surface", "export the part itself as a solid")
    body = _join(source, here, made)
    _note_meshes(notes, {use.key: made[use.key] for use in here}, body)
    return replace(body, notes=tuple(notes))


def _note_left_out(notes: list[Note], skins: dict[str, PartSkin], firm: bool) -> None:
    wires = sum(skin.wires for skin in skins.values())
    if wires:
        notes.append(Note(fact(FileNote.WIRES_LEFT_OUT, count=wires)))
    loose = [face for skin in skins.values() for group in skin.open for face in group.faces]
    if not loose:
        return
    area = math.fsum(exact_area_mm2(face)[0] for face in loose)
    if firm:
        told = fact(FileNote.FACES_LEFT_OUT, count=len(loose), area=quantity(area, "mm2"))
        notes.append(Note(told, True, 0.0, area, "loose faces left out"))
    else:
        notes.append(Note(fact(FileNote.OPEN_SURFACES, count=len(loose)), warns=True))


def _chosen(skin: PartSkin, firm: bool, notes: list[Note], name: str) -> list[FaceGroup]:
    """The groups that are skin: solids, triangles no solid repeats, and open faces where nothing firmer is there."""
    if not skin.solids:
        return skin.bare if skin.bare else ([] if firm else skin.open)
    if not skin.bare:
        return skin.solids
    solid = math.fsum(exact_area_mm2(face)[0] for group in skin.solids for face in group.faces)
    bare = math.fsum(face_mesh(face).area_mm2 for group in skin.bare for face in group.faces)
    if abs(bare - solid) <= _SAME_AREA * solid:
        _note_twice(notes, name)
        return skin.solids
    return [*skin.solids, *skin.bare]


def _once(uses: list[PlacedShape], made: dict[str, StepPart], notes: list[Note]) -> list[PlacedShape]:
    """The uses less those parts of mere triangles that repeat an exact part at the same place."""
    if all(made[use.key].exact for use in uses):
        return uses
    exact = [_measure(use, made[use.key]) for use in uses if made[use.key].exact]
    kept = []
    for use in uses:
        own = _measure(use, made[use.key])
        again = not made[use.key].exact and any(
            abs(own[0] - area) <= _SAME_AREA * area and np.abs(own[1] - box).max() <= _SAME_AREA * np.ptp(box)
            for area, box in exact
        )
        if again:
            _note_twice(notes, use.name)
        else:
            kept.append(use)
    return kept


def _measure(use: PlacedShape, part: StepPart) -> tuple[float, Floats]:
    """The area of a part's triangles and its box at its place, (2, 3)."""
    points = placed(part.vertices, matrix_of(use.place))
    area = float(triangle_areas_mm2(part.vertices, part.triangles).sum())
    return area, np.stack([points.min(axis=0), points.max(axis=0)])


def _note_twice(notes: list[Note], name: str) -> None:
    notes.append(Note(fact(FileNote.STORED_TWICE, part=name or "a part")))


def _note_meshes(notes: list[Note], made: dict[str, StepPart], body: Body) -> None:
    if any(part.exact for part in made.values()):
        notes.append(Note(fact(FileNote.MESHED)))
    if any((part.face_of < 0).any() for part in made.values()):
        notes.append(Note(fact(FileNote.TESSELLATED)))
    poor = [pair for part in made.values() for pair in part.poor_mm2]
    if poor:
        gap = math.fsum(abs(true - mesh) for true, mesh in poor)
        notes.append(Note(fact(FileNote.MESH_DIFFERS, count=len(poor), area=quantity(gap, "mm2")), warns=True))
    gaping = sum(part.open_groups for part in made.values())
    if gaping and not any(note.fact.kind is FileNote.OPEN_SURFACES for note in notes):
        gaps_mm2 = math.fsum(each.cap_mm2 for each in openings(body.topology) if not each.crack)
        told = fact(FileNote.MESH_OPEN, count=gaping, area=quantity(gaps_mm2, "mm2"))
        notes.append(Note(told, True, gaps_mm2, gaps_mm2, "gaps between faces"))


def _part(source: str, use: PlacedShape, groups: list[FaceGroup], single: bool, most: int) -> StepPart:
    names, colours = marks_of(use.label)
    rows = [(face, number) for number, group in enumerate(groups) for face in group.faces]
    bare = [is_bare(face) for face, _ in rows]
    exact: list[Face | None] = []
    for (face, _), is_mesh in zip(rows, bare, strict=True):
        tell("measuring faces", len(exact), len(rows))
        exact.append(None if is_mesh else exact_face(face))
    tell("cutting faces into triangles")
    areas = [math.nan if e is None else e.area_mm2 for e in exact]
    compound = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(compound)
    for group in groups:
        builder.Add(compound, group.shape)
    diagonal = _diagonal_mm(source, compound)
    mesh = mesh_part(compound, [face for face, _ in rows], areas, CHORD_SHARE * diagonal, single, most)
    if any(len(mesh.faces[row].triangles) == 0 for row in mesh.poor):  # it would vanish from every sum
        what = f"a face of '{use.name}' cannot be meshed by the CAD kernel"
        raise BadInput(source, what, "export the part again, as AP214 or AP242")
    vertices, triangles, opened = welded(mesh.faces, np.array([g for _, g in rows]), diagonal)
    lengths = [len(m.triangles) for m in mesh.faces]
    own = np.where(bare, -1, np.cumsum([not b for b in bare]) - 1).astype(np.int32)
    poor = {row: mesh.faces[row].area_mm2 for row in mesh.poor}
    drawn = dict.fromkeys(poor, 0.0) if opened else poor  # beside a gap a face's own edges may be wrong
    called = [names.get(key_of(group.shape), "") for group in groups]
    faces = []
    for row, (each, (face, number)) in enumerate(zip(exact, rows, strict=True)):
        if each is not None:
            key = key_of(face)
            colour = colours.get(key) or colours.get(key_of(groups[number].shape))
            error = max(each.area_error_mm2, abs(each.area_mm2 - drawn.get(row, each.area_mm2)))
            faces.append(Face(each.surface, each.area_mm2, error, names.get(key, ""), colour))
    return StepPart(
        faces, vertices, triangles, np.repeat(own, lengths),
        np.repeat(np.array([g for _, g in rows], np.int32), lengths), called, opened,
        [(areas[row], area) for row, area in poor.items()], compound,
    )  # fmt: skip


def _diagonal_mm(source: str, shape: Any) -> float:
    """The diagonal of a part's box. Raises BadInput where the kernel's numbers have too few digits for the part."""
    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box, True)
    if box.IsVoid():
        return 1.0
    diagonal, corner = math.sqrt(box.SquareExtent()), box.CornerMin()
    if diagonal < _LEAST_MM:
        raise BadInput(source, f"a part is {diagonal:.1g} mm across, too small for STEP", "check its unit")
    far_mm = math.hypot(corner.X(), corner.Y(), corner.Z())
    if far_mm > _FARTHEST * diagonal:
        raise BadInput(source, f"a part {diagonal:.3g} mm across lies {far_mm:.1g} mm from the origin", "move it there")
    return diagonal


def _size_mm(uses: list[PlacedShape], made: dict[str, StepPart], points: Floats) -> tuple[float, ...]:
    """How far all parts reach along x, y and z: as their exact surfaces do, since chords of a round fall short of it.

    As the triangles do where there are many parts, which would take long, or where the kernel strays.
    """
    drawn_mm: Floats = np.ptp(points, axis=0)
    if len(uses) > _MOST_BOXED or not all(made[use.key].exact for use in uses):
        return tuple(drawn_mm.tolist())
    box = Bnd_Box()
    for use in uses:
        BRepBndLib.AddOptimal_s(made[use.key].shape.Moved(use.place), box, False, False)
    if box.IsVoid():
        return tuple(drawn_mm.tolist())
    least, most = box.CornerMin(), box.CornerMax()
    exact_mm = np.array([most.X() - least.X(), most.Y() - least.Y(), most.Z() - least.Z()]).round(6)
    return tuple(np.where(abs(exact_mm - drawn_mm) <= _SHORT_BY * drawn_mm.max(), exact_mm, drawn_mm).tolist())


def _join(source: str, uses: list[PlacedShape], made: dict[str, StepPart]) -> Body:
    vertices, triangles, face_of, solid_of = [], [], [], []
    faces: list[Face] = []
    solids: list[str] = []
    points = 0
    for use in uses:
        part, matrix = made[use.key], matrix_of(use.place)
        size = float(np.linalg.det(matrix[:, :3]))
        if abs(abs(size) - 1.0) > 1e-9:
            raise BadInput(source, f"places '{use.name}' at another scale", "export the part again at its own size")
        own = part.triangles if size > 0.0 else part.triangles[:, ::-1]
        vertices.append(placed(part.vertices, matrix))
        triangles.append(own + points)
        face_of.append(np.where(part.face_of < 0, -1, part.face_of + len(faces)))
        solid_of.append(part.group_of + len(solids))
        points += len(part.vertices)
        for face in part.exact:
            point = placed(np.array([face.surface.point]), matrix)[0].tolist()
            direction = (matrix[:, :3] @ np.array(face.surface.direction)).tolist()
            surface = replace(face.surface, point=tuple(point), direction=tuple(direction))
            faces.append(replace(face, surface=surface, colour=face.colour or use.colour))
        solids += _group_names(use.name, part.group_names)
    all_points = np.concatenate(vertices)
    return Body(
        "", source, all_points, np.concatenate(triangles).astype(np.int32), UnitBasis("mm", UnitHow.DECLARED),
        tuple(faces), np.concatenate(face_of).astype(np.int32) if faces else np.empty(0, np.int32), tuple(solids),
        np.concatenate(solid_of).astype(np.int32), reach_mm=_size_mm(uses, made, all_points),
    )  # fmt: skip


def _group_names(use: str, groups: list[str]) -> list[str]:
    """The name of the part at its place, and of the piece where the part has several."""
    if len(groups) == 1:
        return [use or groups[0] or "part"]
    return [f"{use or 'part'}: {name or f'body {n}'}" for n, name in enumerate(groups, 1)]
