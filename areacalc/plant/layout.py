"""What hangs where, by the rules of spacing: in rows, tiers and columns inside a tank, or in the smallest tank."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from areacalc.plant.hung import RackPart, Way
from areacalc.plant.rule import Judged
from areacalc.plant.shelves import RowTier, fill, narrowest, thick_mm, wide_mm
from areacalc.plant.spacing import USUAL, Gaps, Spacing
from areacalc.plant.stock import METRIC, Sold
from areacalc.plant.tank import LITRE_MM3
from areacalc.sources import Constant, Kind, Source

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
        return cls(length_mm or math.inf, width_mm or math.inf, depth_mm or math.inf, behind_mm)

    @property
    def is_whole(self) -> bool:
        return all(math.isfinite(size) for size in self.sides_mm)

    @property
    def sides_mm(self) -> tuple[float, float, float]:
        return self.length_mm, self.width_mm, self.depth_mm

    @property
    def liquid_l(self) -> float:
        return math.prod(self.sides_mm) / LITRE_MM3


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
        return 1 + max(place.row for place in self.places)

    @property
    def tiers(self) -> int:
        return 1 + max(place.tier for place in self.places)

    @property
    def columns(self) -> int:
        """How many parts hang side by side in the fullest row and tier."""
        return 1 + max(place.column for place in self.places)

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """The rack's envelope: along, across, and high."""
        low, high = self.ends_mm
        return high[0] - low[0], high[1] - low[1], high[2] - low[2]

    @property
    def above_mm(self) -> float:
        return self.ends_mm[0][2]

    def box(self, place: Place) -> tuple[float, float, float, float, float, float]:
        """The box of a part in its place [mm]: x, y and z of its near corner, then of its far one."""
        way = self.ways[place.part]
        return (place.x_mm, place.y_mm, place.z_mm, place.x_mm + way.along_mm, place.y_mm + way.across_mm,
                place.z_mm + way.high_mm)  # fmt: skip

    @property
    def ends_mm(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
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
    for orders in (EVEN, _TIGHTEST):
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


def _face_mm2(way: Way, gaps: Gaps) -> float:
    """The face that a part takes with its gap."""
    return (way.along_mm + gaps.between_mm) * (way.high_mm + gaps.between_mm)


EVEN: tuple[Order, ...] = (
    lambda way, thin_mm, gaps: (way.across_mm > thin_mm, -way.high_mm, way.across_mm),  # upright
    lambda way, thin_mm, gaps: (way.across_mm > thin_mm, way.high_mm, way.across_mm),  # lying
    lambda way, thin_mm, gaps: (way.across_mm > thin_mm, _face_mm2(way, gaps)),
)
"""Ways with a broad side toward the cathodes before the others (common practice: both faces coat alike)."""
_TIGHTEST: tuple[Order, ...] = (lambda way, thin_mm, gaps: (_face_mm2(way, gaps), way.across_mm),)


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
    low, high = made.ends_mm
    away = (0.5 * (room.length_mm - low[0] - high[0]), 0.5 * (room.width_mm - low[1] - high[1]), above_mm - low[2])
    places = tuple(replace(p, x_mm=p.x_mm + away[0], y_mm=p.y_mm + away[1], z_mm=p.z_mm + away[2]) for p in made.places)
    moved = replace(made, places=places, room=room)
    return replace(moved, judged=tuple(judged_room(moved, rules)))


def judged_room(made: Layout, rules: Spacing) -> Iterator[Judged]:
    """Every clearance that the layout has, put to its rule; one that is not known is not judged."""
    low, high = made.ends_mm
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


BETWEEN_STRIPS = Constant(10.0, "mm", Source(Kind.COMMON_PRACTICE, "strips hang a finger apart, so that acid flows"))
_MOST_COLUMNS, _MOST_SHELVES = 40, 200


def smallest(
    parts: Sequence[RackPart], spacing: Spacing | None = None, within: Room | None = None, a_side_mm2: float = 0.0,
    stock: Sold = METRIC,
) -> Layout | None:  # fmt: skip
    """The load in the least liquid that keeps every rule, up to whole steps; None where the sizes told let none.

    within: the sizes that are told, the others without end; its behind_mm is what the cathodes take off either side.
    a_side_mm2: the cathode face wanted on either side; the tank is as long, or as deep, as that takes.
    A tank is no deeper than it is long or wide (common practice: a hand reaches the floor), unless a part needs it.

    >>> from areacalc.plant.hung import box_part
    >>> found = smallest([box_part("knob", (25.0, 25.0, 18.0), 20)])
    >>> found.room.length_mm, found.room.width_mm, found.room.depth_mm, found.rows, found.tiers
    (330.0, 240.0, 200.0, 2, 2)
    """
    rules, told = spacing or USUAL, within or Room.of(behind_mm=13.0)
    found = [
        (room, ways, shelves)
        for ways, shelves in _ways_to_fill(parts, rules, told)
        for room in _rooms_of(ways, shelves, rules.usual, told, a_side_mm2, stock)
    ]
    if not found:
        return None
    least_mm = min(room.depth_mm for room, _, _ in found)
    reached = [each for each in found if each[0].depth_mm <= max(each[0].length_mm, each[0].width_mm, least_mm)]
    room, ways, shelves = min(reached, key=lambda each: (each[0].liquid_l, each[0].depth_mm))
    return placed(tuple(parts), ways, shelves, room, rules.usual, rules)


def _ways_to_fill(
    parts: Sequence[RackPart], rules: Spacing, told: Room
) -> Iterator[tuple[tuple[Way, ...], tuple[RowTier, ...]]]:
    """Every way to hang them that is tried: so many rows, so many columns of the widest, in each order of ways."""
    gaps = rules.usual
    depth_mm, most_mm = told.depth_mm - gaps.below_mm, told.length_mm - 2.0 * gaps.ends_mm
    width_mm = told.width_mm - 2.0 * (told.behind_mm + gaps.cathodes_mm)
    for rows in range(1, rules.rows + 1):
        for order in EVEN:
            ways = chosen(parts, (most_mm, width_mm, depth_mm), gaps, order)
            if ways is None:
                continue
            for length_mm in _lengths(parts, ways, gaps):
                if length_mm <= most_mm:
                    shelves = fill(parts, ways, length_mm, depth_mm, gaps, rows, rules.tiers)
                    if shelves is not None:
                        yield ways, shelves


def _lengths(parts: Sequence[RackPart], ways: Sequence[Way], gaps: Gaps) -> Iterator[float]:
    """Lengths of so many columns of the widest part, one by one, then by tenths more, up to all in one row.

    Of very many parts the first columns are left out: so deep a tank nobody builds.
    """
    widest = max(way.along_mm for way in ways) + gaps.between_mm
    most = math.ceil(sum(p.count * (w.along_mm + gaps.between_mm) for p, w in zip(parts, ways, strict=True)) / widest)
    columns = max(1, most // _MOST_SHELVES)
    while columns < most:
        yield columns * widest - gaps.between_mm
        columns += 1 if columns < _MOST_COLUMNS else columns // 10
    yield most * widest - gaps.between_mm


def _rooms_of(
    ways: Sequence[Way], shelves: Sequence[RowTier], gaps: Gaps, told: Room, a_side_mm2: float, stock: Sold
) -> Iterator[Room]:
    """The rooms that shelves ask for, as long or as deep as the cathodes want, with the sizes that are told kept."""
    across_mm = wide_mm(shelves, ways, gaps) + 2.0 * (gaps.cathodes_mm + told.behind_mm)
    long_mm, deep_mm = max(s.used_mm for s in shelves) + 2.0 * gaps.ends_mm, max(s.bottom_mm for s in shelves)
    sheet_mm = 2.0 * BETWEEN_STRIPS.value
    asked = {
        (max(long_mm, a_side_mm2 / deep_mm + sheet_mm), deep_mm),
        (long_mm, max(deep_mm, a_side_mm2 / max(long_mm - sheet_mm, 1.0))),
    }  # fmt: skip
    least = (long_mm, across_mm, deep_mm + gaps.below_mm)
    for length_mm, immersed_mm in sorted(asked):
        wanted = (stock.up(length_mm), stock.up(across_mm), stock.up(immersed_mm + gaps.below_mm))
        known = (told.length_mm, told.width_mm, told.depth_mm)
        sizes = [whole if math.isinf(size) else size for size, whole in zip(known, wanted, strict=True)]
        if all(size >= need - _SAME_MM for size, need in zip(sizes, least, strict=True)):
            yield replace(told, length_mm=sizes[0], width_mm=sizes[1], depth_mm=sizes[2])
