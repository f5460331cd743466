"""Slots milled into the outside: a floor between two walls that face each other, wider below than above (T-slots,
dovetails) or not, or two walls that meet in a V; and grooves.

Their edges tell them: hollow ones between floor and walls, and none of them closes a loop in a face, since a slot runs
out over an end (S. Joshi, T. C. Chang, "Graph-based heuristics for recognition of machined features from a 3D solid
model", Computer-Aided Design 20 (1988) 58).
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, SurfaceKind, Truths
from areacalc.surface.features.bores import Form
from areacalc.surface.features.openings import extent_mm, open_ends, opening
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import Walls
from areacalc.surface.skin import FeatureKind

BENT_RAD = 0.3  # edges that bend by less, either way, are neither hollow nor sharp
FACING = 0.7
"""Cosine: two walls that face each other may have a draft of 20 degrees each, those of a dovetail lean in by 45."""
SQUARE = 0.05  # cosine: the walls of a V rise from its bottom by more
LEVEL = 1e-5  # of the part's size: how far two faces of one plane may lie apart

FoundSlot = tuple[FeatureKind, tuple[int, ...], Floats, Floats]
"""What it is, its patches, the way it opens, and across it from wall to wall."""


@dataclass(frozen=True)
class Beside:
    """What meets each flat or rounding: such in a hollow edge, anything in a sharp one, and the flats that run into a
    rounding."""

    hollow: Mapping[int, list[int]]
    sharp: Mapping[int, list[int]]
    smooth: Mapping[int, list[int]]


Slot = tuple[tuple[int, ...], Form]
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
    edge, either, count = cut.edge, flat | round_, len(flat)
    some = np.nonzero(edge.inner & either[edge.patch] & outside[edge.beside])[0]
    angle = edge.bend[some]
    bent = np.abs(angle) > BENT_RAD
    level = (np.abs(angle) <= BENT_RAD) & round_[edge.patch[some]] & flat[edge.other[some]]
    some = some[bent | level]
    if len(some) == 0:
        return Beside({}, {}, {})
    length = edge.length_mm[some]
    pairs, which = np.unique(edge.patch[some].astype(np.int64) * count + edge.other[some], return_inverse=True)
    which = which.reshape(-1)
    bend = summed(edge.bend[some] * length, which, len(pairs)) / summed(length, which, len(pairs))
    made: tuple[dict[int, list[int]], ...] = (defaultdict(list), defaultdict(list), defaultdict(list))
    for one, two, angle_rad in zip(*(x.tolist() for x in np.divmod(pairs, count)), bend.tolist(), strict=True):
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
