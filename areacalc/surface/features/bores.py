"""One bore measured: its axis, mouths, diameter, depth, and its steps from the first mouth inward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.estimate import Estimate, total
from areacalc.shape.body import Floats, SurfaceKind
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
    rings = _ends_of_sides(rings, origin, axis)
    rings = _in_order(rings, origin, axis)
    at = [_middle(ring, origin, axis) for ring in rings]
    spans = {p: _span(mesh, cut, p, origin, axis) for p in own}
    everything = [x for s in spans.values() for x in (s.begin, s.end)]
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


def _ends_of_sides(rings: list[Floats], origin: Floats, axis: Floats) -> list[Floats]:
    """The openings, those that run along the side of the bore replaced by the mouths at its ends.

    A keyway or a slit opens a through bore so; several of them leave as many arcs, each with a rim of its own. An end
    is a mouth if much of the rim lies in its plane.
    """
    heights = [(ring - origin) @ axis for ring in rings]
    low, high = min(float(z.min()) for z in heights), max(float(z.max()) for z in heights)
    long = [float(np.ptp(z)) > 0.5 * (high - low) for z in heights]
    sides = [ring for ring, is_long in zip(rings, long, strict=True) if is_long]
    if not sides:
        return rings
    rim = np.concatenate(sides)
    z = (rim - origin) @ axis
    slack = 1e-3 * (high - low)
    flat = high - low < 1e-3 * float(np.ptp(rim, axis=0).max())
    ends = [end for end in (rim[z <= z.min() + slack], rim[z >= z.max() - slack]) if len(end) > SHARE_OF_RIM * len(rim)]
    return (ends if ends and not flat else [rim]) + [
        ring for ring, is_long in zip(rings, long, strict=True) if not is_long
    ]


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
