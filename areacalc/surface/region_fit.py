"""A region of flats that bend gently into each other, taken apart into analytic surfaces.

The whole region is tried first; failing that, surfaces are grown from small groups of flats that turn by like angles.
A corner must lie on the surface within rounding and a flat must face the way the surface does there.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints, Surface, SurfaceKind
from areacalc.surface.creases import Creases, Rows
from areacalc.surface.fit import distances, fit, gradients, turns

SMOOTH_RAD = math.radians(36.5)
"""Flats that turn by less read as one round surface: ten flats to a circle and up."""

ORDER = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.SPHERE, SurfaceKind.TORUS)
FEWEST = {SurfaceKind.CYLINDER: 8, SurfaceKind.CONE: 7, SurfaceKind.SPHERE: 7, SurfaceKind.TORUS: 11}
"""Corners below which a fit of the kind says nothing."""

SEED_FLATS = 12
FACING = math.cos(math.radians(20.0))
WIDE = 3.0
"""A flat that spans this many times the turn that its fellows do is a face of its own."""
FEWEST_RINGS = 4
"""Rings of corners round the axis that make a torus: a circle goes through any three."""


@dataclass(frozen=True, eq=False)
class Region:
    """A region's own numbering: rows (t,) of the skin's triangles sorted by flat, and its flats and corners.

    start (f,) is where each flat begins in rows; pairs (e, 2) and turn (e,) [rad] are the bends between flats.
    true (n,) bool: the corner lies on the surface itself, because flats meet at an angle there. A corner of a single
    flat may have been cut into it by another part of the model, or put on a straight edge, and lie below the surface.
    """

    rows: Ints
    start: Ints
    corners: Ints
    points: Floats
    true: NDArray[np.bool_]
    normal: Floats
    area: Floats
    centre: Floats
    middle: Floats
    pairs: Ints
    turn: Floats
    tolerance_mm: float

    @classmethod
    def of(cls, skin: Creases, rows: Ints) -> Region:
        """The region made of these triangles."""
        rows = rows[np.argsort(skin.flat_of[rows], kind="stable")]
        names, start = np.unique(skin.flat_of[rows], return_index=True)
        used, corners = np.unique(skin.corners[rows], return_inverse=True)
        corners = corners.reshape(-1, 3)
        points = skin.points[used]
        weight = skin.area[rows]
        area = np.maximum(np.add.reduceat(weight, start), 1e-300)
        normal = np.add.reduceat(skin.normal[rows] * weight[:, None], start)
        normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-300)[:, None]
        middle = points[corners].mean(axis=1)
        centre = np.add.reduceat(middle * weight[:, None], start) / area[:, None]
        across, angle = skin.across[rows].ravel(), skin.angle[rows].ravel()
        mine = np.repeat(skin.flat_of[rows], 3)
        theirs = skin.flat_of[np.maximum(across, 0)]
        other = np.minimum(np.searchsorted(names, theirs), len(names) - 1)
        crease = (across >= 0) & (mine != theirs) & (names[other] == theirs)
        bend = crease & (mine < theirs) & (np.abs(angle) <= SMOOTH_RAD)
        pairs = np.searchsorted(names, np.stack([mine[bend], theirs[bend]], axis=1))
        key, index = np.unique(pairs @ np.array([len(names), 1]), return_index=True)
        pairs = np.stack([key // len(names), key % len(names)], axis=1)
        true = _true_corners(points, corners, np.searchsorted(names, mine), crease)
        size = float(np.ptp(points, axis=0).max())
        tolerance = max(8.0 * skin.noise_mm, 1e-7 * size)
        turn = np.abs(angle[bend])[index]
        return cls(rows, start, corners, points, true, normal, area, centre, middle, pairs, turn, tolerance)

    @cached_property
    def count(self) -> Rows:
        """The triangles in each flat (f,)."""
        return np.diff(np.append(self.start, len(self.rows)))

    def misfit(self, surface: Surface) -> Floats:
        """How far each flat's worst true corner lies from the surface (f,) [mm]."""
        off = np.where(self.true, np.abs(distances(surface, self.points)), 0.0)
        return np.maximum.reduceat(off[self.corners].max(axis=1), self.start)

    def on(self, surface: Surface) -> NDArray[np.bool_]:
        """The flats that lie on the surface: corners on it, cut corners no deeper than the flats' middles."""
        off = distances(surface, self.points)
        on = self.misfit(surface) <= self.tolerance_mm
        # triangle by triangle, for a flat may run all round an axis (the crown of a torus)
        facing = np.einsum("ij,ij->i", gradients(surface, self.middle), np.repeat(self.normal, self.count, axis=0))
        least, most = np.minimum.reduceat(facing, self.start), np.maximum.reduceat(facing, self.start)
        outward, inward = on & (least >= FACING), on & (most <= -FACING)
        on = outward if self.area[outward].sum() >= self.area[inward].sum() else inward
        if not on.any():
            return on
        on &= self._even(surface, on)
        if not on.any():
            return on
        sag = np.maximum.reduceat(np.abs(distances(surface, self.middle)), self.start)
        usual = float(np.quantile(sag[on], 0.9))
        cut = np.where(self.true, 0.0, np.abs(off))
        cut = np.maximum.reduceat(cut[self.corners].max(axis=1), self.start)
        return np.asarray(on & (cut <= np.maximum(2.0 * usual, self.tolerance_mm)))

    def _even(self, surface: Surface, on: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """The flats that span about as much of a turn as most: one much wider is a flat in its own right.

        (A face between two fillets of one size, or a wall between two rounded rims, has its corners on one circle.)
        """
        keep = np.ones(len(on), bool)
        for angle in turns(surface, self.points):
            span = self._spans(angle)
            keep &= span <= WIDE * max(float(np.quantile(span[on], 0.4)), 1e-4)
        if surface.kind is SurfaceKind.SPHERE:
            at = self.points[self.corners]
            side = np.linalg.norm(at - np.roll(at, 1, axis=1), axis=2).max(axis=1)
            span = np.maximum.reduceat(side, self.start)
            keep &= span <= WIDE * float(np.quantile(span[on], 0.4))
        return keep

    def _spans(self, angle: Floats) -> Floats:
        """The widest angle that a triangle of each flat spans (f,); corners on the axis, at NaN, count for nothing."""
        at = angle[self.corners]
        at = np.where(np.isnan(at), np.roll(at, 1, axis=1), at)
        step = (at - at[:, :1] + math.pi) % (2 * math.pi) - math.pi
        return np.maximum.reduceat(np.ptp(step, axis=1), self.start)

    def rings(self, surface: Surface, flats: NDArray[np.bool_]) -> int:
        """How many rings of corners round the tube of a torus these flats have."""
        used = np.unique(self.corners[np.repeat(flats, self.count)])
        around = np.sort(turns(surface, self.points[used[self.true[used]]])[1])
        return 1 + int((np.diff(around) > 0.02).sum())

    def fitted(self, kind: SurfaceKind, flats: NDArray[np.bool_]) -> Surface | None:
        """The surface of that kind through the corners of these flats."""
        triangles = np.repeat(flats, self.count)
        corners = np.unique(self.corners[triangles])
        corners = corners[self.true[corners]]
        if len(corners) < FEWEST[kind]:
            return None
        return fit(kind, self.points[corners], self.centre[flats], self.normal[flats], self.area[flats])

    def triangles(self, flats: NDArray[np.bool_]) -> Ints:
        """The skin's triangles in these flats."""
        return self.rows[np.repeat(flats, self.count)]


def _true_corners(points: Floats, corners: Ints, flat: Ints, crease: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The points where flats meet at an angle, but for those that stand on a straight edge between two flats."""
    count = len(points)
    pair = np.unique(corners.ravel().astype(np.int64) * (int(flat.max()) + 1) + flat) // (int(flat.max()) + 1)
    flats = np.bincount(pair, minlength=count)
    a, b = corners.ravel()[crease], corners[:, [1, 2, 0]].ravel()[crease]
    way = points[b] - points[a]
    way /= np.maximum(np.linalg.norm(way, axis=1), 1e-300)[:, None]
    pull = np.stack(
        [np.bincount(a, way[:, i], minlength=count) - np.bincount(b, way[:, i], minlength=count) for i in range(3)],
        axis=1,
    )
    edges = np.bincount(a, minlength=count)
    straight = (flats == 2) & (edges == 2) & (np.linalg.norm(pull, axis=1) < 0.02)
    return np.asarray((flats >= 2) & ~straight)


def surfaces_of(region: Region) -> Iterator[tuple[Ints, Surface | None]]:
    """(triangles, surface) of each patch of the region; a surface of None is a plane yet to be fitted."""
    everything = np.ones(len(region.area), bool)
    for kind in ORDER:
        surface = region.fitted(kind, everything)
        if surface is not None and region.on(surface).all():
            yield region.rows, surface
            return
    left = everything
    for flats, surface in _grown(region):
        left = left & ~flats
        yield region.triangles(flats), surface
    yield from _leftover(region, left)


def _grown(region: Region) -> Iterator[tuple[NDArray[np.bool_], Surface]]:
    """Surfaces grown from seeds, the seeds with the largest flats first."""
    free = np.ones(len(region.area), bool)
    neighbours = _neighbours(region)
    small = np.minimum(region.area[region.pairs[:, 0]], region.area[region.pairs[:, 1]])
    budget = 40 + 4.0 * math.sqrt(len(free))
    for edge in np.argsort(-small, kind="stable"):
        if budget <= 0:
            return
        one, two = region.pairs[edge]
        if not (free[one] and free[two] and region.turn[edge] > 0.0):
            continue
        seed = _seed(region.area, neighbours, int(one), int(two), float(region.turn[edge]), free)
        if len(seed) < 3:
            continue
        best = _best(region, neighbours, seed, free)
        if best is None:
            budget -= 1
            continue
        free &= ~best[0]
        yield best


def _neighbours(region: Region) -> list[list[tuple[int, float]]]:
    beside: list[list[tuple[int, float]]] = [[] for _ in region.area]
    for (one, two), turn in zip(region.pairs.tolist(), region.turn.tolist(), strict=True):
        beside[one].append((two, turn))
        beside[two].append((one, turn))
    return beside


def _seed(
    area: Floats, beside: list[list[tuple[int, float]]], one: int, two: int, turn: float, free: NDArray[np.bool_]
) -> list[int]:
    """A few flats round an edge, those first that turn by the most alike and are the most alike in size."""
    seed: list[int] = []
    reached = {one, two}
    queue = [(0.0, one), (0.0, two)]
    while queue and len(seed) < SEED_FLATS:
        _, flat = heapq.heappop(queue)
        seed.append(flat)
        for other, bend in beside[flat]:
            if other not in reached and free[other] and 0.65 * turn <= bend <= 1.5 * turn:
                reached.add(other)
                unlike = abs(math.log(bend / turn)) + 0.2 * abs(math.log(area[other] / area[one]))
                heapq.heappush(queue, (round(unlike, 6), other))
    return seed


def _best(
    region: Region, beside: list[list[tuple[int, float]]], seed: list[int], free: NDArray[np.bool_]
) -> tuple[NDArray[np.bool_], Surface] | None:
    """The largest patch that grows from the seed; the simpler surface wins unless another gains a hundredth."""
    wide = [other for flat in seed for other, _ in beside[flat] if free[other]]
    starts = dict.fromkeys((frozenset(seed[:4]), frozenset(seed), frozenset([*seed, *wide])))
    best: tuple[NDArray[np.bool_], Surface] | None = None
    gained = 0.0
    for some in starts:
        start = np.zeros(len(free), bool)
        start[list(some)] = True
        for kind in ORDER:
            grown = _grow(region, beside, kind, start, seed[0], free)
            if grown is not None and (area := float(region.area[grown[0]].sum())) > 1.01 * gained:
                best, gained = grown, area
    return best


def _grow(
    region: Region,
    beside: list[list[tuple[int, float]]],
    kind: SurfaceKind,
    flats: NDArray[np.bool_],
    root: int,
    free: NDArray[np.bool_],
) -> tuple[NDArray[np.bool_], Surface] | None:
    surface = region.fitted(kind, flats)
    if surface is None or region.misfit(surface)[flats].max() > region.tolerance_mm:
        return None
    for _ in range(4):
        grown = _connected(beside, root, region.on(surface) & free)
        if grown.sum() < 3 or not grown[flats].any():
            return None
        again = region.fitted(kind, grown)
        if again is None:
            return None
        settled = bool((grown == flats).all())
        flats, surface = grown, again
        if settled:
            break
    if region.misfit(surface)[flats].max() > region.tolerance_mm:
        return None
    if kind is SurfaceKind.TORUS and region.rings(surface, flats) < FEWEST_RINGS:
        return None
    return flats, surface


def _connected(beside: list[list[tuple[int, float]]], root: int, allowed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    reached = np.zeros(len(allowed), bool)
    if not allowed[root]:
        return reached
    reached[root] = True
    stack = [root]
    while stack:
        for other, _ in beside[stack.pop()]:
            if allowed[other] and not reached[other]:
                reached[other] = True
                stack.append(other)
    return reached


def _leftover(region: Region, left: NDArray[np.bool_]) -> Iterator[tuple[Ints, Surface | None]]:
    """What no surface took: large flats are planes, connected small ones free-form."""
    if not left.any():
        return
    usual = float(np.median(region.area[left]))
    few = left.sum() <= 6
    plane = left & ((region.area >= 25.0 * usual) | few)
    for flat in np.nonzero(plane)[0]:
        only = np.zeros(len(left), bool)
        only[flat] = True
        yield region.triangles(only), None
    rest = left & ~plane
    for group in _groups(region, rest):
        alone = group.sum() == 1
        yield region.triangles(group), None if alone else Surface(SurfaceKind.FREE_FORM)


def _groups(region: Region, flats: NDArray[np.bool_]) -> Iterator[NDArray[np.bool_]]:
    if not flats.any():
        return
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    both = flats[region.pairs].all(axis=1)
    count = len(flats)
    rows, cols = region.pairs[both].T
    graph = coo_array((np.ones(len(rows), np.int8), (rows, cols)), shape=(count, count))
    _, label = connected_components(graph, directed=False)
    for name in np.unique(label[flats]):
        yield flats & (label == name)
