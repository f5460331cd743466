"""Flats on one circle, flat or round? Which reading was taken, and what it leaves open.

Rings of few flats may be a hexagon bar, or a round wall drawn coarsely.
Ten flats to a circle and up read as round (flats.SMOOTH_RAD), and so do eight or nine in a hole where the file draws
its other round surfaces as coarsely, or has none; others alike on one circle stay flats. A file that draws its other
round surfaces ten times closer means its flats, a dozen as well; otherwise, and for a dozen, the bounds hold the round
wall as well.

Narrow flats with their edges on one circle are the lands of a spline or a knurl, each drawn as a single flat: the
corners allow a flat and an arc alike, so the bounds hold both; the value is that of the flats. Lands that face the axis
are walls of one bore either way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.estimate import Estimate
from areacalc.fact import fact, quantity
from areacalc.shape.body import cross
from areacalc.shape.kinds import Floats, Ints, Note, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.surface.features.axes import coaxial
from areacalc.surface.features.border import Borders
from areacalc.surface.features.fit import distances, fit, gradients, sample, square_to
from areacalc.surface.features.flats import SMOOTH_RAD
from areacalc.surface.features.patches import PatchCut, relabelled, with_planes
from areacalc.surface.features.true_area import bends
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import Vector

FLATS = range(5, 10)
WIDEST_RAD = math.radians(73.0)
ALIKE_RAD = 2e-3
CLOSER = 10.0
ROUND_FLATS, AS_COARSE = 8, 2.5
"""So many flats in a hole are a bore drawn coarsely, unless flats stand off others by so many times less."""
COARSE_RAD = math.radians(16.0)
"""Round surfaces drawn in larger turns than this (22 flats to a circle) are told."""
SLOPED = 0.05  # cosine: the flats of a countersink stand neither along the axis nor square to it
MEANT_RAD = math.radians(20.0)  # flats all round that turn by more (18 to a circle) may be meant
BECAUSE = "flats on a circle that may be a round wall drawn coarsely"
FEWEST = 5  # lands that tell of a circle: four are the chamfers of a square bar
LEAST = 0.25  # of a turn: lands that face the axis and make up less are ribs
ALIKE = 1e-3  # of its width: how far a land may differ from its fellows
AXES, CROSSINGS = 3, 100
"""Lands of a group whose crossings with so many of the others are tried as the axis."""
MAY_BE_ARCS = "narrow flats on a circle that may be arcs"


@dataclass(frozen=True, eq=False)
class FlatRing:
    """Flats (patches) round an axis with their corners on one circle; hollow: they face the axis.

    corners (n, 3): the ends of the edges between them. askew: how much larger than square to the axis its ends are.
    """

    patches: tuple[int, ...]
    corners: Floats
    radius_mm: float
    askew: float
    hollow: bool

    @property
    def sag_mm(self) -> float:
        """How far the middle of a flat lies inside the circle."""
        return self.radius_mm * (1.0 - math.cos(math.pi / len(self.patches)))

    def widened(self, areas: list[Estimate]) -> None:
        """Let the bounds of the flats hold the round wall, and those of the first its two ends as well."""
        count = len(self.patches)
        step = math.pi / count
        # of all cones through the corners the flattest gains the most: 1 / cos more than a cylinder
        wall = step / (math.sin(step) * math.cos(step)) - 1.0
        ends = 2.0 * self.askew * self.radius_mm**2 * (math.pi - 0.5 * count * math.sin(2.0 * step))
        for k, p in enumerate(self.patches):
            plain, end = areas[p], ends if k == 0 else 0.0
            low = plain.low - (end if self.hollow else 0.0)
            high = plain.high + wall * plain.value + (0.0 if self.hollow else end)
            areas[p] = Estimate(plain.value, low, high, (BECAUSE,))


def coarse_bores(cut: PatchCut) -> PatchCut:
    """The patches, those of holes of few flats as round walls where the file draws what else is round as coarsely."""
    skin = cut.mesh
    holes = [ring for ring in rings(cut) if ring.hollow and len(ring.patches) >= ROUND_FLATS]
    surfaces, root = list(cut.surfaces), np.arange(len(cut.surfaces))
    closest = _drawn(cut)[1] if holes else None
    for ring in holes:
        flats = list(ring.patches)
        rows = cut.rows(*flats)
        for kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE):
            wall = fit(kind, ring.corners, skin.middle[rows], skin.normal[rows], skin.area[rows])
            on = wall is not None and np.abs(distances(wall, ring.corners)).max() <= 16.0 * skin.noise_mm
            if wall and on and (closest is None or ring.sag_mm <= AS_COARSE * closest):
                for own, surface in ((flats, wall), *_countersinks(cut, flats, wall)):
                    for p in own:
                        root[p], surfaces[p] = own[0], surface
                break
    return relabelled(cut.on(tuple(surfaces)), root, root) if len(np.unique(root)) < len(root) else cut


def _countersinks(cut: PatchCut, hole: list[int], wall: Surface) -> Iterator[tuple[list[int], Surface]]:
    """The patches at either end of a hole that have as many flats and are a cone about its wall's axis."""
    skin = cut.mesh
    near = [p for p in np.unique(cut.edge.other[np.isin(cut.edge.patch, hole)]).tolist() if p >= 0]
    slope = [float(np.median(skin.normal[cut.rows(p)] @ wall.direction)) for p in near]
    for way in (1.0, -1.0):
        own = [p for p, s in zip(near, slope, strict=True) if SLOPED < way * s < 1.0 - SLOPED]
        rows = cut.rows(*own) if own else np.zeros(0, int)
        if len(np.unique(skin.flat_of[rows])) != len(hole):
            continue
        corners = cut.points(*own)
        cone = fit(SurfaceKind.CONE, corners, skin.middle[rows], skin.normal[rows], skin.area[rows])
        if cone and coaxial(cone, wall) and np.abs(distances(cone, corners)).max() <= 16.0 * skin.noise_mm:
            yield own, cone


def flats_meant(cut: PatchCut) -> tuple[PatchCut, list[FlatRing]]:
    """The patches, round walls of a dozen flats as flats where all else that is round is drawn closer, and their rings:
    a knob with twelve flats on a shaft."""
    skin = cut.mesh
    round_, turn, radius, sag = _round(cut)
    few = round_ & (turn > MEANT_RAD)
    flats = {p: np.unique(skin.flat_of[cut.rows(p)]) for p in np.nonzero(few)[0].tolist() if _outward(cut, p)}
    whole = [
        cut.surfaces[p].kind is SurfaceKind.CYLINDER and abs(len(f) * turn[p] - math.tau) < 0.1
        for p, f in flats.items()
    ]
    fine = round_ & ~few
    if not flats or not all(whole) or not fine.any() or sag[list(flats)].min() <= CLOSER * sag[fine].max():
        return cut, []
    patch_of, surfaces, rings = cut.patch_of.copy(), list[Surface | None](cut.surfaces), []
    for p, own in flats.items():
        rows, names = cut.rows(p), [p, *range(len(surfaces), len(surfaces) + len(own) - 1)]
        surfaces[p : p + 1], surfaces[len(surfaces) :] = [None], [None] * (len(own) - 1)
        patch_of[rows] = np.array(names)[np.searchsorted(own, skin.flat_of[rows])]
        rings.append(FlatRing(tuple(names), cut.points(p), float(radius[p]), 1.0, hollow=False))
    return PatchCut(skin, patch_of, with_planes(skin, patch_of, surfaces)), rings


def _outward(cut: PatchCut, p: int) -> bool:
    middle, normal = (x[cut.rows(p)] for x in (cut.mesh.middle, cut.mesh.normal))
    return bool(np.einsum("ij,ij->", gradients(cut.surfaces[p], middle), normal) > 0.0)


def read_rings(
    cut: PatchCut, areas: Sequence[Estimate], meant: Sequence[FlatRing]
) -> tuple[list[Estimate], list[Note]]:
    """The areas with the bounds of rings of few flats widened where the mesh leaves doubt, and which reading it was."""
    areas = list(areas)
    coarsest, closest = _drawn(cut)
    notes = []
    for ring in (*meant, *rings(cut)):
        sure = closest is not None and ring.sag_mm > CLOSER * closest and len(ring.patches) in FLATS
        if not sure:
            ring.widened(areas)
        told = fact(
            SurfaceNote.READ_AS_FLATS, flats=len(ring.patches), across=quantity(2 * ring.radius_mm, "mm"),
            closer=int(sure),
        )  # fmt: skip
        notes.append(Note(told, warns=not sure))
    if coarsest > COARSE_RAD:
        notes.append(Note(fact(SurfaceNote.READ_AS_ROUND, apart=f"{math.degrees(coarsest):.3g} degrees")))
    return areas, list(dict.fromkeys(notes))


def _drawn(cut: PatchCut) -> tuple[float, float | None]:
    """The greatest turn between flats of a round surface [rad], and the greatest sag of such flats [mm]."""
    round_, turn, _, sag = _round(cut)
    return float(turn[round_].max(initial=0.0)), float(sag[round_].max()) if round_.any() else None


def _round(cut: PatchCut) -> tuple[Truths, Floats, Floats, Floats]:
    """Which patches (p,) are round, how far their flats turn [rad], their radius and how far flats lie inside [mm]."""
    turn, radius = bends(cut)[0], np.array([s.minor_radius_mm or s.radius_mm for s in cut.surfaces])
    round_ = ~cut.are(SurfaceKind.PLANE, SurfaceKind.FREE_FORM)
    return round_, turn, radius, radius * (1.0 - np.cos(0.5 * turn))


def rings(cut: PatchCut) -> Iterator[FlatRing]:
    """Every closed ring of five to nine flats that turn alike, with corners evenly round a circle."""
    edge, plane = cut.edge, cut.are(SurfaceKind.PLANE)
    angle = edge.bend
    steep = (edge.patch < edge.other) & (np.abs(angle) > SMOOTH_RAD) & (np.abs(angle) <= WIDEST_RAD)
    steep[steep] = plane[edge.patch[steep]] & plane[edge.other[steep]]
    some = np.nonzero(steep)[0]
    some = some[np.argsort(angle[some], kind="stable")]
    for alike in np.split(some, np.nonzero(np.diff(angle[some]) > ALIKE_RAD)[0] + 1):
        pairs, link = edge.pairs(alike)
        for flats, links in _cycles(pairs, len(cut.surfaces)):
            mine = np.isin(link, links)
            held = alike[mine]
            circle = _circle(edge, held, link[mine])
            if circle is not None:
                yield FlatRing(tuple(flats.tolist()), *circle, bool(angle[held[0]] < 0))


def _cycles(pairs: Ints, count: int) -> Iterator[tuple[Ints, Ints]]:
    """Closed chains (patches, rows of pairs) in which each patch has just two neighbours."""
    if len(pairs) < FLATS.start:
        return
    degree = np.bincount(pairs.ravel(), minlength=count)
    _, label = connected(count, *pairs.T)
    size = np.bincount(label[degree > 0], minlength=count)
    odd = np.bincount(label, weights=(degree > 0) & (degree != 2), minlength=count)
    for name in np.nonzero((size >= FLATS.start) & (size < FLATS.stop) & (odd == 0))[0]:
        yield np.nonzero(label == name)[0], np.nonzero(label[pairs[:, 0]] == name)[0]


def _circle(edge: Borders, held: Ints, link: Ints) -> tuple[Floats, float, float] | None:
    """The corners, radius and skew of a FlatRing whose edges lie evenly round a circle, seen along them where they are
    parallel and by their middles where they taper; None where they lie on none."""
    ends = edge.places[held]
    names = np.unique(link)
    middle = np.stack([ends[link == name].reshape(-1, 3).mean(axis=0) for name in names])
    along, length = ends[:, 1] - ends[:, 0], edge.length_mm[held]
    way = along[length.argmax()] / length.max()
    slack = 16.0 * edge.mesh.noise_mm
    if np.abs(cross(along, np.broadcast_to(way, along.shape))).max() <= slack:
        middle -= (middle @ way)[:, None] * way
    centre = middle.mean(axis=0)
    away = middle - centre
    _, size, axes = np.linalg.svd(away)
    flat = away @ axes[:2].T
    radius = np.hypot(*flat.T)
    slack += 1e-4 * float(radius.max())
    turn = np.diff(np.sort(np.arctan2(flat[:, 1], flat[:, 0])))
    if np.ptp(radius) > slack or size[2] > slack or np.abs(turn - 2.0 * math.pi / len(names)).max() > ALIKE_RAD:
        return None
    up = (ends.reshape(-1, 3) - centre) @ axes[2]
    off = ends.reshape(-1, 3) - centre - up[:, None] * axes[2]
    widest = float(np.linalg.norm(off, axis=1).max())
    askew = max(float(np.ptp([pick(up.reshape(-1, 2)[link == name]) for name in names])) for pick in (np.min, np.max))
    return ends.reshape(-1, 3), widest, math.hypot(1.0, askew / (2.0 * widest))


@dataclass(frozen=True, eq=False)
class LandStrips:
    """Flat patches with four corners, once along either side: which they are, that way, width, middle and normal."""

    patch: Ints
    way: Floats
    width_mm: Floats
    middle: Floats
    normal: Floats

    @classmethod
    def of(cls, cut: PatchCut) -> LandStrips:
        edge, facet, count = cut.edge, cut.facet_mm2, len(cut.surfaces)
        rows = np.nonzero(cut.are(SurfaceKind.PLANE)[edge.patch])[0]
        patch, ends, length = edge.patch[rows], edge.places[rows], edge.length_mm[rows]
        chord = ends[:, 1] - ends[:, 0]
        way = np.zeros((count, 3))
        order = np.argsort(length, kind="stable")  # the longest is written last
        way[patch[order]] = (chord / np.maximum(length, 1e-300)[:, None])[order]
        normal = np.array([s.direction for s in cut.surfaces]).reshape(-1, 3)
        side = cross(normal, way)
        low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
        at = np.stack([np.einsum("bk,bk->b", ends[:, 0], axis[patch]) for axis in (side, way, normal)], axis=1)
        np.minimum.at(low, patch, at)
        np.maximum.at(high, patch, at)
        even = np.unique(patch)
        even = even[np.abs(np.prod(high[even, :2] - low[even, :2], axis=1) - facet[even]) <= ALIKE * facet[even]]
        size, middle = high[even] - low[even], 0.5 * (high[even] + low[even])
        where = sum(middle[:, k, None] * axis[even] for k, axis in enumerate((side, way, normal)))
        ways, widths = np.concatenate([way[even], side[even]]), np.concatenate([size[:, 0], size[:, 1]])
        return cls(np.tile(even, 2), ways, widths, np.tile(where, (2, 1)), np.tile(normal[even], (2, 1)))

    def alike(self) -> Iterator[Ints]:
        """Rows of strips of one width that lie the same way."""
        order = np.argsort(self.width_mm, kind="stable")
        width = self.width_mm[order]
        first = np.r_[0, np.nonzero(np.diff(width) > ALIKE * width[1:])[0] + 1, len(order)]
        for k in np.nonzero(np.diff(first) >= FEWEST)[0]:
            left = order[first[k] : first[k + 1]]
            while len(left) >= FEWEST:
                same = np.abs(self.way[left] @ self.way[left[0]]) > 1.0 - ALIKE**2
                if same.sum() >= FEWEST:
                    yield left[same]
                left = left[~same]


def read_lands(cut: PatchCut, areas: Sequence[Estimate]) -> tuple[list[Estimate], PatchCut]:
    """The areas with the bounds of lands widened to hold arcs, and their two ends with them; the patches, those
    that face their axis as arcs of a bore."""
    areas, surfaces = list(areas), list(cut.surfaces)
    strips = LandStrips.of(cut)
    for group in strips.alike():
        for some, height_mm, axis in _on_circles(strips, group, 16.0 * cut.mesh.noise_mm):
            half = np.arctan2(0.5 * strips.width_mm[some], np.abs(height_mm))
            if half.max() > SMOOTH_RAD / 2.0 or half.sum() > 0.95 * math.pi:
                continue  # a bar with flats all round
            for row, a, h in zip(some.tolist(), half.tolist(), height_mm.tolist(), strict=True):
                own = areas[strips.patch[row]]
                radius = abs(h) / math.cos(a)
                ends = 2.0 * radius**2 * (a - math.sin(a) * math.cos(a))
                wall = own.value * (a / math.sin(a) - 1.0)
                low, high = own.low - (ends if h < 0.0 else 0.0), own.high + wall + (ends if h > 0.0 else 0.0)
                areas[strips.patch[row]] = Estimate(own.value, low, high, (MAY_BE_ARCS,))
                if h < 0.0 and half.sum() >= LEAST * math.pi:
                    way = tuple(strips.way[group[0]].tolist())
                    surfaces[strips.patch[row]] = Surface(SurfaceKind.CYLINDER, axis, way, radius)
    return areas, cut.on(tuple(surfaces))


def _on_circles(strips: LandStrips, group: Ints, tolerance_mm: float) -> Iterator[tuple[Ints, Floats, Vector]]:
    """Those of a group that stand round one axis at one distance, that distance, negative in a bore, and a point of the
    axis."""
    u, v = square_to(strips.way[group[0]])
    at = np.stack([strips.middle[group] @ u, strips.middle[group] @ v], axis=1)
    way = np.stack([strips.normal[group] @ u, strips.normal[group] @ v], axis=1)
    slack = tolerance_mm + ALIKE * float(strips.width_mm[group[0]])
    axis, best = None, FEWEST - 1
    for k in range(min(AXES, len(group))):
        for crossing in _crossings(at, way, k):
            held = int((_beside(crossing, at, way) <= slack).sum())
            if held > best:
                axis, best = crossing, held
    if axis is None:
        return
    on = np.nonzero(_beside(axis, at, way) <= slack)[0]
    height = ((at - axis) * way).sum(axis=1)[on]
    order = np.argsort(height, kind="stable")
    for some in np.split(order, np.nonzero(np.diff(height[order]) > slack)[0] + 1):
        if len(some) >= FEWEST:
            x, y, z = (axis[0] * u + axis[1] * v).tolist()
            yield group[on[some]], height[some], (x, y, z)


def _crossings(at: Floats, way: Floats, k: int) -> Floats:
    """Where the normal of one strip crosses those of others (n, 2)."""
    turn = way[k, 0] * way[:, 1] - way[k, 1] * way[:, 0]
    rows = np.nonzero(np.abs(turn) > math.sin(1e-2))[0]
    rows = rows[sample(len(rows), CROSSINGS)]
    apart = at[rows] - at[k]
    along = (apart[:, 0] * way[rows, 1] - apart[:, 1] * way[rows, 0]) / turn[rows]
    return np.asarray(at[k] + along[:, None] * way[k])


def _beside(axis: Floats, at: Floats, way: Floats) -> Floats:
    """How far an axis lies beside the normal through each strip's middle [mm]."""
    apart = at - axis
    return np.abs(apart[:, 0] * way[:, 1] - apart[:, 1] * way[:, 0])
