"""Rods between the bar and every part of a layout: where each runs, and which parts draw their current through it."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from statistics import median_low

from areacalc.plant.layout import Layout, Place
from areacalc.sources import Constant, Kind, Source

_SAME_MM = 1.0  # parts whose middles stand so near each other hang by one wire
_OVER_WALL_MM = 100.0  # from the liquid's edge over the wall to the bar
LONG = Constant(250.0, "mm", Source(Kind.COMMON_PRACTICE, "a part that lies so long tips and turns on one wire: two"))
_HOOK_MM = 10.0  # from an arm down to the part; less where parts hang nearer above each other


class RackKind(StrEnum):
    WIRES = "wires"
    HOOKS = "hooks"
    SPLINE = "spline"
    CLIPS = "clips"


class RodKind(StrEnum):
    """One rod of a rack by its job, from the bar to the part."""

    WIRE = "wire"
    SPLINE = "spline"
    ARM = "arm"
    HOOK = "hook"
    CLIP = "clip leg"


@dataclass(frozen=True, slots=True)
class Strand:
    """One rod: its corners along the tank, across it and under the liquid [mm].

    loads: each part that draws through it, as its place in the layout, and how far along the rod it does [mm].
    legs: rods side by side that share its current; only one of them is a strand. held_by: how many strands hold each of
    its parts and share its current.
    """

    piece: RodKind
    row: int
    points: tuple[tuple[float, float, float], ...]
    loads: tuple[tuple[int, float], ...]
    legs: int = 1
    held_by: int = 1

    @property
    def long_mm(self) -> float:
        return sum(abs(b - a) for start, end in pairwise(self.points) for a, b in zip(start, end, strict=True))

    @property
    def wet_mm(self) -> float:
        """What of its length is under the liquid."""
        return sum((abs(x2 - x1) + abs(y2 - y1) if z1 > 0.0 else 0.0) + abs(max(z2, 0.0) - max(z1, 0.0))
                   for (x1, y1, z1), (x2, y2, z2) in pairwise(self.points))  # fmt: skip


def strands(rack: Layout, kind: RackKind, freeboard_mm: float = 0.0) -> tuple[Strand, ...]:
    """Every rod of a layout, from a bar over the tank's rim.

    Wires: one down each column, two where a long part lies in it. Hooks: one from the bar to each part, beside what
    hangs above. Spline: one down each row with an arm across at each tier, every part on a short hook; clips: the same,
    every part in a spring clip. A part that is moved out of its row or tier has an arm of its own.
    """
    bar_mm = -freeboard_mm - _OVER_WALL_MM
    found: list[Strand] = []
    for row in range(rack.rows):
        here = [i for i, place in enumerate(rack.places) if place.row == row]
        if kind is RackKind.WIRES:
            found += _wires(rack, row, here, bar_mm)
        elif kind is RackKind.HOOKS:
            found += [_hook(rack, row, i, bar_mm) for i in here]
        else:
            found += _on_spline(rack, row, here, bar_mm, kind is RackKind.CLIPS)
    return tuple(found)


def _middle_mm(rack: Layout, i: int) -> tuple[float, float]:
    box = rack.box(rack.places[i])
    return 0.5 * (box[0] + box[3]), 0.5 * (box[1] + box[4])


def _wires(rack: Layout, row: int, here: Sequence[int], bar_mm: float) -> Iterator[Strand]:
    columns: list[tuple[float, float, list[int]]] = []
    for i in here:
        x, y = _middle_mm(rack, i)
        held = next((parts for *at, parts in columns if math.dist(at, (x, y)) <= _SAME_MM), None)
        if held is None:
            columns.append((x, y, [i]))
        else:
            held.append(i)
    for x, y, parts in columns:
        deep = max(rack.places[i].z_mm for i in parts)
        loads = tuple((i, rack.places[i].z_mm - bar_mm) for i in parts)
        aside_mm = 0.25 * max(rack.ways[rack.places[i].part].along_mm for i in parts)
        ats = (x - aside_mm, x + aside_mm) if any(is_long(rack, rack.places[i]) for i in parts) else (x,)
        for at in ats:
            yield Strand(RodKind.WIRE, row, ((at, y, bar_mm), (at, y, deep)), loads, held_by=len(ats))


def is_long(rack: Layout, place: Place) -> bool:
    """Whether a part lies so long that one wire does not hold it level."""
    way = rack.ways[place.part]
    return way.along_mm >= max(LONG.value, way.high_mm)


def _hook(rack: Layout, row: int, i: int, bar_mm: float) -> Strand:
    """A hook straight down, or in the gap beside the parts above and over to the middle."""
    place, (x, y) = rack.places[i], _middle_mm(rack, i)
    points: tuple[tuple[float, float, float], ...] = ((x, y, bar_mm), (x, y, place.z_mm))
    if place.tier:
        aside = place.x_mm - rack.gaps.between_mm * place.tier / (rack.tiers + 1.0)
        over = place.z_mm - _over_mm(rack)
        points = ((aside, y, bar_mm), (aside, y, over), (x, y, over), (x, y, place.z_mm))
    made = Strand(RodKind.HOOK, row, points, ())
    return replace(made, loads=((i, made.long_mm),))


def _over_mm(rack: Layout) -> float:
    return min(_HOOK_MM, 0.5 * rack.gaps.between_mm)


def _on_spline(rack: Layout, row: int, here: Sequence[int], bar_mm: float, clips: bool) -> Iterator[Strand]:
    x, over, middles = _free_mm(rack, here), _over_mm(rack), {i: _middle_mm(rack, i) for i in here}
    y = median_low(across for _, across in middles.values())
    arms = {i: round(rack.places[i].z_mm - over, 1) for i in here}
    loads = tuple((i, arms[i] - bar_mm) for i in here)
    yield Strand(RodKind.SPLINE, row, ((x, y, bar_mm), (x, y, max(arms.values()))), loads)
    for z in sorted(set(arms.values())):
        on = [i for i in here if arms[i] == z]
        for side in (-1.0, 1.0):
            held = tuple((i, abs(middles[i][0] - x)) for i in on
                         if (middles[i][0] - x) * side > 0.0 and abs(middles[i][1] - y) <= _SAME_MM)  # fmt: skip
            if held:
                yield Strand(RodKind.ARM, row, ((x, y, z), (x + side * max(d for _, d in held), y, z)), held)
        for i in on:
            at, across = middles[i]
            if abs(across - y) > _SAME_MM:
                corners = ((x, y, z), (at, y, z), (at, across, z))
                yield Strand(RodKind.ARM, row, corners, ((i, abs(at - x) + abs(across - y)),))
            down = ((at, across, z), (at, across, rack.places[i].z_mm))
            piece, legs = (RodKind.CLIP, 2) if clips else (RodKind.HOOK, 1)
            yield Strand(piece, row, down, ((i, rack.places[i].z_mm - z),), legs)


def _free_mm(rack: Layout, here: Sequence[int]) -> float:
    """Where a spline passes all parts of a row: the gap nearest their middle, or beside the first."""
    spans = sorted((rack.box(rack.places[i])[0], rack.box(rack.places[i])[3]) for i in here)
    low, high = spans[0][0], max(end for _, end in spans)
    gaps, reached = [low - 0.5 * rack.gaps.between_mm], spans[0][1]
    for start, end in spans:
        if start > reached + _SAME_MM:
            gaps.append(0.5 * (start + reached))
        reached = max(reached, end)
    return min(gaps, key=lambda x: abs(x - 0.5 * (low + high)))
