"""The smallest tank that holds a load by the rules of spacing, and the layout in it."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from areacalc.plant.hung import RackPart, Way
from areacalc.plant.layout import EVEN, Layout, Room, chosen, placed
from areacalc.plant.shelves import RowTier, fill, wide_mm
from areacalc.plant.spacing import USUAL, Gaps, Spacing
from areacalc.plant.stock import METRIC, Sold
from areacalc.plant.tank import LITRE_MM3
from areacalc.sources import Constant, Kind, Source

BETWEEN_STRIPS = Constant(10.0, "mm", Source(Kind.COMMON_PRACTICE, "strips hang a finger apart, so that acid flows"))
_MOST_COLUMNS, _MOST_SHELVES = 40, 200
_SLACK_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Smallest:
    """The smallest liquid for a load [mm], up to whole steps, and the load in it."""

    room: Room
    layout: Layout

    @property
    def liquid_l(self) -> float:
        """The liquid [L]."""
        return _litres(self.room)


def smallest(
    parts: Sequence[RackPart], spacing: Spacing | None = None, within: Room | None = None, a_side_mm2: float = 0.0,
    stock: Sold = METRIC,
) -> Smallest | None:  # fmt: skip
    """The least liquid that keeps every rule; None where the sizes already told do not let any.

    within: the sizes that are told, the others without end; its behind_mm is what the cathodes take off either side.
    a_side_mm2: the cathode face wanted on either side; the tank is as long, or as deep, as that takes.
    A tank is no deeper than it is long or wide (common practice: a hand reaches the floor), unless a part needs it.

    >>> from areacalc.plant.hung import box_part
    >>> found = smallest([box_part("knob", (25.0, 25.0, 18.0), 20)])
    >>> found.room.length_mm, found.room.width_mm, found.room.depth_mm, found.layout.rows, found.layout.tiers
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
    room, ways, shelves = min(reached, key=lambda each: (_litres(each[0]), each[0].depth_mm))
    return Smallest(room, placed(tuple(parts), ways, shelves, room, rules.usual, rules))


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
        if all(size >= need - _SLACK_MM for size, need in zip(sizes, least, strict=True)):
            yield replace(told, length_mm=sizes[0], width_mm=sizes[1], depth_mm=sizes[2])


def _litres(room: Room) -> float:
    return room.length_mm * room.width_mm * room.depth_mm / LITRE_MM3
