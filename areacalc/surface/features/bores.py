"""One bore measured: its axis, mouths, diameter, depth, and its steps from the first mouth inward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.kinds import Floats, SurfaceKind, Truths
from areacalc.surface.features.axes import frustum_mm2
from areacalc.surface.features.border import about, is_jagged
from areacalc.surface.features.bored import share_within
from areacalc.surface.features.cut_skin import Skin
from areacalc.surface.features.fit import triple
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.steps import TIP, WALLS, Length, length_of, steps_of
from areacalc.surface.features.walls import BORE_COVER, Walls
from areacalc.surface.skin import BoreStep, BoreStepKind, Feature, FeatureKind

SHARE_OF_RIM = 0.2
"""Of an opening's rim: this much in one plane square to the axis is a mouth; a cross-hole's rim has little."""
MOST = 0.6
"""Of a rim's turn in the plane of an end: more makes it the end's mouth; an arc has half of it at either end."""
MOST_ROUND = 0.3  # the same of a rim that goes all round: a castle nut's has slots in it
ALIKE = 1e-3
"""Of the distance between two mouths: what they lie apart in one direction and no more is rounding."""

FLOOR = 0.2
"""Of the disk across an end: flats that face inward make up so much of a floor, though others lead through it."""
BEYOND = 0.02
"""Of a bore's area: what may lie farther out than its widest step, as a floor that a keyway leads out of."""
EXCESS = 1.01
"""Of the area that its steps' sizes come to: a bore that has more holds what is not its own."""
NAMELESS, UNMEASURED = "", Estimate.exact(0.0)
"""The name and the area of a feature whose piece of skin is not yet put in order among the others."""


@dataclass(frozen=True, eq=False)
class Mouth:
    """One mouth: where it lies along the axis [mm], how wide it is, and its middle from a point of the axis [mm]."""

    height_mm: float
    radius_mm: float
    middle: Floats

    @classmethod
    def of(cls, rim: Floats, axis: Floats, height_mm: float | None = None) -> Mouth:
        """The mouth of a rim of edges (e, 2, 3), told from a point of the axis; without a height halfway between its
        ends."""
        z = rim @ axis
        radius = np.linalg.norm(rim - z[:, :, None] * axis, axis=2).mean(axis=1)
        height = 0.5 * float(z.min() + z.max()) if height_mm is None else height_mm
        weight = np.linalg.norm(rim[:, 1] - rim[:, 0], axis=1)
        weight /= weight.sum()
        return cls(height, float(weight @ radius), weight @ rim.mean(axis=1))


@dataclass(frozen=True, eq=False)
class Ring:
    """An opening: its half-edges (e, 2, 3), which of them (e,) are plain rim and not the way into a keyway, and the
    patches that others of them run into in a hollow: a floor that goes on outside."""

    ends: Floats
    plain: Truths
    floors: tuple[int, ...] = ()


def bore_of(skin: Skin, rims_mm: Floats, own: tuple[int, ...], rings: Sequence[Ring], box_mm: Floats) -> Feature | None:
    """The bore that these patches make with these openings; None where nothing goes round an axis, or what does
    explains too little of them.

    rims_mm (p, 2): as from Rims.ends_mm. box_mm: the low and the high corner of the part (2, 3).
    """
    cut, areas = skin.cut, skin.areas
    main = axis_patch(cut, skin.wall, own)
    if main is None or not rings:
        return None
    origin, axis = np.array(cut.surfaces[main].point), np.array(cut.surfaces[main].direction)
    off = cut.corners(*own).reshape(-1, 3) - origin
    z = off @ axis
    reach = float(z.min()), float(z.max())
    lengths = [length_of(skin, rims_mm, p, main) for p in own]
    beside = [length_of(skin, rims_mm, p, main) for p in {p for ring in rings for p in ring.floors}]
    mouths = _mouths(rings, origin, axis, reach, _shut(skin, lengths, beside, main, reach))
    at = [x.height_mm for x in _in_order(mouths, box_mm.mean(axis=0) - origin)]
    far = at[-1] if len(at) > 1 else max(reach, key=lambda x: abs(x - at[0]))
    if far < at[0]:
        axis, far, at = -axis, -far, [-x for x in at]
        lengths = [x.turned() for x in lengths]
    steps = steps_of(cut, areas, lengths, at[0], far, blind=len(at) == 1)
    if (
        steps is None
        or _lobed(steps, blind=len(at) == 1)
        or not _explained(steps, abs(far - at[0]), float(np.linalg.norm(box_mm[1] - box_mm[0])))
    ):
        return None
    out = np.einsum("ij,ij->i", off, off) - z * z > (EXCESS * max(s.diameter_mm for s in steps) / 2.0) ** 2
    area = cut.mesh.area[cut.rows(*own)]
    if out.any() and float(area @ out.reshape(-1, 3).mean(axis=1)) > BEYOND * float(area.sum()):
        return None
    share = {kind: sum(s.area_mm2.value for s in steps if s.kind is kind) for kind in BoreStepKind}
    floor = share[BoreStepKind.FLOOR] + share[BoreStepKind.DRILL_POINT]
    shoulder = share[BoreStepKind.SHOULDER]
    least = min((s.diameter_mm for s in steps if s.kind in WALLS), default=steps[0].diameter_mm)
    kind = FeatureKind.THROUGH_BORE if len(at) > 1 else FeatureKind.BLIND_BORE
    return Feature(
        NAMELESS, kind, UNMEASURED, least, abs(far - at[0]), triple(axis), tuple(triple(origin + axis * x) for x in at),
        steps, sum(share.values()) - floor - shoulder, floor, shoulder, opens=(triple(-axis), triple(axis))[: len(at)],
    )  # fmt: skip


def _explained(steps: Sequence[BoreStep], depth_mm: float, widest_mm: float) -> bool:
    """Whether the steps account for the bore: no more area than their sizes come to, most of it about the axis."""
    about = sum(s.area_mm2.low for s in steps if s.round_mm2 is not None)  # chamfers may be read as a curved wall
    beside = sum(s.area_mm2.value for s in steps if s.round_mm2 is None)
    full = sum(s.round_mm2 for s in steps if s.round_mm2 is not None)
    return depth_mm > 0.0 and beside <= about <= EXCESS * full and max(s.diameter_mm for s in steps) <= widest_mm


def _lobed(steps: Sequence[BoreStep], blind: bool) -> bool:
    """Whether a blind bore is the middle of a wider socket: little wall, and no floor of its own."""
    if not blind or any(s.kind in (BoreStepKind.FLOOR, BoreStepKind.DRILL_POINT) for s in steps):
        return False
    return sum(s.open_mm2 for s in steps) > 0.5 * sum(s.round_mm2 or 0.0 for s in steps)


def axis_patch(cut: PatchCut, wall: Walls, own: Sequence[int]) -> int | None:
    """The patch whose axis is the bore's: of its walls that go round, cylinders before cones, the one most cut up."""
    round_ = [p for p in own if wall.inward[p] and wall.cover[p] > BORE_COVER]
    straight = [p for p in round_ if cut.surfaces[p].kind is SurfaceKind.CYLINDER]
    sloped = [p for p in round_ if cut.surfaces[p].kind is SurfaceKind.CONE]
    return max(straight or sloped, key=lambda p: len(cut.rows(p)), default=None)


def _shut(
    skin: Skin, lengths: Sequence[Length], beside: Sequence[Length], main: int, reach: tuple[float, float]
) -> tuple[bool, bool]:
    """Whether something stands across the bore at either end of it: a drill's point, a floor, or the middle of a flat
    beside it, where slits run out at the floor."""
    slack = 1e-3 * (reach[1] - reach[0])
    shut = []
    for end, way in zip(reach, (1, -1), strict=True):
        own, out = (
            [x for x in some if abs((x.begin if way > 0 else x.end) - end) <= slack] for some in (lengths, beside)
        )
        tip = any(min(x.radius_begin, x.radius_end) < TIP * x.radius for x in own)
        radius = max((x.radius for x in own), default=0.0)
        floor = sum(skin.areas[p].value for x in own if x.way == way for p in x.patches)
        for p in (p for x in out if x.way == way for p in x.patches):
            floor += skin.areas[p].value * share_within(skin.cut, p, main, radius)
        shut.append(tip or floor > FLOOR * frustum_mm2(0.0, radius, 0.0))
    return shut[0], shut[1]


def _mouths(
    rings: Sequence[Ring], origin: Floats, axis: Floats, reach: tuple[float, float], shut: tuple[bool, bool]
) -> list[Mouth]:
    """The mouths, those that run along the side of the bore replaced by the mouths at its ends.

    reach: where the bore's skin begins and ends along the axis [mm],
    shut: whether something stands across it there. A keyway or a slit opens a bore along its side; several of them
    leave as many arcs, each with a rim of its own, which does not wind round the axis. What lies in the plane of an end
    is one mouth. An end that sides run to is a mouth if much of their rim lies there; a keyway that stops short of it
    leaves the bore whole.
    """
    slack = 1e-3 * (reach[1] - reach[0])
    ends: tuple[list[Floats], list[Floats]] = ([], [])
    others, sides = [], []
    for ring in rings:
        rim = ring.ends - origin
        turn, height, _ = about(rim, np.broadcast_to(axis, (len(rim), 3)))
        winds = abs(turn.sum()) > np.pi
        plain = ring.plain if ring.plain.any() else np.ones(len(rim), bool)
        there = [np.asarray((np.abs(rim @ axis - end) <= slack).all(axis=1)) for end in reach]
        turned: Floats = np.abs(turn[plain])
        most = [turned[edges[plain]].sum() > (MOST_ROUND if winds else MOST) * turned.sum() for edges in there]
        if abs(turn[ring.plain].sum()) > 1.0:
            turn = np.where(ring.plain, turn, 0.0)
        if any(most):
            ends[most.index(True)].append(rim[there[most.index(True)]])
        elif winds:
            others.append(Mouth.of(rim, axis, _height_mm(rim[turn != 0.0], axis, float(turn @ height / turn.sum()))))
        elif np.ptp(rim @ axis) <= 0.5 * (reach[1] - reach[0]):
            others.append(Mouth.of(rim, axis))
        else:
            sides.append(rim)
    if sides:
        rim = np.concatenate(sides)
        z = rim @ axis
        near = [rim[(np.abs(z - end) <= slack).all(axis=1)] for end in reach]
        found = [
            not across and _length_mm(edges) > SHARE_OF_RIM * _length_mm(rim)
            for edges, across in zip(near, shut, strict=True)
        ]
        tenth = 0.1 * np.ptp(z)
        slanted = [rim[(z <= z.min() + tenth).all(axis=1)], rim[(z >= z.max() - tenth).all(axis=1)]]
        for end, level, slant, is_mouth, across in zip(ends, near, slanted, found, shut, strict=True):
            if is_mouth:
                end.append(level)
            elif not (end or across or others) and len(slant):  # nothing stands across: slanted, open to one side
                end.append(slant)
        if not any((*ends, others)):
            others.append(Mouth.of(rim, axis))
    return [Mouth.of(np.concatenate(end), axis) for end in ends if end] + others


def _height_mm(rim: Floats, axis: Floats, mean_mm: float) -> float:
    """Where a mouth lies along the axis: its mean over the turn, or as far out as it goes where it lies in no plane."""
    z = rim @ axis
    centre = rim.mean(axis=1)
    across = centre - z.mean(axis=1)[:, None] * axis
    if not is_jagged(across, z.mean(axis=1), float(np.linalg.norm(across, axis=1).mean())):
        return mean_mm
    outward = np.cross(across, rim[:, 1] - rim[:, 0]).sum(axis=0) @ axis
    return float(z.max() if outward > 0.0 else z.min())


def _in_order(mouths: list[Mouth], middle: Floats) -> list[Mouth]:
    """The mouths along the axis, the widest end first; of equal ones that further from the middle of the part, then by
    where they lie."""
    ordered = sorted(mouths, key=lambda x: x.height_mm)
    first, last = ordered[0], ordered[-1]
    gap = first.radius_mm - last.radius_mm
    if abs(gap) <= 1e-4 * last.radius_mm:
        away = [float(np.linalg.norm(x.middle - middle)) for x in (first, last)]
        gap = away[0] - away[1]
        if abs(gap) <= ALIKE * max(away):
            gap = 1.0 if _before(first.middle, last.middle) else -1.0
    return ordered if gap > 0.0 or first is last else ordered[::-1]


def _before(one: Floats, two: Floats) -> bool:
    """Whether a point lies before another: by the first of x, y and z in which they lie apart."""
    off = two - one
    apart = np.nonzero(np.abs(off) > ALIKE * np.abs(off).max())[0]
    return bool(len(apart) and off[apart[0]] > 0.0)


def _length_mm(edges: Floats) -> float:
    return float(np.linalg.norm(edges[:, 1] - edges[:, 0], axis=1).sum())
