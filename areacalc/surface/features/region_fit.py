"""A region of flats that bend gently into each other, taken apart into analytic surfaces.

The whole region is tried first; failing that, surfaces are grown from small groups of flats that turn by like angles.
A corner must lie on the surface within rounding and a flat must face the way the surface does there.
"""

import heapq
import math
from collections.abc import Iterator

import numpy as np

from areacalc.shape.kinds import Ints, Surface, SurfaceKind, Truths
from areacalc.surface.features.flats import FEWEST, FlatRegion, distinct, inner_corner
from areacalc.surface.features.region_loops import next_bend

ORDER = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.SPHERE, SurfaceKind.TORUS)

SEED_FLATS = 12
FEW = 64  # flats in a start that is checked against its ring of neighbours
ENOUGH = {SurfaceKind.CYLINDER: 10, SurfaceKind.CONE: math.inf, SurfaceKind.SPHERE: 14, SurfaceKind.TORUS: math.inf}
"""Corners that prove a surface though none of the flats round them lie on it: the strips of a fillet.

A cone goes through any two rings about an axis, and a torus touches any small piece of skin: nothing proves those.
"""
LEAST_OF_CONE = 14  # corners of a cone in three rings or more that prove it as well
PATIENCE = 60
"""Seeds that may fail one after another before the rest of a region is taken for free-form."""
TRIES = 3  # failed seeds that a flat may be in: a plane has very many fillets beside it
STRAIGHT_RAD = 1e-3  # a cone that opens by less is a cylinder, if that holds its corners
ALIKE = 4.0  # flats of one rounding differ in area by less than this many times
FEW_LEFT = 6  # flats that are planes, each by itself, where no surface took them
FEWEST_RINGS = 4
"""Rings of corners round the axis that make a torus: a circle goes through any three."""


def surfaces_of(region: FlatRegion) -> Iterator[tuple[Ints, Surface | None]]:
    """(triangles, surface) of each patch of the region; a surface of None is a plane yet to be fitted."""
    everything = np.arange(len(region.area))
    free = np.ones(len(region.area), bool)
    if int(region.true.sum()) >= min(FEWEST.values()):  # what a scanner gives falls into thousands of crumbs
        whole = _whole(region, everything)
        if whole is not None and not (whole.kind is SurfaceKind.SPHERE and _two_rings(region, everything)):
            yield region.rows, whole
            return
        for some, surface in _grown(region, free):
            yield region.triangles(some), surface
    elif len(region.area) <= FEW_LEFT:
        yield from _planes(region, everything)
        return
    yield from _leftover(region, np.nonzero(free)[0])


def _planes(region: FlatRegion, flats: Ints) -> Iterator[tuple[Ints, None]]:
    for begin, count in zip(region.start[flats].tolist(), region.count[flats].tolist(), strict=True):
        yield region.rows[begin : begin + count], None


def _whole(region: FlatRegion, some: Ints) -> Surface | None:
    for kind in ORDER:
        surface = region.fitted(kind, some)
        if surface is None or not (region.holds(surface, some) and region.on(surface, some).all()):
            continue
        if kind is not SurfaceKind.TORUS or region.rounds_a_tube(surface, some, FEWEST_RINGS - 1):
            return surface
    return None


def _grown(region: FlatRegion, free: Truths) -> Iterator[tuple[Ints, Surface]]:
    """Surfaces grown from seeds, the seeds with the largest flats first; what they take is no longer free."""
    tried = np.zeros(len(free), np.int8)
    failures = 0
    for one, two, turn in _edges(region, free, tried):
        seed = _seed(region, one, two, turn, free)
        if len(seed) < 3:  # as among strips that are twisted, each of two flats
            seed = _seed(region, one, two, turn, free, 0.0)
        if len(seed) < 3:
            continue
        best = _best(region, seed, free)
        if best is None:
            failures += 1
            if failures >= PATIENCE:
                return
            tried[seed] += 1  # what surrounds a failed seed mostly fails as well
            continue
        failures = 0
        free[best[0]] = False
        yield best


def _edges(region: FlatRegion, free: Truths, tried: Ints) -> Iterator[tuple[int, int, float]]:
    """The bends between two free flats that few seeds have failed with, those of the largest flats first."""
    one, two = region.pairs.T
    order = np.argsort(-np.minimum(region.area[one], region.area[two]), kind="stable")
    order = order[region.turn[order] > 0.0]

    at = next_bend(order, 0, one, two, free, tried, TRIES)
    while at < len(order):
        edge = order[at]
        yield int(one[edge]), int(two[edge]), float(region.turn[edge])
        at = next_bend(order, at + 1, one, two, free, tried, TRIES)


def _seed(region: FlatRegion, one: int, two: int, turn: float, free: Truths, least: float = 0.65) -> list[int]:
    """A few flats round an edge, those first that turn by the most alike and are the most alike in size.

    least: of the edge's own turn, what others must turn by.
    """
    first, beside, turns = region.beside
    seed: list[int] = []
    reached = {one, two}
    queue = [(0.0, one), (0.0, two)]
    while queue and len(seed) < SEED_FLATS:
        _, flat = heapq.heappop(queue)
        seed.append(flat)
        own = slice(first[flat], first[flat + 1])
        bend = turns[own]
        some = (least * turn <= bend) & (bend <= 1.5 * turn) & (bend > 0.0) & free[beside[own]]
        for other, angle in zip(beside[own][some].tolist(), bend[some].tolist(), strict=True):
            if other not in reached:
                reached.add(other)
                unlike = abs(math.log(angle / turn)) + 0.2 * abs(math.log(region.area[other] / region.area[one]))
                heapq.heappush(queue, (round(unlike, 6), other))
    return seed


def _best(region: FlatRegion, seed: list[int], free: Truths) -> tuple[Ints, Surface] | None:
    """The largest patch that grows from the seed; the simpler surface wins unless another gains a hundredth.

    The more flats a start has, the fewer surfaces it fits; a smaller one is for a seed that spans two surfaces.
    """
    flats = np.array(seed)
    around = region.around(flats)
    alike = np.abs(np.log(region.area[flats] / region.area[seed[0]])) < math.log(2.0)
    starts = (np.concatenate([flats, around[free[around]]]), flats, flats[alike], flats[:4])
    best: tuple[Ints, Surface] | None = None
    gained = 0.0
    grown: dict[SurfaceKind, list[Ints]] = {kind: [] for kind in ORDER}
    for start in {some.tobytes(): some for some in map(distinct, starts)}.values():
        for kind in ORDER:
            if any(np.isin(start, patch).all() for patch in grown[kind]):
                continue  # it would grow into the same again
            made = _grow(region, kind, start, seed[0], free)
            if made is None:
                continue
            grown[kind].append(made[0])
            if (area := float(region.area[made[0]].sum())) > 1.01 * gained:
                best, gained = made, area
        if best is not None and np.isin(flats, best[0]).all():
            break
    return _wider(region, best, seed[0], free) if best is not None else None


def _wider(region: FlatRegion, found: tuple[Ints, Surface], root: int, free: Truths) -> tuple[Ints, Surface]:
    """One ring of a rounding is a cone by itself; with the rings beside it, a torus or a sphere."""
    some, surface = found
    if surface.kind not in (SurfaceKind.CYLINDER, SurfaceKind.CONE):
        return found
    around = region.around(some)
    around = around[free[around]]
    like = around[region.area[around] <= ALIKE * region.area[some].max()]  # without the face that it rounds off
    for beside in (around, like) if len(like) < len(around) else (around,):
        start = distinct(np.concatenate([some, beside]))
        for kind in (SurfaceKind.SPHERE, SurfaceKind.TORUS):
            made = _grow(region, kind, start, root, free)
            if made is not None and region.area[made[0]].sum() > 1.01 * region.area[some].sum():
                return made
    return found


def _grow(region: FlatRegion, kind: SurfaceKind, some: Ints, root: int, free: Truths) -> tuple[Ints, Surface] | None:
    surface = region.fitted(kind, some)
    if surface is None or not region.holds(surface, some) or not _spreads(region, surface, some, free):
        return None
    for turn in range(4):
        reached = region.reach(surface, some, free)
        if turn > 0 and np.array_equal(reached, some):
            break
        grown = _connected(region, root, reached[region.on(surface, reached)])
        if len(grown) < 3 or not np.isin(some, grown).any():
            return None
        again = region.fitted(kind, grown)
        if again is None:
            return None
        settled = np.array_equal(grown, some)
        some, surface = grown, again
        if settled:
            break
    if kind is SurfaceKind.CONE and surface.half_angle_rad < STRAIGHT_RAD:
        straight = region.fitted(SurfaceKind.CYLINDER, some)
        surface = straight if straight is not None and region.holds(straight, some) else surface
    if not (region.holds(surface, some) and region.follows(surface, some)):
        return None
    if kind is SurfaceKind.TORUS and not region.rounds_a_tube(surface, some, FEWEST_RINGS):
        return None
    if kind is SurfaceKind.SPHERE and _two_rings(region, some):
        return None
    return some, surface


def _two_rings(region: FlatRegion, some: Ints) -> bool:
    """Whether the corners may be two rings, which a sphere goes through whatever they are: a band, a plate's bevels."""
    if not inner_corner(region.corners[region.rows_of(some)], np.repeat(some, region.count[some])):
        return True
    if len(some) > FEW:
        return False
    height = region.points[region.true_corners(some)] @ region.normal[some].T
    low, high = height - height.min(axis=0), height.max(axis=0) - height
    return bool((np.minimum(low, high) <= region.tolerance_mm).all(axis=0).any())


def _rings(region: FlatRegion, surface: Surface, some: Ints) -> bool:
    """Whether corners lie between the two ends of a cone as well: only then it is more than what two rings allow."""
    corners = region.true_corners(some)
    along = region.points[corners] @ np.array(surface.direction)
    inner = np.minimum(along - along.min(), along.max() - along) > region.tolerance_mm
    return surface.kind is SurfaceKind.CONE and len(corners) >= LEAST_OF_CONE and bool(inner.any())


def _spreads(region: FlatRegion, surface: Surface, some: Ints, free: Truths) -> bool:
    """Whether the surface goes on into some of the flats round a start, where there are any: cheap, before the rest."""
    ring = region.around(some)
    ring = ring[free[ring] & ~np.isin(ring, some)]
    if len(ring) == 0 or len(some) > FEW:
        return True
    on = region.held(surface, ring)
    if on.sum() * 8 >= len(ring) or len(some) >= 0.2 * len(free):
        return True
    return len(region.true_corners(some)) >= ENOUGH[surface.kind]


def _connected(region: FlatRegion, root: int, some: Ints) -> Ints:
    """Those of the flats (sorted) that hang together with the root."""
    at = int(np.searchsorted(some, root))
    if at == len(some) or some[at] != root:
        return some[:0]
    label = region.labels(some)
    return np.asarray(some[label == label[at]])


def _leftover(region: FlatRegion, left: Ints) -> Iterator[tuple[Ints, Surface | None]]:
    """What no surface took: large flats are planes, connected small ones free-form."""
    rest = []
    for group in region.groups(left):
        # what no seed grew over may still be one surface, when those round it are gone: half a cross-hole
        whole = _whole(region, group) if 3 <= len(group) < len(region.area) else None
        if whole is not None and (
            len(region.true_corners(group)) >= ENOUGH[whole.kind] or _rings(region, whole, group)
        ):
            yield region.triangles(group), whole
        else:
            rest.append(group)
    if not rest:
        return
    left = np.sort(np.concatenate(rest))
    plane = (region.area[left] >= 25.0 * float(np.median(region.area[left]))) | (len(left) <= FEW_LEFT)
    yield from _planes(region, left[plane])
    for group in region.groups(left[~plane]):
        yield region.triangles(group), None if _level(region, group) else Surface(SurfaceKind.FREE_FORM)


def _level(region: FlatRegion, some: Ints) -> bool:
    """Whether these flats lie in one plane: a crumb beside a flat has no direction of its own."""
    if len(some) == 1:
        return True
    corners, normal = region.corners[region.rows_of(some)], region.normal[some[region.area[some].argmax()]]
    few = (corners[:100], corners)  # the first tell of most free-form skin
    return all(np.ptp(region.points[each] @ normal) <= region.tolerance_mm for each in few)
