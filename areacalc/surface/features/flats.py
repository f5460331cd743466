"""A region of flats that bend gently into each other, in a numbering of its own, and which of them lie on a surface.

A corner must lie on the surface within rounding and a flat must face the way the surface does there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import count

import numpy as np

from areacalc.shape.body import extents_mm
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.features import region_loops as loops
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.fit import AXIS, distances, fit, numbers, sample, square_to, turns

SMOOTH_RAD = math.radians(36.5)
"""Flats that turn by less read as one round surface: ten flats to a circle and up."""

FEWEST = {SurfaceKind.CYLINDER: 8, SurfaceKind.CONE: 7, SurfaceKind.SPHERE: 7, SurfaceKind.TORUS: 11}
"""Corners below which a fit of the kind says nothing."""

CLOSE_SHARE = 0.8
"""The corners that lie within a quarter of the tolerance of a surface that is really theirs."""
MOST_FLATS, MOST_SPANS = 4000, 20_000
"""Flats whose corners a fit looks at, and whose spans tell what is usual."""

FACING = math.cos(math.radians(20.0))

COARSER, MOST_LARGER = 2.0, 10.0
"""How many times farther off their arc the few chords of a tube may stand than those of a ring, as the number of chords
is rounded up; more where the tube is larger and the turn alone was limited, up to so many times."""
EVEN, GRID = 1.01, 10.0
"""How much longer one of few chords of an arc may be than the next, and how many times nearer the steps along the axis
of a drawn outline are to being alike than its lines are."""
WIDE = 3.0
"""A flat that spans this many times the turn that its fellows do is a face of its own, unless it is narrow."""
WIDEST_RAD = 1.05 * SMOOTH_RAD
"""No flat of a round surface spans more of a turn about its axis, however gently it bends into the next."""
NARROW_RAD, MANY = 0.2, 24
"""Narrow is a span below this, as one of many flats: among slivers round a cross-hole the mesher's step looks wide."""


ForLoops = tuple[int, Floats, Floats, Ints, Truths, Ints, Ints, Ints]


@dataclass(frozen=True, eq=False)
class FlatRegion:
    """A region's own numbering: rows (t,) of the skin's triangles sorted by flat, and its flats and corners.

    start (f,) is where each flat begins in rows; pairs (e, 2) and turn (e,) [rad] are the bends between flats.
    true (n,) bool: the corner lies on the surface itself, because flats meet at an angle there. A corner of a single
    flat may have been cut into it by another part of the model, or put on a straight edge, and lie below the surface.
    """

    rows: Ints
    start: Ints
    corners: Ints
    points: Floats
    true: Truths
    normal: Floats
    area: Floats
    centre: Floats
    middle: Floats
    pairs: Ints
    turn: Floats
    tolerance_mm: float

    @classmethod
    def of(cls, skin: Creases, rows: Ints) -> FlatRegion:
        """The region made of these triangles, those of a flat together."""
        made = loops.region(
            rows, skin.flat_of, skin.corners, skin.across, skin.points, skin.normal, skin.area, skin.angle,
            *skin.numbering, SMOOTH_RAD,
        )  # fmt: skip
        tolerance_mm = 8.0 * skin.noise_mm
        if tolerance_mm < 1e-7 * skin.size_mm:
            tolerance_mm = max(tolerance_mm, 1e-7 * max(extents_mm(made[2])))
        return cls(rows, *made, tolerance_mm)

    @cached_property
    def count(self) -> Ints:
        return np.diff(np.append(self.start, len(self.rows)))

    @cached_property
    def beside(self) -> tuple[Ints, Ints, Floats]:
        """The flats beside each flat f and how far they turn [rad]: the arrays from first[f] to first[f + 1]."""
        one, two = np.concatenate([self.pairs, self.pairs[:, ::-1]]).T
        order, first = by_label(one, len(self.area))
        return first, two[order], np.concatenate([self.turn, self.turn])[order]

    @cached_property
    def _mark(self) -> tuple[Ints, Iterator[int]]:
        return np.zeros(len(self.area), np.int64), count(1, 2)

    @cached_property
    def _corner_mark(self) -> tuple[Ints, Iterator[int]]:
        return np.zeros(len(self.points), np.int64), count(1)

    def around(self, some: Ints) -> Ints:
        """The flats beside these, each once, in order."""
        first, beside, _ = self.beside
        mark, stamp = self._mark
        return np.sort(loops.around(first, beside, some, mark, next(stamp)))

    def rows_of(self, some: Ints) -> Ints:
        return ranges(self.start[some], self.count[some])

    def triangles(self, some: Ints) -> Ints:
        return self.rows[self.rows_of(some)]

    def true_corners(self, some: Ints) -> Ints:
        """The true corners of these flats, each once."""
        last = self._last_corners
        if not last or last[0][0] is not some:  # one kind of surface after another is tried on the same flats
            mark, stamp = self._corner_mark
            found = loops.corners_of(self.corners, self.true, self.start, self.count, some, mark, next(stamp))
            last[:] = [(some, found)]
        return last[0][1]

    @cached_property
    def _last_corners(self) -> list[tuple[Ints, Ints]]:
        return []

    def fitted(self, kind: SurfaceKind, some: Ints) -> Surface | None:
        if len(some) > MOST_FLATS:
            some = some[sample(len(some), MOST_FLATS)]
        corners = self.true_corners(some)
        if len(corners) < FEWEST[kind]:
            return None
        return fit(kind, self.points[corners], self.centre[some], self.normal[some], self.area[some])

    def _by(self, surface: Surface, some: Ints) -> ForLoops:
        """What the loops take: a surface and these flats."""
        return *numbers(surface), self.points, self.corners, self.true, self.start, self.count, some

    def _measured(self, surface: Surface, some: Ints) -> tuple[Floats, ...]:
        return tuple(loops.measured(*self._by(surface, some), self.middle, self.normal).T)

    def held(self, surface: Surface, some: Ints) -> Truths:
        """Which of these flats have all their true corners on the surface."""
        return np.asarray(self._measured(surface, some)[0] <= self.tolerance_mm)

    def holds(self, surface: Surface, some: Ints) -> bool:
        """Whether the true corners of these flats lie on the surface."""
        return loops.holds(*self._by(surface, some), self.tolerance_mm)

    def follows(self, surface: Surface, some: Ints) -> bool:
        """Whether most true corners of these flats lie on the surface as nearly as rounding lets them.

        A surface that only touches free-form skin grows until it is off by all that is allowed.
        """
        corners = self.true_corners(some)
        off = np.abs(distances(surface, self.points[corners[sample(len(corners), 2000)]]))
        return _quantile(off, CLOSE_SHARE) <= self.tolerance_mm / 4.0

    def reach(self, surface: Surface, some: Ints, free: Truths) -> Ints:
        """The free flats that the surface goes on into from these, in order."""
        first, beside, _ = self.beside
        return np.sort(loops.flood(*self._by(surface, some), first, beside, ~free, self.tolerance_mm))

    def labels(self, some: Ints) -> Ints:
        """Which connected group each of these flats (sorted) is in."""
        first, beside, _ = self.beside
        count = first[some + 1] - first[some]
        far = beside[ranges(first[some], count)]
        at = np.minimum(np.searchsorted(some, far), len(some) - 1)
        inside = some[at] == far
        own = np.repeat(np.arange(len(some)), count)[inside]
        return connected(len(some), own, at[inside])[1]

    def groups(self, some: Ints) -> list[Ints]:
        """These flats (sorted) in connected groups."""
        if len(some) == 0:
            return []
        if len(some) == len(self.area) <= len(self.pairs) + 1:  # all of it: a region hangs together
            return [some]
        label = self.labels(some)
        order, first = by_label(label, int(label.max()) + 1)
        return np.split(some[order], first[1:-1])

    def on(self, surface: Surface, some: Ints) -> Truths:
        """Which of these flats lie on the surface, cut corners no deeper than the flats' middles."""
        if len(some) == 0:
            return np.zeros(0, bool)
        true, cut, sag, least, most = self._measured(surface, some)
        on = true <= self.tolerance_mm
        outward, inward = on & (least >= FACING), on & (most <= -FACING)
        area = self.area[some]
        on = outward if area[outward].sum() >= area[inward].sum() else inward
        if on.any():
            on[on] = self._even(surface, some[on])
        if not on.any():
            return np.asarray(on)
        usual = _quantile(sag[on], 0.9)
        return np.asarray(on & (cut <= np.maximum(2.0 * usual, self.tolerance_mm)))

    def _even(self, surface: Surface, some: Ints) -> Truths:
        """The flats that span about as much of a turn as most: one much wider is a flat in its own right.

        (A face between two fillets of one size, or a wall between two rounded rims, has its corners on one circle.)
        """
        # a face of its own is seldom a single triangle; a mesher's oddity is
        wide = np.where(self.count[some] == 1, 2.0 * WIDE, WIDE)
        narrow = NARROW_RAD if len(some) >= MANY else 0.0
        keep: Truths = np.ones(len(some), bool)
        across = square_to(np.array(surface.direction))
        about, other = loops.spans(*self._by(surface, some), *across, AXIS).T
        if surface.kind is not SurfaceKind.SPHERE:
            keep &= about <= np.maximum(wide * _usual(about, self.area[some]), max(1e-4, narrow))
            keep &= about <= WIDEST_RAD  # the four bevels of a plate have their corners on a cone
        if surface.kind is SurfaceKind.TORUS:
            keep &= other <= np.maximum(wide * _usual(other, self.area[some]), max(1e-4, narrow))
        if surface.kind is SurfaceKind.SPHERE:
            keep &= other <= np.maximum(wide * _usual(other, self.area[some]), narrow * surface.radius_mm)
            keep &= other <= 2.0 * surface.radius_mm * math.sin(0.75 * WIDEST_RAD)  # across a square facet
        return keep

    def rounds_a_tube(self, surface: Surface, some: Ints, fewest: int) -> bool:
        """Whether the corners of these flats lie in enough rings round the tube of a torus.

        A circle goes through a straight wall and a strip on either side as well: few rings must lie evenly, and three
        or four, which any two strips have and three alike at both ends, as the chords of one arc do.
        """
        about, tube = turns(surface, self.points[self.true_corners(some)])
        rounding = self.tolerance_mm / surface.minor_radius_mm
        rings = rings_round(tube, 4.0 * rounding)
        gap = np.diff(rings)
        if len(gap) in (2, 3):
            chord, along = 2.0 * np.sin(0.5 * gap), np.abs(np.diff(np.sin(rings)))
            if not as_chords(chord[1:], chord[:-1], along[1:], along[:-1], rounding).all():
                return False
            if not _as_fine(surface, about, tube, float(gap.max())):
                return False
        even = len(gap) >= 2 * fewest or (len(gap) > 0 and float(gap.max()) <= WIDE * float(np.median(gap)))
        return 1 + len(gap) >= fewest and even


def rings_round(tube: Floats, apart_rad: float) -> Floats:
    """The angles round a tube of the rings that its corners lie in, from end to end of what there is of it [rad].

    >>> rings_round(np.array([3.1, -3.1, 3.0, -3.1, 3.0]), 0.01).round(2).tolist()
    [3.0, 3.1, 3.18]
    """
    around = np.sort(tube)
    gap = np.diff(np.append(around, around[0] + 2.0 * np.pi))
    begin = int(gap.argmax()) + 1  # behind what is left open
    around, gap = np.roll(around, -begin), np.roll(gap, -begin)[:-1]
    rings = around[np.append(True, gap > min(0.02, apart_rad))]
    return np.asarray(np.where(rings < rings[0], rings + 2.0 * np.pi, rings))


def off_arc(chord_mm: Floats | float, turn_rad: Floats | float) -> Floats:
    """How far the middle of a chord stands off its arc, which turns by so much [mm].

    >>> round(float(off_arc(2.0, math.pi)), 12)
    1.0
    """
    return np.asarray(0.5 * chord_mm * np.tan(0.25 * turn_rad))


def as_chords(one_mm: Floats, two_mm: Floats, one_along_mm: Floats, two_along_mm: Floats, rounding_mm: float) -> Truths:
    """Whether strips beside each other are as long as an exporter cuts an arc, evenly, and not alike along their axis,
    as a drawn outline is: 0, 40, 80, 120 mm.

    >>> as_chords(*np.array([[40.05], [40.0], [40.0], [40.0]]), 1e-5).tolist()
    [False]
    """
    unlike, grid = np.abs(one_mm - two_mm), np.abs(one_along_mm - two_along_mm)
    drawn = unlike > GRID * np.maximum(grid, rounding_mm)
    return np.asarray((unlike <= (EVEN - 1.0) * np.minimum(one_mm, two_mm)) & ~drawn)


def _as_fine(surface: Surface, about: Floats, tube: Floats, turn: float) -> bool:
    """Whether chords of a torus's tube that turn by so much [rad] are cut about as finely as its rings are, by how far
    they stand off the arc; about and tube (n,) are the angles of its corners [rad]."""
    ring = np.unique(np.round(tube / (0.1 * turn)), return_inverse=True)[1]
    some = ring == np.bincount(ring).argmax()
    step = np.diff(np.sort(about[some & np.isfinite(about)]))
    step = step[step > 1e-6]
    if len(step) < 2:
        return True
    small = surface.minor_radius_mm
    size = abs(surface.radius_mm + small * math.cos(float(tube[some][0])))
    usual = float(np.median(step))
    allowed = COARSER * min(max(1.0, small / max(size, 1e-12)), MOST_LARGER)
    off, ring_off = (off_arc(2.0 * r * math.sin(0.5 * t), t) for r, t in ((small, turn), (size, usual)))
    return bool(off <= allowed * ring_off)


def inner_corner(corners: Ints, flat_of: Ints) -> bool:
    """Whether three flats or more, and nothing else, meet in a corner of these triangles (t, 3) of flats (t,).

    >>> inner_corner(np.array([[0, 1, 2], [0, 2, 3], [0, 3, 1]]), np.array([0, 1, 2]))
    True
    """
    one, two = corners.astype(np.int64).ravel(), corners.astype(np.int64)[:, [1, 2, 0]].ravel()
    count = int(one.max()) + 1
    key, times = np.unique(np.minimum(one, two) * count + np.maximum(one, two), return_counts=True)
    meeting = np.unique(one * (int(flat_of.max()) + 1) + np.repeat(flat_of.astype(np.int64), 3)) // (flat_of.max() + 1)
    inner = np.bincount(meeting, minlength=count) >= 3
    rim = key[times == 1]
    inner[rim // count] = inner[rim % count] = False
    return bool(inner.any())


def ranges(first: Ints, count: Ints) -> Ints:
    """first[0], first[0] + 1, ... count[0] of them, then those from first[1] on, and so forth."""
    if len(first) == 0:
        return np.zeros(0, np.intp)
    end = np.cumsum(count)
    return np.asarray(np.repeat(first - end + count, count) + np.arange(int(end[-1])))


def distinct(values: Ints) -> Ints:
    """The values in order, each once."""
    ranked = np.sort(values)
    keep = np.ones(len(ranked), bool)
    keep[1:] = ranked[1:] != ranked[:-1]
    return np.asarray(ranked[keep])


def _quantile(values: Floats, share: float) -> float:
    """As numpy's own, between the two values next to it, in a tenth of the time."""
    at = share * (len(values) - 1)
    ranked = np.sort(values)
    low, high = float(ranked[int(at)]), float(ranked[min(int(at) + 1, len(values) - 1)])
    part = at - int(at)
    return high - (high - low) * (1.0 - part) if part >= 0.5 else low + (high - low) * part


def _usual(span: Floats, area: Floats) -> float:
    """The span that two fifths of the flats keep under, each counted by its length, which is its area over its span.

    The many short flats that a mesher puts round a cross-hole count for little, full-length strips for one each.
    """
    some = sample(len(span), MOST_SPANS)
    span, area = span[some], area[some]
    order = np.argsort(span, kind="stable")
    length = np.cumsum((area / np.maximum(span, 1e-12))[order])
    return float(span[order[np.searchsorted(length, 0.4 * length[-1])]])
