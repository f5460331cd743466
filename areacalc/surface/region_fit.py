"""A region of flats that bend gently into each other, taken apart into analytic surfaces.

The whole region is tried first; failing that, surfaces are grown from small groups of flats that turn by like angles.
A corner must lie on the surface within rounding and a flat must face the way the surface does there.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints, Surface, SurfaceKind
from areacalc.surface.flats import Region

ORDER = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.SPHERE, SurfaceKind.TORUS)

SEED_FLATS = 12
FEW = 64
"""Flats in a start that is checked against its ring of neighbours."""
ENOUGH = {SurfaceKind.CYLINDER: 10, SurfaceKind.CONE: math.inf, SurfaceKind.SPHERE: 14, SurfaceKind.TORUS: math.inf}
"""Corners that prove a surface though none of the flats round them lie on it: the strips of a fillet.

A cone goes through any two rings about an axis, and a torus touches any small piece of skin: nothing proves those.
"""
PATIENCE = 60
"""Seeds that may fail one after another before the rest of a region is taken for free-form."""
TRIES = 3
"""Failed seeds that a flat may be in: a plane has very many fillets beside it."""
STRAIGHT_RAD = 1e-3
"""A cone that opens by less is a cylinder, if that holds its corners."""
FEWEST_RINGS = 4
"""Rings of corners round the axis that make a torus: a circle goes through any three."""


def surfaces_of(region: Region) -> Iterator[tuple[Ints, Surface | None]]:
    """(triangles, surface) of each patch of the region; a surface of None is a plane yet to be fitted."""
    everything = np.ones(len(region.area), bool)
    whole = _whole(region, everything)
    if whole is not None:
        yield region.rows, whole
        return
    left = everything
    for flats, surface in _grown(region):
        left = left & ~flats
        yield region.triangles(flats), surface
    yield from _leftover(region, left)


def _whole(region: Region, flats: NDArray[np.bool_]) -> Surface | None:
    """The one surface that all of these flats lie on."""
    for kind in ORDER:
        surface = region.fitted(kind, flats)
        if surface is not None and region.on(surface, flats)[flats].all():
            return surface
    return None


def _grown(region: Region) -> Iterator[tuple[NDArray[np.bool_], Surface]]:
    """Surfaces grown from seeds, the seeds with the largest flats first."""
    free = np.ones(len(region.area), bool)
    neighbours = _neighbours(region)
    small = np.minimum(region.area[region.pairs[:, 0]], region.area[region.pairs[:, 1]])
    tried = np.zeros(len(free), np.int8)
    failures = 0
    for edge in np.argsort(-small, kind="stable"):
        if failures >= PATIENCE:
            return
        one, two = region.pairs[edge]
        worn = (tried[one] and tried[two]) or max(tried[one], tried[two]) >= TRIES
        if worn or not (free[one] and free[two] and region.turn[edge] > 0.0):
            continue
        seed = _seed(region.area, neighbours, int(one), int(two), float(region.turn[edge]), free)
        if len(seed) < 3:
            continue
        best = _best(region, neighbours, seed, free)
        if best is None:
            failures += 1
            tried[seed] += 1  # what surrounds a failed seed mostly fails as well
            continue
        failures = 0
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
    alike = [flat for flat in seed if 0.5 < region.area[flat] / region.area[seed[0]] < 2.0]
    starts = dict.fromkeys(map(frozenset, (seed[:4], alike, seed, [*seed, *wide])))
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
    if surface is None or not region.holds(surface, flats) or not _spreads(region, beside, surface, flats, free):
        return None
    for _ in range(4):
        grown = _connected(beside, root, region.on(surface, region.reach(surface, flats, free)))
        if grown.sum() < 3 or not grown[flats].any():
            return None
        again = region.fitted(kind, grown)
        if again is None:
            return None
        settled = bool((grown == flats).all())
        flats, surface = grown, again
        if settled:
            break
    if kind is SurfaceKind.CONE and surface.half_angle_rad < STRAIGHT_RAD:
        surface = region.fitted(SurfaceKind.CYLINDER, flats) or surface
    if not region.holds(surface, flats):
        return None
    if kind is SurfaceKind.TORUS and region.rings(surface, flats) < FEWEST_RINGS:
        return None
    if kind is SurfaceKind.SPHERE and not region.has_inner_corner(flats):
        return None  # a sphere goes through any two rings of corners
    return flats, surface


def _spreads(
    region: Region,
    beside: list[list[tuple[int, float]]],
    surface: Surface,
    flats: NDArray[np.bool_],
    free: NDArray[np.bool_],
) -> bool:
    """Whether the surface goes on into some of the flats round a start, where there are any: cheap, before the rest."""
    some = np.nonzero(flats)[0]
    ring = [other for flat in some.tolist() for other, _ in beside[flat] if free[other] and not flats[other]]
    if not ring or len(some) > FEW:
        return True
    on = region.misfit(surface, np.array(ring)) <= region.tolerance_mm
    if on.sum() * 8 >= len(ring) or len(some) >= 0.2 * len(free):
        return True
    return region.corner_count(flats) >= ENOUGH[surface.kind]


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
    for group in _groups(region, left):
        # what no seed grew over may still be one surface, when those round it are gone: half a cross-hole
        whole = _whole(region, group) if 3 <= group.sum() < len(group) else None
        if whole is not None and region.corner_count(group) >= ENOUGH[whole.kind]:
            yield region.triangles(group), whole
            left = left & ~group
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
