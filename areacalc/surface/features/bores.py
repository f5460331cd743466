"""One bore measured: its axis, mouths, diameter, depth, and its steps from the first mouth inward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Floats, SurfaceKind
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.mouths import BORE_COVER, Walls
from areacalc.surface.features.patches import Cut
from areacalc.surface.skin import Step

SHARE_OF_RIM = 0.2
"""Of an opening's corners: this many in one plane square to the axis are a mouth; a cross-hole's rim has few."""


@dataclass(frozen=True, eq=False)
class Bore:
    """A bore: axis a unit vector from the first mouth inward, mouths their middles [mm], the first one first."""

    axis: Floats
    mouths: tuple[Floats, ...]
    diameter_mm: float
    depth_mm: float
    steps: tuple[Step, ...]
    wall_mm2: float
    floor_mm2: float
    shoulder_mm2: float


@dataclass(frozen=True, slots=True)
class Length:
    """A patch of a bore along the axis: where it begins and ends [mm], and its radius at both ends [mm]."""

    patch: int
    begin: float
    end: float
    radius_begin: float
    radius_end: float


def bore_of(
    mesh: Creases, cut: Cut, wall: Walls, areas: Sequence[Estimate], own: tuple[int, ...], rings: list[Floats]
) -> Bore | None:
    """The bore that these patches make with these openings, or None where nothing goes round an axis."""
    round_ = [p for p in own if wall.inward[p] and wall.cover[p] > BORE_COVER]
    straight = [p for p in round_ if cut.surfaces[p].kind is SurfaceKind.CYLINDER]
    sloped = [p for p in round_ if cut.surfaces[p].kind is SurfaceKind.CONE]
    if not rings or not (straight or sloped):
        return None
    first = max(straight or sloped, key=lambda p: areas[p].value)
    origin, axis = np.array(cut.surfaces[first].point), np.array(cut.surfaces[first].direction)
    spans = {p: _span(mesh, cut, p, origin, axis) for p in own}
    everything = [x for s in spans.values() for x in (s.begin, s.end)]
    rings = _ends_of_sides(rings, origin, axis, (min(everything), max(everything)))
    rings = _in_order(rings, origin, axis)
    at = [_middle(ring, origin, axis) for ring in rings]
    far_end = at[-1] if len(at) > 1 else max(everything, key=lambda x: abs(x - at[0]))
    if far_end < at[0]:
        axis = -axis
        at = [-x for x in at]
        far_end = -far_end
        spans = {p: Length(p, -s.end, -s.begin, s.radius_end, s.radius_begin) for p, s in spans.items()}
    parts = sorted(spans.values(), key=lambda s: (s.begin + s.end, s.begin))
    walls = [2.0 * cut.surfaces[p].radius_mm for p in straight] or [2.0 * _cone_radius(spans[p]) for p in sloped]
    roles = [_role(cut, wall, part, parts, min(walls), blind=len(at) == 1) for part in parts]
    share = {role: sum(areas[s.patch].value for s, r in zip(parts, roles, strict=True) if r == role) for role in roles}
    floor = share.get("floor", 0.0) + share.get("drill-point", 0.0)
    shoulder = share.get("shoulder", 0.0)
    lengths: dict[tuple[int, str], list[Length]] = {}
    for part, role in zip(parts, roles, strict=True):  # arcs of one wall are one step
        lengths.setdefault((int(wall.wall_of[part.patch]), role), []).append(part)
    steps = tuple(
        Step(
            2.0 * max(max(s.radius_begin, s.radius_end) for s in arcs),
            max(s.end for s in arcs) - min(s.begin for s in arcs),
            total(areas[s.patch] for s in arcs),
            role,
        )
        for (_, role), arcs in lengths.items()
    )
    middles = tuple(origin + axis * x for x in at)
    return Bore(
        axis, middles, min(walls), abs(far_end - at[0]), steps, sum(share.values()) - floor - shoulder, floor, shoulder
    )


def _ends_of_sides(rings: list[Floats], origin: Floats, axis: Floats, reach: tuple[float, float]) -> list[Floats]:
    """The openings, those that run along the side of the bore replaced by the mouths at its ends.

    reach: where the bore's skin begins and ends along the axis [mm]. A keyway or a slit opens a bore so; several of
    them leave as many arcs, each with a rim of its own. What lies in the plane of an end is one mouth. An end that
    sides run to is a mouth if much of their rim lies there; a keyway that stops short of it leaves the bore whole.
    """
    heights = [(ring - origin) @ axis for ring in rings]
    length = max(float(z.max()) for z in heights) - min(float(z.min()) for z in heights)
    slack = 1e-3 * (reach[1] - reach[0])
    mouths: tuple[list[Floats], list[Floats]] = ([], [])
    others, sides = [], []
    for ring, z in zip(rings, heights, strict=True):
        there = [np.abs(z - end) <= slack for end in reach]
        most = [2 * int(corners.sum()) > len(z) for corners in there]
        if np.ptp(z) > max(0.5 * length, 2.0 * slack):
            sides.append(ring)
        elif any(most):
            mouths[most.index(True)].append(ring[there[most.index(True)]])
        else:
            others.append(ring)
    if sides:
        rim = np.concatenate(sides)
        z = (rim - origin) @ axis
        ends = [rim[np.abs(z - end) <= slack] for end in reach]
        found = [len(end) > SHARE_OF_RIM * len(rim) for end in ends]
        for mouth, end, is_mouth in zip(mouths, ends, found, strict=True):
            if is_mouth:
                mouth.append(end)
        if not any(found):
            others.append(rim)
    return [np.concatenate(mouth) for mouth in mouths if mouth] + others


def _middle(ring: Floats, origin: Floats, axis: Floats) -> float:
    """Where an opening lies along the axis: halfway between its nearest and its farthest point."""
    z = (ring - origin) @ axis
    return 0.5 * float(z.min() + z.max())


def _in_order(rings: list[Floats], origin: Floats, axis: Floats) -> list[Floats]:
    """The openings along the axis, the widest end first; of equal ones the one with the longer rim, then by place."""

    def width(ring: Floats) -> float:
        w = ring - origin
        return float(np.linalg.norm(w - (w @ axis)[:, None] * axis, axis=1).mean())

    ordered = sorted(rings, key=lambda ring: _middle(ring, origin, axis))
    first, last = ordered[0], ordered[-1]
    gap = width(first) - width(last)
    if gap < -1e-4 * width(last) or (
        abs(gap) <= 1e-4 * width(last) and tuple(last.mean(axis=0)) < tuple(first.mean(axis=0))
    ):
        ordered.reverse()
    return ordered


def _span(mesh: Creases, cut: Cut, p: int, origin: Floats, axis: Floats) -> Length:
    points = mesh.points[mesh.corners[cut.rows(p)].ravel()] - origin
    z = points @ axis
    r = np.linalg.norm(points - z[:, None] * axis, axis=1)
    begin, end = float(z.min()), float(z.max())
    surface = cut.surfaces[p]
    if surface.kind is SurfaceKind.CYLINDER:
        return Length(p, begin, end, surface.radius_mm, surface.radius_mm)
    if surface.kind is SurfaceKind.CONE:
        return Length(p, begin, end, float(r[z.argmin()]), float(r[z.argmax()]))
    return Length(p, begin, end, float(r.max()), float(r.max()))


def _cone_radius(span: Length) -> float:
    least, most = sorted((span.radius_begin, span.radius_end))
    return least if least > 1e-3 * most else most


def _role(cut: Cut, wall: Walls, part: Length, parts: list[Length], least_mm: float, blind: bool) -> str:
    """What a step is called: by its surface, and by what lies on either side of it."""
    surface = cut.surfaces[part.patch]
    deepest = max(s.end for s in parts)
    at_floor = blind and part.end >= deepest - 1e-6 * max(deepest, 1.0)
    if surface.kind is SurfaceKind.CYLINDER and wall.inward[part.patch]:
        if 2.0 * surface.radius_mm <= least_mm * 1.001:
            return "bore"
        before = [s for s in parts if s.end <= part.begin + 1e-6 and cut.surfaces[s.patch].kind is SurfaceKind.CYLINDER]
        after = [s for s in parts if s.begin >= part.end - 1e-6 and cut.surfaces[s.patch].kind is SurfaceKind.CYLINDER]
        narrower = [any(s.radius_end < surface.radius_mm * 0.999 for s in side) for side in (before, after)]
        return "groove" if all(narrower) else "counterbore" if any(narrower) else "bore"
    if surface.kind is SurfaceKind.CONE:
        if at_floor and min(part.radius_begin, part.radius_end) < 0.05 * max(part.radius_begin, part.radius_end):
            return "drill-point"
        at_rim = part.begin <= min(s.begin for s in parts) + 1e-6
        at_rim |= not blind and part.end >= deepest - 1e-6
        return "countersink" if at_rim else "shoulder"
    return "floor" if at_floor else "shoulder"
