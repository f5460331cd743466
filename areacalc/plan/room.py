"""Room in the tank: the load laid out in it, and what has no place in it at all."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.load.load import Load
from areacalc.plan.area import PartArea
from areacalc.plan.ways import goes_alone, rack_parts
from areacalc.plant.hung import RackPart
from areacalc.plant.layout import Layout, Room, lay_out
from areacalc.plant.moved import Rehung, rehung
from areacalc.plant.rule import Judged
from areacalc.plant.smallest import Smallest, smallest
from areacalc.plant.spacing import BEHIND_CATHODE, Spacing
from areacalc.plant.tank import check_shell

_STRIPS_MM = 3.0 + BEHIND_CATHODE.value  # what usual strips take off either side


class NoPlace(Enum):
    """What the tank cannot hold."""

    PART_TOO_LARGE = "part larger than the liquid"
    PART_STANDS_OUT = "part stands out of the liquid"
    TOO_MANY_PARTS = "parts do not go in at once"
    PARTS_OVERLAP = "parts overlap"
    PART_OUTSIDE = "part outside the liquid"
    CATHODES_TOO_LONG = "cathodes wider than the tank"
    CATHODES_TOO_DEEP = "cathodes deeper than the liquid"


@dataclass(frozen=True, slots=True)
class RoomPlan:
    """The load in its tank: every part in its place, or the reason why not and the smallest tank that would do.

    parts: the kinds whose size is known; layout is None where none is, where a size of the tank is not, and where the
    parts do not go in. judged: the rules of room and of the tank's shell; not_there: moves of what does not hang.
    a_side_mm: what there is from part to cathode, where the distance that was told is more.
    """

    room: Room
    parts: tuple[RackPart, ...]
    layout: Layout | None
    no_place: tuple[Fact, ...]
    would_do: Smallest | None
    judged: tuple[Judged, ...]
    not_there: tuple[str, ...] = ()
    a_side_mm: float | None = None


def plan_room(load: Load, parts: Sequence[PartArea]) -> RoomPlan:
    """The load laid out in its tank."""
    room, shell = room_of(load), check_shell(load.tank)
    kinds = rack_parts(parts, room, load.spacing)
    if not kinds or (load.tank.length_mm, load.tank.width_mm, load.tank.depth_mm) == (None, None, None):
        a_side_mm = _too_little_mm(load, 0.5 * room.width_mm - room.behind_mm)
        return RoomPlan(room, kinds, None, tuple(_no_place_for_cathodes(load)), None, shell, (), a_side_mm)
    layout = lay_out(kinds, room, load.spacing)
    if layout is not None:
        hung = rehung(layout, load.moved if room.is_whole else (), load.spacing)
        layout, apart = hung.layout, load.spacing.cathodes
        between = [each for each in layout.judged if each.rule in (apart, apart.safety)]
        a_side_mm = _too_little_mm(load, between[0].value) if between else None
        told = load.cathodes is not None and load.cathodes.distance_mm is not None and a_side_mm is None
        judged = [each for each in layout.judged if not (told and each in between)]  # the cathodes' own check has it
        known = layout if room.is_whole else None  # where the tank has no end, so has the rack
        no_place = (*hung_facts(hung), *_no_place_for_cathodes(load))
        return RoomPlan(room, kinds, known, no_place, None, (*judged, *shell), hung.not_there, a_side_mm)
    would_do = _smallest(kinds, load.spacing, room)
    found = (*_no_place(load, parts, kinds, room, would_do), *_no_place_for_cathodes(load))
    return RoomPlan(room, kinds, None, found, would_do, shell)


def hung_facts(hung: Rehung) -> Iterator[Fact]:
    """What a person has moved to where it cannot hang."""
    for part, other in hung.overlaps:
        yield fact(NoPlace.PARTS_OVERLAP, part=part, other=other)
    for part in hung.outside:
        yield fact(NoPlace.PART_OUTSIDE, part=part)


def room_of(load: Load) -> Room:
    """The liquid of a load's tank; what is not known is without end."""
    tank, strips = load.tank, load.cathodes
    behind_mm = strips.thickness_mm + BEHIND_CATHODE.value if strips is not None else 0.0
    return Room.of(tank.length_mm, tank.width_mm, tank.depth_mm, behind_mm)


def _too_little_mm(load: Load, a_side_mm: float) -> float | None:
    """The room a side, where a told cathode distance is more, even with the strips flat against the wall."""
    told = load.cathodes.distance_mm if load.cathodes is not None else None
    return a_side_mm if told is not None and told > a_side_mm + BEHIND_CATHODE.value + 1e-9 else None


def _no_place(
    load: Load, parts: Sequence[PartArea], kinds: Sequence[RackPart], room: Room, would_do: Smallest | None
) -> Iterator[Fact]:
    """Each kind of part that has no room by itself; where each has, all together."""
    sides, alone = _sides((room.length_mm, room.width_mm, room.depth_mm)), False
    known = [part for part in parts if part.part is not None]
    for area, kind in zip(known, kinds, strict=True):
        if goes_alone(kind, room, load.spacing):
            continue
        alone, least = True, _told(_smallest((replace(kind, count=1),), load.spacing, room))
        high_mm = min(way.high_mm for way in kind.ways)
        if area.line.up is not None and high_mm > room.depth_mm:
            yield fact(NoPlace.PART_STANDS_OUT, part=kind.name, high=quantity(high_mm, "mm"),
                       liquid=quantity(room.depth_mm, "mm"), **least)  # fmt: skip
        else:
            assert area.part is not None
            size = _sides(area.part.body.size_mm)
            between = 1 if load.cathodes is not None else 0
            yield fact(NoPlace.PART_TOO_LARGE, part=kind.name, size=size, room=sides, between_cathodes=between, **least)
    if not alone:
        count = sum(kind.count for kind in kinds)
        yield fact(NoPlace.TOO_MANY_PARTS, count=count, room=sides, **_told(would_do))


def _smallest(kinds: Sequence[RackPart], spacing: Spacing, room: Room) -> Smallest | None:
    return smallest(kinds, spacing, Room.of(behind_mm=room.behind_mm or _STRIPS_MM))


def _told(found: Smallest | None) -> dict[str, Quantity | tuple[Quantity | None, ...]]:
    if found is None:
        return {}
    room = found.room
    return {"tank": _sides((room.length_mm, room.width_mm, room.depth_mm)), "litres": quantity(found.liquid_l, "L")}


def _no_place_for_cathodes(load: Load) -> Iterator[Fact]:
    strips, tank = load.cathodes, load.tank
    if strips is None:
        return
    a_side = math.ceil(0.5 * strips.count)
    if tank.length_mm is not None and a_side * strips.width_mm > tank.length_mm:
        yield fact(NoPlace.CATHODES_TOO_LONG, a_side=a_side, width=quantity(strips.width_mm, "mm"),
                   tank=quantity(tank.length_mm, "mm"))  # fmt: skip
    if tank.depth_mm is not None and strips.immersed_mm > tank.depth_mm:
        yield fact(NoPlace.CATHODES_TOO_DEEP, deep=quantity(strips.immersed_mm, "mm"),
                   liquid=quantity(tank.depth_mm, "mm"))  # fmt: skip


def _sides(box: tuple[float, float, float]) -> tuple[Quantity | None, ...]:
    return tuple(quantity(side, "mm") if math.isfinite(side) else None for side in box)
