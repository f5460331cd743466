"""Parts set on shelves: each row a stack of tiers, each tier filled from its tallest part down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from areacalc.plant.hung import RackPart, Way
from areacalc.plant.spacing import Gaps

_SLACK_MM = 1e-9
_LOOKS = 24  # halvings when shelves are filled evenly


@dataclass(frozen=True, slots=True)
class RowTier:
    """One tier of one row: where its parts begin and its tallest ends below the liquid, and how much is taken [mm].

    held: the kinds on it, each with how many, in order along the tank.
    """

    row: int
    tier: int
    top_mm: float
    bottom_mm: float
    used_mm: float
    held: tuple[tuple[int, int], ...]

    def with_more(self, kind: int, number: int, along_mm: float, gap_mm: float) -> RowTier:
        return replace(self, used_mm=self.used_mm + number * (along_mm + gap_mm), held=(*self.held, (kind, number)))


def fill(
    parts: Sequence[RackPart], ways: Sequence[Way], length_mm: float, depth_mm: float, gaps: Gaps, rows: int,
    tiers: int | None = None,
) -> tuple[RowTier, ...] | None:  # fmt: skip
    """All parts on shelves of a length, above a depth, in so many rows; None where they do not go on.

    Tallest first, each on the first shelf that has room (first fit by decreasing height). Parts through the liquid's
    surface hang in the uppermost tier.
    """
    shelves: list[RowTier] = []
    lowest: list[RowTier | None] = [None] * rows
    order = sorted(range(len(parts)), key=lambda k: (not parts[k].stands_out, -ways[k].high_mm, k))
    for kind in order:
        left, way, out = parts[kind].count, ways[kind], parts[kind].stands_out
        for i, shelf in enumerate(shelves):
            if left == 0:
                break
            top_mm = 0.0 if out else shelf.top_mm
            if top_mm + way.high_mm > shelf.bottom_mm + _SLACK_MM or (out and shelf.tier > 0):
                continue
            number = min(left, _number(length_mm - shelf.used_mm - gaps.between_mm, way, gaps))
            if number > 0:
                shelves[i] = shelf.with_more(kind, number, way.along_mm, gaps.between_mm)
                left -= number
        while left > 0:
            opened = _next(lowest, way, out, depth_mm, gaps, tiers)
            number = min(left, _number(length_mm, way, gaps))
            if opened is None or number == 0:
                return None
            begun = replace(opened, used_mm=-gaps.between_mm)
            lowest[opened.row] = begun.with_more(kind, number, way.along_mm, gaps.between_mm)
            shelves.append(begun.with_more(kind, number, way.along_mm, gaps.between_mm))
            left -= number
    return tuple(shelves)


def _number(room_mm: float, way: Way, gaps: Gaps) -> int:
    """How many of a part go side by side into a length; as many as a person can count where it has no end."""
    each_mm = way.along_mm + gaps.between_mm
    return 10**9 if math.isinf(room_mm) else max(0, math.floor((room_mm + gaps.between_mm + _SLACK_MM) / each_mm))


def _next(
    lowest: Sequence[RowTier | None], way: Way, out: bool, depth_mm: float, gaps: Gaps, tiers: int | None
) -> RowTier | None:
    """The next empty shelf, in the row whose lowest shelf hangs least deep; None where it has no room."""
    row = min(range(len(lowest)), key=lambda r: (above.bottom_mm if (above := lowest[r]) else 0.0, r))
    over = lowest[row]
    tier = over.tier + 1 if over else 0
    top_mm = over.bottom_mm + gaps.between_mm if over else gaps.above_mm
    bottom_mm = (0.0 if out else top_mm) + way.high_mm
    if bottom_mm > depth_mm + _SLACK_MM or (out and tier > 0) or (tiers is not None and tier >= tiers):
        return None
    return RowTier(row, tier, top_mm, bottom_mm, 0.0, ())


def thick_mm(shelves: Sequence[RowTier], ways: Sequence[Way]) -> list[float]:
    """What each row takes of the tank's width [mm]: its thickest part."""
    rows = 1 + max(shelf.row for shelf in shelves)
    return [max(ways[kind].across_mm for s in shelves if s.row == row for kind, _ in s.held) for row in range(rows)]


def wide_mm(shelves: Sequence[RowTier], ways: Sequence[Way], gaps: Gaps) -> float:
    """What all rows take of the tank's width with the gaps between them [mm]."""
    thick = thick_mm(shelves, ways)
    return sum(thick) + (len(thick) - 1) * gaps.between_mm


def narrowest(
    parts: Sequence[RackPart], ways: Sequence[Way], shelves: tuple[RowTier, ...], length_mm: float, depth_mm: float,
    gaps: Gaps, tiers: int | None = None,
) -> tuple[RowTier, ...]:  # fmt: skip
    """As many shelves in as many rows, no wider, filled as evenly as they go: on the least length that holds all."""
    rows, best, most_mm = 1 + max(shelf.row for shelf in shelves), shelves, wide_mm(shelves, ways, gaps)
    low, high = max(way.along_mm for way in ways), length_mm
    for _ in range(_LOOKS):
        middle = 0.5 * (low + high)
        tried = fill(parts, ways, middle, depth_mm, gaps, rows, tiers)
        if tried is None or len(tried) > len(shelves) or wide_mm(tried, ways, gaps) > most_mm + _SLACK_MM:
            low = middle
        else:
            best, high = tried, middle
    return best
