"""Slots milled into the outside: a floor between two walls that face each other, wider below than above (T-slots,
dovetails) or not, or two walls that meet in a V; and grooves, milled, or turned: for an O-ring, a retaining ring, the
relief beside a shoulder, a belt.

Their edges tell them: hollow ones between floor and walls, and none of them closes a loop in a face, since a slot runs
out over an end (S. Joshi, T. C. Chang, "Graph-based heuristics for recognition of machined features from a 3D solid
model", Computer-Aided Design 20 (1988) 58). What turns about one axis and hangs together over hollow edges lies between
two sharp rims; where it dips between them, it is a groove.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.surface.features.axes import AXIAL, coaxial
from areacalc.surface.features.bores import NAMELESS, UNMEASURED
from areacalc.surface.features.openings import extent_mm, open_ends, opening
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import BORE_COVER, Walls
from areacalc.surface.skin import Feature, FeatureKind

BENT_RAD = 0.3  # edges that bend by less, either way, are neither hollow nor sharp
FACING = 0.7
"""Cosine: two walls that face each other may have a draft of 20 degrees each, those of a dovetail lean in by 45."""
SQUARE = 0.05  # cosine: the walls of a V rise from its bottom by more
LEVEL = 1e-5  # of the part's size: how far two faces of one plane may lie apart
LEVEL_RAD, SHARP_RAD = 1e-3, 0.3
"""Edges of what is turned that bend outward by more are rims, by so much sharp ones: a handle's waist runs out into its
bulges."""
ALONG = 1e-4  # one less the cosine between the axis and what faces along it
SHALLOW = 1e-3  # of its radius: a turned groove is deeper
HIGHER = 0.5
"""Of its depth: a wall that rises by more above the lower rim is a shoulder of the part."""
WIDEST = 1.0  # of the radius at its rim: what is wider is a neck

FoundSlot = tuple[FeatureKind, tuple[int, ...], Floats, Floats]
"""What it is, its patches, the way it opens, and across it from wall to wall."""


@dataclass(frozen=True)
class Beside:
    """What meets each flat or rounding: such in a hollow edge, anything in a sharp one, and the flats that run into a
    rounding."""

    hollow: Mapping[int, list[int]]
    sharp: Mapping[int, list[int]]
    smooth: Mapping[int, list[int]]


Slot = tuple[tuple[int, ...], Feature]
"""The patches of one, and what it is."""


def open_slots(cut: PatchCut, wall: Walls, outside: Truths) -> Iterator[Slot]:
    """The slots among the patches of the outside (p,), no patch in two of them."""
    flat = cut.are(SurfaceKind.PLANE) & outside
    flat &= cut.size > 1  # a lone triangle is a crumb of some rough skin
    round_ = cut.are(SurfaceKind.CYLINDER) & outside & wall.inward
    near = _beside(cut, flat, round_, outside)
    found = [*_floored(cut, flat, near), *_vee(cut, near), *_round_bottomed(cut, round_, near)]
    taken: set[int] = set()
    for kind, patches, up, across in found:
        if taken.isdisjoint(patches):
            taken.update(patches)
            along = np.cross(up, across)
            width, length, depth = (extent_mm(cut, patches, way) for way in (across, along, up))
            yield patches, opening(kind, (width, length, depth), (up, *open_ends(cut, patches, along)))


def _beside(cut: PatchCut, flat: Truths, round_: Truths, outside: Truths) -> Beside:
    edge, either = cut.edge, flat | round_
    some = np.nonzero(edge.inner & either[edge.patch] & outside[edge.beside])[0]
    angle = edge.bend[some]
    bent = np.abs(angle) > BENT_RAD
    level = (np.abs(angle) <= BENT_RAD) & round_[edge.patch[some]] & flat[edge.other[some]]
    some = some[bent | level]
    if len(some) == 0:
        return Beside({}, {}, {})
    pairs, which = edge.pairs(some)
    bend = edge.bends(some, which, len(pairs))
    made: tuple[dict[int, list[int]], ...] = (defaultdict(list), defaultdict(list), defaultdict(list))
    for one, two, angle_rad in zip(*pairs.T.tolist(), bend.tolist(), strict=True):
        if angle_rad > BENT_RAD:
            made[1][one].append(two)
        elif angle_rad < -BENT_RAD and either[two]:
            made[0][one].append(two)
        elif angle_rad >= -BENT_RAD and flat[two]:
            made[2][one].append(two)
    return Beside(*made)


def _floored(cut: PatchCut, flat: Truths, near: Beside) -> Iterator[FoundSlot]:
    """Slots with a flat floor, sharp or rounded into its walls."""
    around: dict[int, set[int]] = {floor: set(walls) for floor, walls in near.hollow.items() if flat[floor]}
    for rounding, flats in near.smooth.items():
        for floor in flats if not flat[rounding] else ():
            around.setdefault(floor, set()).update({rounding, *flats} - {floor})
    for floor in sorted(around, key=lambda p: -float(cut.mesh.area[cut.rows(p)].sum())):  # an end may pass for a floor
        up = np.array(cut.surfaces[floor].direction)
        rising = sorted(p for p in around[floor] if not flat[p] or abs(_dot(cut, floor, p)) < FACING)
        flats = [p for p in rising if flat[p]]
        facing = [(p, q) for k, p in enumerate(flats) for q in flats[k + 1 :] if _face(cut, floor, p, q)]
        if len(facing) != 1 or not _between(cut, floor, facing[0]):
            continue
        one, two = (np.array(cut.surfaces[p].direction) for p in facing[0])
        across = one - two
        across -= (across @ up) * up
        across /= np.linalg.norm(across)
        yield FeatureKind.SLOT, (floor, *rising, *sorted(_neck(cut, flat, near, floor, facing[0]))), up, across


def _face(cut: PatchCut, floor: int, one: int, two: int) -> bool:
    """Whether two walls face each other, or both lean in over the floor, as those of a dovetail do."""
    down = _dot(cut, floor, one), _dot(cut, floor, two)
    across = _dot(cut, one, two) - down[0] * down[1]
    lean = np.sqrt((1.0 - down[0] ** 2) * (1.0 - down[1] ** 2))
    return _dot(cut, one, two) < -FACING or (max(down) < -SQUARE and bool(across < -FACING * lean))


def _neck(cut: PatchCut, flat: Truths, near: Beside, floor: int, walls: tuple[int, int]) -> set[int]:
    """What a T-slot has above its walls: flats that look down on the floor, and from their edges up the walls between
    which it opens. All of it stands over the floor."""
    slack = _slack_mm(cut)
    along = np.cross(cut.surfaces[floor].direction, cut.surfaces[walls[0]].direction)
    ground = cut.corners(floor) @ along

    def over(p: int) -> bool:
        points = cut.corners(p)
        z = points @ along
        within = z.min() >= ground.min() - slack and z.max() <= ground.max() + slack
        return bool(within) and all(_least(cut, q, points) >= -slack for q in (floor, *walls))

    found: set[int] = set()
    for wall in walls:
        hanging = [p for p in near.hollow.get(wall, ()) if flat[p] and _dot(cut, floor, p) < -FACING and over(p)]
        found.update(hanging)
        found.update(
            q for p in hanging for q in near.sharp.get(p, ()) if flat[q] and _dot(cut, wall, q) > FACING and over(q)
        )
    return found


def _slack_mm(cut: PatchCut) -> float:
    return LEVEL * cut.mesh.size_mm + 16.0 * cut.mesh.noise_mm


def _between(cut: PatchCut, floor: int, walls: tuple[int, int]) -> bool:
    """Whether a floor lies wholly in front of both walls, and both rise from it."""
    each_way = [_least(cut, p, cut.corners(q)) for wall in walls for p, q in ((wall, floor), (floor, wall))]
    return min(each_way) >= -_slack_mm(cut)


def _least(cut: PatchCut, p: int, points: Floats) -> float:
    """How far points lie in front of a flat, the nearest of them [mm]."""
    return float(((points - np.array(cut.surfaces[p].point)) @ np.array(cut.surfaces[p].direction)).min())


def _vee(cut: PatchCut, near: Beside) -> Iterator[FoundSlot]:
    """Slots of two walls that meet in a hollow edge and rise to faces of one plane, which both of them look out of."""
    slack = _slack_mm(cut)
    for one, walls in sorted(near.hollow.items()):
        for two in walls:
            if two < one or len(walls) > 1 or len(near.hollow.get(two, ())) > 1:
                continue
            faces = [
                (p, q)
                for p in near.sharp.get(one, ())
                for q in near.sharp.get(two, ())
                if _one_plane(cut, p, q, slack) and min(_dot(cut, one, p), _dot(cut, two, p)) > SQUARE
            ]
            if faces:
                up = np.array(cut.surfaces[faces[0][0]].direction)
                across = np.array(cut.surfaces[one].direction) - np.array(cut.surfaces[two].direction)
                across -= (across @ up) * up
                yield FeatureKind.SLOT, (one, two), up, across / np.linalg.norm(across)


def _round_bottomed(cut: PatchCut, round_: Truths, near: Beside) -> Iterator[FoundSlot]:
    """Slots whose bottom is a rounding that runs into two walls, and grooves: a rounding between two sharp edges."""
    for bottom in np.nonzero(round_)[0].tolist():
        rows, axis = cut.rows(bottom), np.array(cut.surfaces[bottom].direction)
        area = cut.mesh.area[rows]
        up = cut.mesh.normal[rows].T @ area
        up -= (up @ axis) * axis
        size = float(np.linalg.norm(up))
        walls, sharp, hollow = (_along(cut, bottom, x.get(bottom, ())) for x in (near.smooth, near.sharp, near.hollow))
        if size <= LEVEL * float(area.sum()):
            continue
        across = np.cross(axis, up / size)
        if len(walls) == 2 and _dot(cut, *walls) < -FACING:
            yield FeatureKind.SLOT, (bottom, *walls), up / size, across
        elif sharp and not walls and not hollow:
            yield FeatureKind.GROOVE, (bottom,), up / size, across


def _along(cut: PatchCut, bottom: int, beside: Sequence[int]) -> list[int]:
    """Those of the patches that lie along a rounding and not across its end."""
    square = {SurfaceKind.PLANE: (0.0, SQUARE), SurfaceKind.CYLINDER: (1.0 - SQUARE, 1.0)}
    found = []
    for p in beside:
        least, most = square.get(cut.surfaces[p].kind, (np.inf, 0.0))
        if least <= abs(_dot(cut, bottom, p)) <= most + LEVEL:
            found.append(p)
    return found


def _dot(cut: PatchCut, one: int, two: int) -> float:
    return float(np.dot(cut.surfaces[one].direction, cut.surfaces[two].direction))


def _one_plane(cut: PatchCut, one: int, two: int, slack_mm: float) -> bool:
    a, b = cut.surfaces[one], cut.surfaces[two]
    if a.kind is not SurfaceKind.PLANE or b.kind is not SurfaceKind.PLANE:
        return False
    apart = abs(float(np.dot(np.subtract(b.point, a.point), a.direction)))
    return _dot(cut, one, two) > 1.0 - LEVEL and apart <= slack_mm


def turned_grooves(cut: PatchCut, wall: Walls, outside: Truths) -> Iterator[Slot]:
    """The grooves among the patches of the outside (p,)."""
    edge, count = cut.edge, len(cut.surfaces)
    round_ = cut.are(*AXIAL) & outside & ~wall.inward & (wall.cover > BORE_COVER)
    if not round_.any():
        return
    either = round_ | (cut.are(SurfaceKind.PLANE) & outside)
    once = (edge.patch < edge.other) & either[edge.patch] & either[edge.beside]
    rows = np.nonzero(once)[0]
    meeting, which = edge.pairs(rows)
    bend = edge.bends(rows, which, len(meeting))
    pairs = meeting[(bend < LEVEL_RAD) & round_[meeting].any(axis=1)]
    pairs = pairs[[_turns(cut, *pair) for pair in pairs.tolist()]]
    label = connected(count, *pairs.T)[1]
    sides = label[meeting]
    soft = sides[(sides[:, 0] != sides[:, 1]) & (bend < SHARP_RAD)]
    for group in np.setdiff1d(label[round_], soft):
        patches = np.nonzero(label == group)[0].tolist()
        groove = _groove(cut, patches, next(p for p in patches if round_[p]))
        if groove is not None:
            yield groove


def _turns(cut: PatchCut, one: int, two: int) -> bool:
    """Whether two patches, one of them round, turn about one axis; a flat does that stands square to it."""
    a, b = cut.surfaces[one], cut.surfaces[two]
    if SurfaceKind.PLANE in (a.kind, b.kind):
        return abs(float(np.dot(a.direction, b.direction))) > 1.0 - ALONG
    return coaxial(a, b)


def _groove(cut: PatchCut, patches: list[int], main: int) -> Slot | None:
    """The groove that patches make about the axis of one of them; None where they do not dip between their ends."""
    point, axis = np.array(cut.surfaces[main].point), np.array(cut.surfaces[main].direction)
    if not all(_turns(cut, main, p) for p in patches if p != main):
        return None  # a face with several bosses on it
    reach = []
    for p in patches:
        off = cut.points(p) - point
        z = off @ axis
        reach.append((np.linalg.norm(off - z[:, None] * axis, axis=1), z))
    floor = min(_lowest(cut.surfaces[p], *each, point, axis) for p, each in zip(patches, reach, strict=True))
    r, z = (np.concatenate(x) for x in zip(*reach, strict=True))
    slack = SHALLOW * floor + 16.0 * cut.mesh.noise_mm
    rim = min(float(r[np.abs(z - at) <= slack].max()) for at in (z.min(), z.max()))
    depth, width = rim - floor, float(np.ptp(z))
    own = tuple(p for p, (radius, _) in zip(patches, reach, strict=True) if radius.max() <= rim + HIGHER * depth)
    if depth <= slack or width > WIDEST * rim or main not in own:
        return None
    halfway = np.pi * (2.0 * floor + depth)
    groove = FeatureKind.GROOVE
    return own, Feature(NAMELESS, groove, UNMEASURED, 2.0 * floor, depth, width_mm=width, length_mm=halfway)


def _lowest(surface: Surface, r: Floats, z: Floats, point: Floats, axis: Floats) -> float:
    """How near a patch comes to its axis, a hollow one between its corners (r, z from a point of the axis) [mm]."""
    middle = float((np.array(surface.point) - point) @ axis)
    if surface.kind is SurfaceKind.TORUS and z.min() < middle < z.max() and r.min() < surface.radius_mm:
        return surface.radius_mm - surface.minor_radius_mm
    return float(r.min())
