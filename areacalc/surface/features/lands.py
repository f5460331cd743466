"""Narrow flats with their edges on one circle: the lands of a spline or a knurl, each drawn as a single flat.

The corners allow a flat and an arc alike, so the bounds hold both; the value is that of the flats. Lands that face the
axis are walls of one bore either way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.body import cross
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind
from areacalc.surface.features.fit import sample, square_to
from areacalc.surface.features.flats import SMOOTH_RAD
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.skin import Vector

FEWEST = 5  # lands that tell of a circle: four are the chamfers of a square bar
LEAST = 0.25  # of a turn: lands that face the axis and make up less are ribs
ALIKE = 1e-3  # of its width: how far a land may differ from its fellows
AXES, CROSSINGS = 3, 100
"""Flats of a group whose crossings with so many of the others are tried as the axis."""
BECAUSE = "narrow flats on a circle that may be arcs"


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
                areas[strips.patch[row]] = Estimate(own.value, low, high, (BECAUSE,))
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
