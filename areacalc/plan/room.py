"""Room in the tank: the clearances that a load keeps or breaks, and what has no place in it at all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from enum import Enum

from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.figure import Figure
from areacalc.load.load import Load
from areacalc.plan.area import PartArea
from areacalc.plant.goes_in import Box, goes_in
from areacalc.plant.largest import BETWEEN_PARTS, Largest
from areacalc.plant.rule import Judged
from areacalc.plant.tank import LITRE_MM3, check_room, check_shell


def judge_room(load: Load, parts: Sequence[PartArea], area: Figure) -> tuple[Judged, ...]:
    """Room in the tank, the parts in one row: as they hang, else upright or lying, whichever breaks fewer rules."""
    if any(p.size_mm is None for p in parts) or load.tank.length_mm is None:
        return check_shell(load.tank)
    ways = [check_room(load.tank, row, _behind_mm(load)) for row in (_row(parts, area, True), _row(parts, area, False))]
    return min(ways, key=lambda judged: (any(j.value < 0.0 for j in judged), sum(not j.kept for j in judged)))


class NoPlace(Enum):
    """What the tank cannot hold, however it is turned."""

    PART_TOO_LARGE = "part larger than the liquid"
    PART_STANDS_OUT = "part stands out of the liquid"
    TOO_MANY_PARTS = "parts fill more than the tank"
    CATHODES_TOO_LONG = "cathodes wider than the tank"
    CATHODES_TOO_DEEP = "cathodes deeper than the liquid"


def no_place(load: Load, parts: Sequence[PartArea]) -> Iterable[Fact]:
    """Each kind of part, all parts together, or cathodes that the tank cannot hold, however hung.

    A part that is meant to stand out of the liquid is not held against its depth.
    """
    room, strips = _room_mm(load), load.cathodes
    shut = [p for p in parts if p.size_mm is not None and p.line.liquid_line is None]
    for part in parts:
        deep = room[2] if part.line.liquid_line is None else math.inf
        if part.size_mm is not None and not goes_in(part.size_mm, (room[0], room[1], deep)):
            yield fact(NoPlace.PART_TOO_LARGE, part=part.line.name, size=_sides(part.size_mm), room=_sides(room),
                       between_cathodes=1 if strips is not None else 0)  # fmt: skip
        elif part.hung_mm is not None and part.hung_mm[2] > room[2]:
            yield fact(NoPlace.PART_STANDS_OUT, part=part.line.name, high=quantity(part.hung_mm[2], "mm"),
                       liquid=quantity(room[2], "mm"))  # fmt: skip
    boxes_l = sum(p.line.count * math.prod(p.size_mm or ()) for p in shut) / LITRE_MM3
    if shut and boxes_l > load.tank.liquid_l:
        yield fact(NoPlace.TOO_MANY_PARTS, fill=quantity(boxes_l, "L"), tank=quantity(load.tank.liquid_l, "L"))
    if strips is None:
        return
    a_side = math.ceil(0.5 * strips.count)
    if load.tank.length_mm is not None and a_side * strips.width_mm > load.tank.length_mm:
        yield fact(NoPlace.CATHODES_TOO_LONG, a_side=a_side, width=quantity(strips.width_mm, "mm"),
                   tank=quantity(load.tank.length_mm, "mm"))  # fmt: skip
    if load.tank.depth_mm is not None and strips.immersed_mm > load.tank.depth_mm:
        yield fact(NoPlace.CATHODES_TOO_DEEP, deep=quantity(strips.immersed_mm, "mm"),
                   liquid=quantity(load.tank.depth_mm, "mm"))  # fmt: skip


def _room_mm(load: Load) -> Box:
    """Length, width between the strips and depth of the liquid; what is not known is without end."""
    tank, strips = load.tank, load.cathodes
    width = tank.width_mm or math.inf
    if strips is not None:
        width = max(width - min(strips.count, 2) * strips.thickness_mm, 0.0)
    return tank.length_mm or math.inf, width, tank.depth_mm or math.inf


def _sides(box: Box) -> tuple[Quantity | None, ...]:
    """Three sides; None for one that is not known."""
    return tuple(quantity(side, "mm") if math.isfinite(side) else None for side in box)


def _behind_mm(load: Load) -> float | None:
    """What the cathodes take off each side of the tank [mm]; None where the distance is told or nothing hangs."""
    if load.cathodes is None or load.cathodes.distance_mm is not None:
        return None
    return load.cathodes.thickness_mm + 10.0


def _row(parts: Sequence[PartArea], area: Figure, upright: bool) -> Largest:
    """The envelope of all parts side by side, as they hang, else with their longest side down or along the tank."""
    along, down, across, number = 0.0, 0.0, 0.0, 0
    for part in parts:
        assert part.size_mm is not None
        thin, middle, long = sorted(part.size_mm)
        wide, high = (middle, long) if upright else (long, middle)
        if part.hung_mm is not None:
            thin, wide, high = part.hung_mm
        along += part.line.count * wide
        down, across = max(down, high), max(across, thin)
        number += part.line.count
    along += (number - 1) * BETWEEN_PARTS.value
    return Largest(along, down, across, area.estimate, "the parts in a row", number)
