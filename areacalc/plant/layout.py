"""What hangs where: parts of several kinds in rows, tiers and columns, inside a tank, by the rules of spacing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from areacalc.plant.hung import RackPart, Way
from areacalc.plant.rule import Judged
from areacalc.plant.shelves import RowTier, fill, narrowest, thick_mm, wide_mm
from areacalc.plant.spacing import USUAL, Gaps, Spacing

_SLACK_MM, _SAME_MM = 1e-9, 1e-6
_LOOKS = 7  # halvings when a gap is opened as far as the tank lets


@dataclass(frozen=True, slots=True)
class Room:
    """The liquid that a rack hangs in [mm]; what is not known is without end.

    behind_mm: what the cathodes take off each side of the width, with the gap behind them.
    """

    length_mm: float
    width_mm: float
    depth_mm: float
    behind_mm: float = 0.0

    @classmethod
    def of(
        cls, length_mm: float | None = None, width_mm: float | None = None, depth_mm: float | None = None,
        behind_mm: float = 0.0,
    ) -> Room:  # fmt: skip
        """The room with the sizes that are known."""
        return cls(length_mm or math.inf, width_mm or math.inf, depth_mm or math.inf, behind_mm)

    @property
    def is_whole(self) -> bool:
        """Whether all its sizes are known."""
        return all(math.isfinite(size) for size in (self.length_mm, self.width_mm, self.depth_mm))


@dataclass(frozen=True, slots=True)
class Place:
    """One part in its place: which kind, its row, tier and column from 0, and the corner of its box [mm].

    x_mm runs along the tank from its end wall, y_mm across from its side wall, z_mm down from the liquid's surface.
    In a tank without end they run from the rack.
    """

    part: int
    row: int
    tier: int
    column: int
    x_mm: float
    y_mm: float
    z_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Every part in its place. ways: how each kind hangs; gaps: what it was packed with; judged: every rule of room."""

    parts: tuple[RackPart, ...]
    ways: tuple[Way, ...]
    places: tuple[Place, ...]
    room: Room
    gaps: Gaps
    judged: tuple[Judged, ...]

    @property
    def rows(self) -> int:
        """How many rows hang side by side between the cathodes."""
        return 1 + max(place.row for place in self.places)

    @property
    def tiers(self) -> int:
        """How many tiers hang one below another."""
        return 1 + max(place.tier for place in self.places)

    @property
    def columns(self) -> int:
        """How many parts hang side by side in the fullest row and tier."""
        return 1 + max(place.column for place in self.places)

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """The rack's envelope: along, across, and high."""
        low, high = self._ends()
        return high[0] - low[0], high[1] - low[1], high[2] - low[2]

    @property
    def above_mm(self) -> float:
        """Liquid above the highest part."""
        return self._ends()[0][2]

    def box(self, place: Place) -> tuple[float, float, float, float, float, float]:
        """The box of a part in its place [mm]: x, y and z of its near corner, then of its far one."""
        way = self.ways[place.part]
        return (place.x_mm, place.y_mm, place.z_mm, place.x_mm + way.along_mm, place.y_mm + way.across_mm,
                place.z_mm + way.high_mm)  # fmt: skip

    def _ends(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        boxes = list(zip(*(self.box(place) for place in self.places), strict=True))
        return tuple(min(near) for near in boxes[:3]), tuple(max(far) for far in boxes[3:])


def lay_out(parts: Sequence[RackPart], room: Room, spacing: Spacing | None = None) -> Layout | None:
    """Every part in its place in a room, or None where nothing keeps them from touching each other or the tank.

    The usual spacing is tried first; then rules give way one after the other, habits before evenness, down to the least
    that nothing touches at, and no further than needed. Last of all a narrow side may look at the cathodes.

    >>> from areacalc.plant.hung import box_part
    >>> made = lay_out([box_part("knob", (25.0, 25.0, 18.0), 20)], Room(400.0, 300.0, 300.0, 13.0))
    >>> made.rows, made.tiers, made.columns
    (1, 4, 5)
    """
    rules = spacing or USUAL
    for orders in (EVEN, (_tightest,)):
        for gaps, given_way in _relaxed(rules):
            found = _first_way(parts, room, gaps, rules, orders)
            if found is not None:
                packed = gaps
                for name in given_way:
                    packed, found = _opened(parts, room, rules, orders, packed, name, found)
                return placed(tuple(parts), *found, room, packed, rules)
    return None


def _relaxed(rules: Spacing) -> Iterator[tuple[Gaps, tuple[str, ...]]]:
    """The usual clearances, then with one rule more at its least each time; and the names of those to open again."""
    gaps, least = rules.usual, rules.least
    yield gaps, ()
    opened: tuple[str, ...] = ()
    for name in ("cathodes_mm", "ends_mm", "below_mm", "between_mm", "above_mm"):
        gaps = replace(gaps, **{name: getattr(least, name)})
        if name in ("between_mm", "above_mm"):
            opened = (*opened, name)
        yield gaps, opened


_Filled = tuple[tuple[Way, ...], tuple[RowTier, ...]]
_Sides = tuple[float, float, float]
Order = Callable[[Way, float, Gaps], tuple[float, ...]]
"""What the ways of a part are tried by, the least first; told how thin its thinnest side is.

It knows no room: a way stays chosen in a larger one.
"""


def _first_way(
    parts: Sequence[RackPart], room: Room, gaps: Gaps, rules: Spacing, orders: Sequence[Order]
) -> _Filled | None:
    """The parts on shelves, in as few rows as will do, by the first order of ways that does."""
    length_mm = room.length_mm - 2.0 * gaps.ends_mm
    depth_mm = room.depth_mm - gaps.below_mm
    width_mm = room.width_mm - 2.0 * (room.behind_mm + gaps.cathodes_mm)
    for rows in range(1, rules.rows + 1):
        for order in orders:
            ways = chosen(parts, (length_mm, width_mm, depth_mm), gaps, order)
            if ways is None:
                return None
            shelves = fill(parts, ways, length_mm, depth_mm, gaps, rows, rules.tiers)
            if shelves is not None and wide_mm(shelves, ways, gaps) <= width_mm + _SLACK_MM:
                return ways, shelves
    return None


def chosen(parts: Sequence[RackPart], room_mm: _Sides, gaps: Gaps, order: Order) -> tuple[Way, ...] | None:
    """The first way of each kind, in an order of ways, that has room alone; leaned ways come last."""
    found = []
    for part in parts:
        deep_mm = room_mm[2] - (0.0 if part.stands_out else gaps.above_mm)
        fits = [
            way for way in part.ways
            if way.along_mm <= room_mm[0] and way.across_mm <= room_mm[1] and way.high_mm <= deep_mm
        ]  # fmt: skip
        if not fits:
            return None
        thin_mm = min(way.across_mm for way in part.ways) + _SAME_MM
        found.append(min(fits, key=lambda way: (way.tilt_deg, *order(way, thin_mm, gaps))))
    return tuple(found)


def _upright(way: Way, thin_mm: float, gaps: Gaps) -> tuple[float, ...]:
    return way.across_mm > thin_mm, -way.high_mm, way.across_mm


def _lying(way: Way, thin_mm: float, gaps: Gaps) -> tuple[float, ...]:
    return way.across_mm > thin_mm, way.high_mm, way.across_mm


def _densest(way: Way, thin_mm: float, gaps: Gaps) -> tuple[float, ...]:
    """The least face that a part takes with its gap."""
    return way.across_mm > thin_mm, (way.along_mm + gaps.between_mm) * (way.high_mm + gaps.between_mm)


def _tightest(way: Way, thin_mm: float, gaps: Gaps) -> tuple[float, ...]:
    """The least face, though a narrow side looks at the cathodes."""
    return (way.along_mm + gaps.between_mm) * (way.high_mm + gaps.between_mm), way.across_mm


EVEN: tuple[Order, ...] = (_upright, _lying, _densest)
"""Ways with a broad side toward the cathodes before the others (common practice: both faces coat alike)."""


def _opened(
    parts: Sequence[RackPart], room: Room, rules: Spacing, orders: Sequence[Order], gaps: Gaps, name: str, found:
    _Filled,
) -> tuple[Gaps, _Filled]:  # fmt: skip
    """One clearance opened again from its least as far as the tank lets."""
    low, high = getattr(gaps, name), getattr(rules.usual, name)
    for _ in range(_LOOKS):
        middle = 0.5 * (low + high)
        tried = replace(gaps, **{name: middle})
        better = _first_way(parts, room, tried, rules, orders)
        if better is None:
            high = middle
        else:
            low, gaps, found = middle, tried, better
    return gaps, found


def placed(
    parts: tuple[RackPart, ...], ways: tuple[Way, ...], shelves: tuple[RowTier, ...], room: Room, gaps: Gaps,
    rules: Spacing,
) -> Layout:  # fmt: skip
    """The shelves, filled evenly, in the middle of the room."""
    limit_mm = min(room.length_mm - 2.0 * gaps.ends_mm, sum(s.used_mm + gaps.between_mm for s in shelves))
    shelves = narrowest(parts, ways, shelves, limit_mm, room.depth_mm - gaps.below_mm, gaps, rules.tiers)
    thick = thick_mm(shelves, ways)
    long_mm = room.length_mm if math.isfinite(room.length_mm) else max(s.used_mm for s in shelves)
    near_mm = 0.5 * (room.width_mm - wide_mm(shelves, ways, gaps)) if math.isfinite(room.width_mm) else 0.0
    middles = [near_mm + sum(thick[:row]) + row * gaps.between_mm + 0.5 * thick[row] for row in range(len(thick))]
    places = []
    for shelf in shelves:
        x_mm, column = 0.5 * (long_mm - _taken_mm(shelf, shelves, ways, gaps)), 0
        for kind, number in shelf.held:
            way = ways[kind]
            z_mm = 0.0 if parts[kind].stands_out else shelf.top_mm
            for _ in range(number):
                y_mm = middles[shelf.row] - 0.5 * way.across_mm
                places.append(Place(kind, shelf.row, shelf.tier, column, x_mm, y_mm, z_mm))
                x_mm += way.along_mm + gaps.between_mm
                column += 1
    made = Layout(parts, ways, tuple(places), room, gaps, ())
    return replace(made, judged=tuple(judged_room(made, rules)))


def _taken_mm(shelf: RowTier, shelves: Sequence[RowTier], ways: Sequence[Way], gaps: Gaps) -> float:
    """The length that a shelf is centred by [mm], so that its parts hang under those of the fullest like shelf."""
    (kind, number), *others = shelf.held
    alike = [s.held[0][1] for s in shelves if s.row == shelf.row and [k for k, _ in s.held] == [kind]]
    odd = not others and (max(alike) - number) % 2
    return shelf.used_mm + (ways[kind].along_mm + gaps.between_mm if odd else 0.0)


def moved_to(made: Layout, room: Room, above_mm: float, rules: Spacing) -> Layout:
    """The same layout in the middle of a larger room, with so much liquid above it [mm]."""
    low, high = made._ends()
    away = (0.5 * (room.length_mm - low[0] - high[0]), 0.5 * (room.width_mm - low[1] - high[1]), above_mm - low[2])
    places = tuple(replace(p, x_mm=p.x_mm + away[0], y_mm=p.y_mm + away[1], z_mm=p.z_mm + away[2]) for p in made.places)
    moved = replace(made, places=places, room=room)
    return replace(moved, judged=tuple(judged_room(moved, rules)))


def judged_room(made: Layout, rules: Spacing) -> Iterator[Judged]:
    """Every clearance that the layout has, put to its rule; one that is not known is not judged."""
    low, high = made._ends()
    room = made.room
    if len(made.places) > 1:
        yield rules.between.judge_room(made.gaps.between_mm)
    if math.isfinite(room.length_mm):
        yield rules.ends.judge_room(min(low[0], room.length_mm - high[0]))
    if math.isfinite(room.depth_mm):
        yield rules.below.judge_room(room.depth_mm - high[2])
    if any(not made.parts[place.part].stands_out for place in made.places):
        under = min(p.z_mm for p in made.places if not made.parts[p.part].stands_out)
        yield rules.above.judge_room(under)
    if math.isfinite(room.width_mm) and room.behind_mm > 0.0:
        yield rules.cathodes.judge_room(min(low[1], room.width_mm - high[1]) - room.behind_mm)
