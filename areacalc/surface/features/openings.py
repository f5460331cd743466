"""What an opening that is no bore is: passage, pocket, slot, keyway or groove; and how wide, long and deep it is.

A passage has walls of flats and goes right through, a pocket has a floor and walls all round. A slot is as wide as the
half-rounds at its ends, or runs out at an end; a keyway is a slot in the wall of a bore. A groove has a round bottom.
"""

from collections.abc import Callable, Sequence

import numpy as np

from areacalc.shape.kinds import Floats, Surface, SurfaceKind
from areacalc.surface.features.bores import NAMELESS, UNMEASURED, Ring
from areacalc.surface.features.cut_skin import Skin
from areacalc.surface.features.fit import circle, square_to, triple
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import Walls
from areacalc.surface.skin import Feature, FeatureKind

ALIKE = 0.02  # share by which a slot's width and the diameter of its rounded ends may differ
FACING = 0.99  # cosine of the angle up to which directions are one
STEEP = 0.5  # cosine of the angle to the way out from which a flat is a wall and no floor
CORNERS = 10  # a rim of fewer has no half-rounds
FLOOR = 0.7
"""Cosine of the angle to the way out up to which a flat is the floor of what opens to a side as well."""
SQUARE = 1e-3  # cosine of the angle to a right one up to which directions are square
BULGE = 0.8
"""Of the radius: flats on a round wall whose corners lie higher, on both sides, go over its highest line."""
SHUT = 0.3  # cosine: what faces along a slot by more shuts its end
TURNS = 90  # directions that an opening without flat walls is measured in
LARGEST = 16  # flat walls that an opening is measured square to, the largest ones


def opening(
    kind: FeatureKind, size_mm: tuple[float, float, float], ways: Sequence[Floats], mouths: Sequence[Floats] = (),
    section_mm2: float | None = None, around_mm: float | None = None,
) -> Feature:  # fmt: skip
    """An opening of this width, its least across, length square to that, and depth along the way out.

    ways: unit vectors that point out of it, one for each way it opens. mouths: the middles of its rims [mm], the widest
    first; a slot that runs out at an end has none that a plug would close.
    """
    width, length, depth = size_mm
    return Feature(
        NAMELESS, kind, UNMEASURED, None, depth, mouths=tuple(map(triple, mouths)), width_mm=width, length_mm=length,
        opens=tuple(map(triple, ways)), section_mm2=section_mm2, around_mm=around_mm,
    )  # fmt: skip


def opening_of(skin: Skin, own: tuple[int, ...], rings: Sequence[Ring]) -> Feature:
    """What these patches are, cut off by these rings."""
    cut, wall = skin.cut, skin.wall
    ways, mouths = _ways(rings)
    axis = ways[0] if ways else _mean_way(cut, own)
    in_bore = bool(skin.by_bore[list(own)].any())
    level = _level(rings, axis) and not in_bore  # a rim in a bore's wall is bent, however few corners it is drawn with
    if not level and len(ways) == 1 and (floor := _floor(cut, own, axis)) is not None:
        axis, ways = floor, (floor,)
    largest = max(own, key=_area_in(cut))
    width, length, across = _least_width(cut, own, axis)
    kind = FeatureKind.POCKET
    if _rounded_ends(cut, wall, own, axis, width):
        kind = FeatureKind.SLOT
    elif in_bore and (ends := open_ends(cut, own, np.cross(axis, across))):
        kind, ways = FeatureKind.KEYWAY, (*ways, *ends)
    elif wall.inward[largest] and cut.surfaces[largest].kind is SurfaceKind.CYLINDER and len(ways) < 2:
        kind = FeatureKind.GROOVE
    elif _obround(rings, axis, across, width, length):
        kind = FeatureKind.SLOT
    elif len(ways) > 1:
        kind = FeatureKind.PASSAGE
    elif not level and (ends := open_ends(cut, own, np.cross(axis, across))):
        kind, ways = FeatureKind.SLOT, (*ways, *ends)
    width, length, depth = (extent_mm(cut, own, way) for way in (across, np.cross(axis, across), axis))
    return opening(kind, (width, length, depth), ways, mouths, *_section(rings, axis))


def ring_groove(skin: Skin, own: tuple[int, ...], rings: Sequence[Ring], lands: Sequence[Ring]) -> Feature | None:
    """A groove between its round rim and a round land as high as that: as wide as they lie apart, as long as the circle
    halfway; None where they are no such circles."""
    if len(rings) != 1 or len(lands) != 1:
        return None
    ways, mouths = _ways(rings)
    flat = np.column_stack(square_to(ways[0]))
    found = []
    for rim in (ring.ends[:, 0] @ flat for ring in (rings[0], lands[0])):
        round_ = circle(rim) if len(rim) >= CORNERS else None
        if round_ is None or np.abs(np.linalg.norm(rim - round_[:2], axis=1) - round_[2]).max() > ALIKE * round_[2]:
            return None
        found.append(np.array(round_))
    (*off, width), length = found[0] - found[1], np.pi * (found[0][2] + found[1][2])
    if np.hypot(*off) > ALIKE * found[0][2]:
        return None
    return opening(FeatureKind.GROOVE, (float(width), length, extent_mm(skin.cut, own, ways[0])), ways, mouths)


def extent_mm(cut: PatchCut, own: Sequence[int], way: Floats) -> float:
    """How far patches reach along a way (a unit vector): their corners, and round walls where they bulge between."""
    low, high = np.inf, -np.inf
    for p in own:
        points = cut.points(p)
        along = points @ way
        begin, end = float(along.min()), float(along.max())
        surface = cut.surfaces[p]
        if (bulge := _bulge(surface, points, way)) is not None:
            aside, radius, middle = *bulge, float(np.dot(surface.point, way))
            for sign, reach in ((1.0, end), (-1.0, begin)):
                top = aside[sign * (along - middle) > BULGE * radius]
                if len(top) and top.min() < 0.0 < top.max():  # the wall goes on to both sides of its highest line
                    reach = middle + sign * radius
                begin, end = min(begin, reach), max(end, reach)
        low, high = min(low, begin), max(high, end)
    return high - low


def _bulge(surface: Surface, points: Floats, way: Floats) -> tuple[Floats, float] | None:
    """How far points of a round wall lie to one side or the other of its highest line along a way, and how high that
    lies over its middle [mm]; None where a wall has no such line."""
    off, along = points - np.array(surface.point), abs(float(np.dot(surface.direction, way)))
    if surface.kind is SurfaceKind.CYLINDER and along < SQUARE:
        return off @ np.cross(surface.direction, way), surface.radius_mm
    if surface.kind is SurfaceKind.TORUS and along > 1.0 - SQUARE**2:
        return np.linalg.norm(off - np.outer(off @ way, way), axis=1) - surface.radius_mm, surface.minor_radius_mm
    return None


def open_ends(cut: PatchCut, own: Sequence[int], along: Floats) -> tuple[Floats, ...]:
    """The ways along a slot (unit vectors) in which no wall faces back: it runs out there."""
    mesh, rows = cut.mesh, [cut.rows(p) for p in own]
    facing = [float(mesh.normal[r].T @ mesh.area[r] @ along) / max(float(mesh.area[r].sum()), 1e-300) for r in rows]
    first = -along if tuple(-along) < tuple(along) else along
    return tuple(
        way for way, sign in ((first, first @ along), (-first, -first @ along)) if min(sign * x for x in facing) > -SHUT
    )


def _ways(rings: Sequence[Ring]) -> tuple[tuple[Floats, ...], tuple[Floats, ...]]:
    """The unit vector that points out of each ring, and its middle; the ring that sweeps the most first."""
    found = []
    for ring in rings:
        start, end = ring.ends[:, 0], ring.ends[:, 1]
        middle = 0.5 * (start.min(axis=0) + start.max(axis=0))
        swept = np.cross(start - middle, end - middle).sum(axis=0)
        size = float(np.linalg.norm(swept))
        found.append((float(f"{-size:.4g}"), tuple(np.round(middle, 3)), swept / max(size, 1e-300), middle))
    found.sort(key=lambda x: x[:2])
    return tuple(x[2] for x in found), tuple(x[3] for x in found)


def _section(rings: Sequence[Ring], axis: Floats) -> tuple[float | None, float | None]:
    """The area of the smallest ring across an axis [mm2], and its length [mm], as seen along that."""
    found = []
    for ring in rings:
        flat = ring.ends - (ring.ends @ axis)[:, :, None] * axis
        swept = np.cross(flat[:, 0] - flat[0, 0], flat[:, 1] - flat[0, 0]).sum(axis=0)
        around = np.linalg.norm(flat[:, 1] - flat[:, 0], axis=1).sum()
        found.append((0.5 * abs(float(swept @ axis)), float(around)))
    return min(found, default=(None, None))


def _mean_way(cut: PatchCut, own: Sequence[int]) -> Floats:
    """The way that a floor faces: what the walls of an opening do not cancel of each other."""
    rows = cut.rows(*own)
    area = cut.mesh.area[rows]
    way = cut.mesh.normal[rows].T @ area
    length = float(np.linalg.norm(way))
    return np.asarray(way / length) if length > 1e-9 * float(area.sum()) else np.array((0.0, 0.0, 1.0))


def _area_in(cut: PatchCut) -> Callable[[int], float]:
    return lambda p: float(cut.mesh.area[cut.rows(p)].sum())


def _least_width(cut: PatchCut, own: Sequence[int], axis: Floats) -> tuple[float, float, Floats]:
    """The least width across the axis square to any flat wall, the length along that wall, and the wall's normal."""
    points, flats = cut.points(*own), [p for p in own if cut.surfaces[p].kind is SurfaceKind.PLANE]
    if len(flats) > LARGEST:
        flats = sorted(flats, key=_area_in(cut), reverse=True)[:LARGEST]
    ways = [np.array(cut.surfaces[p].direction) for p in flats]
    best = (np.inf, 0.0, axis)
    for n in [n for n in ways if abs(float(n @ axis)) < STEEP] or _all_round(axis):
        across = n - (n @ axis) * axis
        across /= np.linalg.norm(across)
        along = np.cross(axis, across)
        wide, long = float(np.ptp(points @ across)), float(np.ptp(points @ along))
        if min(wide, long) < (1.0 - 1e-6) * best[0]:
            best = (wide, long, across) if wide <= (1.0 + 1e-6) * long else (long, wide, along)
    return best


def _all_round(axis: Floats) -> list[Floats]:
    u, v = square_to(axis)
    return [np.cos(t) * u + np.sin(t) * v for t in np.pi * np.arange(TURNS) / TURNS]


def _rounded_ends(cut: PatchCut, wall: Walls, own: Sequence[int], axis: Floats, width_mm: float) -> bool:
    """Whether both ends are half-rounds as wide as the opening, as a milling cutter leaves them, with flats between."""
    ends = walls = 0
    for p in own:
        surface = cut.surfaces[p]
        along = abs(float(np.dot(surface.direction, axis)))
        if surface.kind is SurfaceKind.CYLINDER and wall.inward[p] and along > FACING:
            ends += abs(2.0 * surface.radius_mm - width_mm) <= ALIKE * width_mm
        walls += surface.kind is SurfaceKind.PLANE and along < STEEP
    return ends >= 2 and walls >= 2


def _obround(rings: Sequence[Ring], axis: Floats, across: Floats, width_mm: float, length_mm: float) -> bool:
    """Whether every rim is a straight line with half-rounds about its ends, in whatever patches its walls came out."""
    half, reach = 0.5 * width_mm, 0.5 * (length_mm - width_mm)
    if not rings or reach <= ALIKE * width_mm:
        return False
    for ring in rings:
        rim = ring.ends[:, 0]
        if len(rim) < CORNERS:
            return False
        a, b = rim @ across, rim @ np.cross(axis, across)
        a, b = np.abs(a - 0.5 * (a.min() + a.max())), np.abs(b - 0.5 * (b.min() + b.max()))
        if np.abs(np.hypot(a, np.maximum(b - reach, 0.0)) - half).max() > ALIKE * half:
            return False
    return True


def _level(rings: Sequence[Ring], axis: Floats) -> bool:
    rim = np.concatenate([ring.ends[:, 0] for ring in rings]) if rings else np.zeros((1, 3))
    return float(np.ptp(rim @ axis)) <= ALIKE * float(np.ptp(rim, axis=0).max())


def _floor(cut: PatchCut, own: Sequence[int], axis: Floats) -> Floats | None:
    """The way that the largest flat faces of those that face out of an opening, None where it has none."""
    flats = [p for p in own if cut.surfaces[p].kind is SurfaceKind.PLANE]
    facing = [p for p in flats if float(np.dot(cut.surfaces[p].direction, axis)) > FLOOR]
    largest = max(facing, key=_area_in(cut), default=None)
    return None if largest is None else np.array(cut.surfaces[largest].direction)
