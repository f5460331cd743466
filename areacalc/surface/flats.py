"""A region of flats that bend gently into each other, in a numbering of its own, and which of them lie on a surface.

A corner must lie on the surface within rounding and a flat must face the way the surface does there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints, Surface, SurfaceKind
from areacalc.surface.creases import Creases, Rows
from areacalc.surface.fit import distances, fit, gradients, turns

SMOOTH_RAD = math.radians(36.5)
"""Flats that turn by less read as one round surface: ten flats to a circle and up."""

FEWEST = {SurfaceKind.CYLINDER: 8, SurfaceKind.CONE: 7, SurfaceKind.SPHERE: 7, SurfaceKind.TORUS: 11}
"""Corners below which a fit of the kind says nothing."""

FACING = math.cos(math.radians(20.0))

WIDE = 3.0
"""A flat that spans this many times the turn that its fellows do is a face of its own, unless it is narrow."""
NARROW_RAD, MANY = 0.2, 24
"""Narrow is a span below this, as one of many flats: among slivers round a cross-hole the mesher's step looks wide."""


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

    def rows_of(self, flats: NDArray[np.bool_]) -> Rows:
        """The rows of `corners` of these flats, quick also where they are few of very many."""
        some = np.nonzero(flats)[0]
        return _ranges(self.start[some], self.count[some])

    def holds(self, surface: Surface, flats: NDArray[np.bool_]) -> bool:
        """Whether the true corners of these flats lie on the surface."""
        corners = self.corners[self.rows_of(flats)].ravel()
        corners = corners[self.true[corners]]
        off = np.abs(distances(surface, self.points[corners]))
        return float(off.max(initial=0.0)) <= self.tolerance_mm

    def reach(self, surface: Surface, flats: NDArray[np.bool_], free: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """The free flats that the surface goes on into from these, wave by wave, so that far ones cost nothing."""
        reached = flats & free
        seen = reached.copy()
        wave = np.nonzero(reached)[0]
        first, beside = self.beside
        while len(wave):
            ring = np.unique(beside[_ranges(first[wave], first[wave + 1] - first[wave])])
            ring = ring[free[ring] & ~seen[ring]]
            seen[ring] = True
            wave = ring[self.misfit(surface, ring) <= self.tolerance_mm]
            reached[wave] = True
        return reached

    @cached_property
    def beside(self) -> tuple[Rows, Rows]:
        """The flats beside each flat f: the second array from first[f] to first[f + 1]."""
        one, two = np.concatenate([self.pairs, self.pairs[:, ::-1]]).T
        order = np.argsort(one, kind="stable")
        return np.r_[0, np.cumsum(np.bincount(one, minlength=len(self.area)))], two[order]

    def misfit(self, surface: Surface, some: Rows) -> Floats:
        """How far the worst true corner of each of these flats lies from the surface [mm]."""
        if len(some) == 0:
            return np.zeros(0)
        corners = self.corners[_ranges(self.start[some], self.count[some])]
        off = np.where(self.true[corners], np.abs(distances(surface, self.points[corners.ravel()])).reshape(-1, 3), 0.0)
        return np.asarray(np.maximum.reduceat(off.max(axis=1), np.r_[0, np.cumsum(self.count[some])[:-1]]))

    def on(self, surface: Surface, among: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Which flats `among` these lie on the surface, cut corners no deeper than the flats' middles."""
        some = np.nonzero(among)[0]
        out = np.zeros(len(among), bool)
        if len(some):
            rows, count = self.rows_of(among), self.count[some]
            out[some] = self._on(surface, some, rows, count, np.r_[0, np.cumsum(count)[:-1]])
        return out

    def _on(self, surface: Surface, some: Rows, rows: Rows, count: Rows, start: Rows) -> NDArray[np.bool_]:
        corners, middle = self.corners[rows], self.middle[rows]
        at = self.points[corners.ravel()]
        off = np.abs(distances(surface, at)).reshape(-1, 3)
        true = self.true[corners]
        on = np.maximum.reduceat(np.where(true, off, 0.0).max(axis=1), start) <= self.tolerance_mm
        # triangle by triangle, for a flat may run all round an axis (the crown of a torus)
        facing = np.einsum("ij,ij->i", gradients(surface, middle), np.repeat(self.normal[some], count, axis=0))
        least, most = np.minimum.reduceat(facing, start), np.maximum.reduceat(facing, start)
        outward, inward = on & (least >= FACING), on & (most <= -FACING)
        area = self.area[some]
        on = outward if area[outward].sum() >= area[inward].sum() else inward
        if on.any():
            on &= _even(surface, at, on, start, area)
        if not on.any():
            return on
        sag = np.maximum.reduceat(np.abs(distances(surface, middle)), start)
        usual = float(np.quantile(sag[on], 0.9))
        cut = np.maximum.reduceat(np.where(true, 0.0, off).max(axis=1), start)
        return np.asarray(on & (cut <= np.maximum(2.0 * usual, self.tolerance_mm)))

    def rings(self, surface: Surface, flats: NDArray[np.bool_]) -> int:
        """How many rings of corners round the tube of a torus these flats have."""
        used = np.unique(self.corners[self.rows_of(flats)])
        around = np.sort(turns(surface, self.points[used[self.true[used]]])[1])
        apart = min(0.02, 4.0 * self.tolerance_mm / surface.minor_radius_mm)
        return 1 + int((np.diff(around) > apart).sum())

    def fitted(self, kind: SurfaceKind, flats: NDArray[np.bool_]) -> Surface | None:
        """The surface of that kind through the corners of these flats."""
        some = np.nonzero(flats)[0]
        corners = np.unique(self.corners[_ranges(self.start[some], self.count[some])])
        corners = corners[self.true[corners]]
        if len(corners) < FEWEST[kind]:
            return None
        return fit(kind, self.points[corners], self.centre[some], self.normal[some], self.area[some])

    def corner_count(self, flats: NDArray[np.bool_]) -> int:
        """How many true corners these flats have."""
        return int(self.true[np.unique(self.corners[self.rows_of(flats)])].sum())

    def has_inner_corner(self, flats: NDArray[np.bool_]) -> bool:
        """Whether some corner has these flats all round it."""
        corners = self.corners[self.rows_of(flats)]
        edges = np.sort(np.stack([corners, corners[:, [1, 2, 0]]], axis=2).reshape(-1, 2), axis=1)
        _, index, count = np.unique(
            edges[:, 0].astype(np.int64) * len(self.points) + edges[:, 1], return_index=True, return_counts=True
        )
        return bool(np.isin(corners, edges[index[count == 1]], invert=True).any())

    def triangles(self, flats: NDArray[np.bool_]) -> Ints:
        """The skin's triangles in these flats."""
        return self.rows[np.repeat(flats, self.count)]


def _ranges(first: NDArray[np.integer[Any]], count: NDArray[np.integer[Any]]) -> Rows:
    """first[0], first[0] + 1, ... count[0] of them, then those from first[1] on, and so forth."""
    if len(first) == 0:
        return np.zeros(0, np.intp)
    skip = np.repeat(first - np.r_[0, np.cumsum(count)[:-1]], count)
    return np.asarray(skip + np.arange(len(skip)))


def _even(surface: Surface, at: Floats, on: NDArray[np.bool_], start: Rows, area: Floats) -> NDArray[np.bool_]:
    """The flats that span about as much of a turn as most: one much wider is a flat in its own right.

    (A face between two fillets of one size, or a wall between two rounded rims, has its corners on one circle.)
    at (3 t, 3): the corners of the triangles; start: where each flat begins among the triangles.
    """
    keep = np.ones(len(on), bool)
    alone = np.diff(np.append(start, len(at) // 3)) == 1
    wide = np.where(alone, 2.0 * WIDE, WIDE)  # a face of its own is seldom a single triangle; a mesher's oddity is
    narrow = NARROW_RAD if on.sum() >= MANY else 0.0
    for angle in turns(surface, at):
        span = _spans(angle.reshape(-1, 3), start)
        keep &= span <= np.maximum(wide * _usual(span[on], area[on]), max(1e-4, narrow))
    if surface.kind is SurfaceKind.SPHERE:
        ring = at.reshape(-1, 3, 3)
        span = np.maximum.reduceat(np.linalg.norm(ring - np.roll(ring, 1, axis=1), axis=2).max(axis=1), start)
        keep &= span <= np.maximum(wide * _usual(span[on], area[on]), narrow * surface.radius_mm)
    return keep


def _usual(span: Floats, area: Floats) -> float:
    """The span that two fifths of the flats keep under, each counted by its length, which is its area over its span.

    The many short flats that a mesher puts round a cross-hole count for little, full-length strips for one each.
    """
    order = np.argsort(span, kind="stable")
    length = np.cumsum((area / np.maximum(span, 1e-12))[order])
    return float(span[order[np.searchsorted(length, 0.4 * length[-1])]])


def _spans(at: Floats, start: Rows) -> Floats:
    """The widest angle that a triangle of each flat spans (f,); corners on the axis, at NaN, count for nothing."""
    at = np.where(np.isnan(at), np.roll(at, 1, axis=1), at)
    step = (at - at[:, :1] + math.pi) % (2 * math.pi) - math.pi
    return np.asarray(np.maximum.reduceat(np.ptp(step, axis=1), start))


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
