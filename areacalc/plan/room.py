"""The load hung in its tank: the ways its parts may hang, every part in its place, what has none, and the rack."""

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.load.load import Load
from areacalc.part.part import Part, Shelf
from areacalc.plan.area import FreeHanging, PartArea, hung_area
from areacalc.plant.hung import RackPart, Way, free_ways, hung_ways, leaned
from areacalc.plant.layout import Layout, Room, lay_out, smallest
from areacalc.plant.made_rack import WIRE_METALS, made_rack
from areacalc.plant.moved import Rehung, rehung
from areacalc.plant.rack import Rack, RackCheck, check_rack
from areacalc.plant.rule import Judged
from areacalc.plant.spacing import BEHIND_CATHODE, Spacing
from areacalc.plant.tank import check_shell
from areacalc.surface.air.best_hanging import HangingOutcome, one_way
from areacalc.surface.air.direction import narrow_side
from areacalc.surface.skin import Vector

_LYING = 3.0  # chosen: a part this many times as long as it hangs high tips about one contact
_UPRIGHT = 0.996  # the cosine of 5 degrees: nearer, and a part hangs true


def rack_parts(parts: Sequence[PartArea], room: Room, spacing: Spacing) -> tuple[RackPart, ...]:
    """Every kind of part whose file is known, with the ways it may hang; leaned ways only where it needs them."""
    return tuple(_rack_part(each, each.part, room, spacing) for each in parts if each.part is not None)


def _rack_part(area: PartArea, part: Part, room: Room, spacing: Spacing) -> RackPart:
    line = area.line
    ways = area.free.ways if area.free is not None else part_ways(part)
    made = RackPart(line.name, line.count, ways, line.liquid_line is not None)
    if part.hanging is not None or goes_alone(made, room, spacing):
        return made
    return replace(made, ways=(*made.ways, *leaned_ways(part, made.ways)))


def goes_alone(part: RackPart, room: Room, spacing: Spacing) -> bool:
    """Whether one of a kind of part has room for itself."""
    return lay_out([replace(part, count=1)], room, spacing) is not None


def part_ways(part: Part) -> tuple[Way, ...]:
    """The ways one part may hang: with the side up that its load tells, else with any axis of its file up."""
    hanging = part.hanging
    if hanging is None:
        ends = zip(part.body.vertices.min(axis=0), part.body.vertices.max(axis=0), strict=True)
        corners = np.array(list(itertools.product(*ends)))
        return tuple(way for way in free_ways(corners) if not way.tilt_deg)
    up = np.asarray(hanging.up)
    ways = hung_ways(part.body.vertices, narrow_side(part.body.vertices, hanging.up), up)
    if hanging.line_mm is None:
        return ways
    under_mm = hanging.line_mm - float((part.body.vertices @ up).min())
    return tuple(replace(way, high_mm=min(way.high_mm, under_mm)) for way in ways)


def leaned_ways(part: Part, square: Sequence[Way]) -> tuple[Way, ...]:
    """The ways a part that hangs free may lean along the tank, with its thinnest side across."""
    from scipy.spatial import ConvexHull

    thin, points = min(square, key=lambda way: (way.across_mm, -way.high_mm)), part.body.vertices
    rim = ConvexHull(points @ np.array([thin.axes[0], thin.axes[2]]).T).vertices  # as seen across the tank
    return leaned(points[rim], thin)


class NoPlace(Enum):
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
    would_do: Layout | None
    judged: tuple[Judged, ...]
    not_there: tuple[str, ...] = ()
    a_side_mm: float | None = None


def plan_room(load: Load, parts: Sequence[PartArea]) -> RoomPlan:
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
    would_do = _smallest(load, parts, kinds)
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
    load: Load, parts: Sequence[PartArea], kinds: Sequence[RackPart], room: Room, would_do: Layout | None
) -> Iterator[Fact]:
    """Each kind of part that has no room by itself; where each has, all together."""
    sides, alone = _sides(room.sides_mm), False
    known = [part for part in parts if part.part is not None]
    for area, kind in zip(known, kinds, strict=True):
        if goes_alone(kind, room, load.spacing):
            continue
        alone, least = True, _told(_smallest(load, (replace(area, all=area.each),), (replace(kind, count=1),)))
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


def _smallest(load: Load, parts: Sequence[PartArea], kinds: Sequence[RackPart]) -> Layout | None:
    """The tank that would do, as `tank` finds it."""
    behind_mm = room_of(load).behind_mm or load.stock.sheet_mm + BEHIND_CATHODE.value
    a_side_mm2 = 0.5 * math.fsum(part.all.estimate.high for part in parts) * load.ratio.cathode_per_area
    return smallest(kinds, load.spacing, Room.of(behind_mm=behind_mm), a_side_mm2, load.stock)


def _told(found: Layout | None) -> dict[str, Quantity | tuple[Quantity | None, ...]]:
    if found is None:
        return {}
    return {"tank": _sides(found.room.sides_mm), "litres": quantity(found.room.liquid_l, "L")}


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


_ROUNDS = 2  # bare metal of the rack takes current too, which makes it no thicker after that


def with_rack(load: Load, parts: Sequence[PartArea], layout: Layout | None, a_per_dm2: float) -> Load:
    """The load with the rods of its kind of rack, sized for a density [A/dm2] as far as the power supply goes."""
    rack = load.rack
    if rack is None or rack.kind is None or layout is None:
        return load
    for _ in range(_ROUNDS):
        bare_mm2, most_a = rack.bare_mm2.value, load.supply.limit_a if load.supply else float("inf")
        current_a = min(a_per_dm2 * 1e-4 * (_all_mm2(parts) + bare_mm2), most_a)
        rack = made_rack(rack, layout, _shares(parts), current_a, load.tank.freeboard_mm or 0.0, load.stock)
    return replace(load, rack=rack)


def rack_made(load: Load) -> Rack | None:
    """The rack of a load; None where none is told, and where nothing is laid out for its kind."""
    return load.rack if load.rack is not None and load.rack.members else None


def offered(load: Load, parts: Sequence[PartArea], layout: Layout | None, current_a: float) -> tuple[RackCheck, ...]:
    """Wires of either metal, where no rack is told and the load is laid out."""
    if layout is None or load.rack is not None:
        return ()
    shares, board_mm = _shares(parts), load.tank.freeboard_mm or 0.0
    racks = (made_rack(Rack(name), layout, shares, current_a, board_mm, load.stock) for name in WIRE_METALS)
    return tuple(check_rack(rack, Estimate.exact(current_a)) for rack in racks)


def _all_mm2(parts: Sequence[PartArea]) -> float:
    return sum(part.all.estimate.value for part in parts)


def _shares(parts: Sequence[PartArea]) -> list[float]:
    """Of the load's current, in one part of each kind that is laid out."""
    return [part.each.estimate.value / _all_mm2(parts) for part in parts if part.part is not None]


def askew(parts: Iterable[PartArea], layout: Layout | None, rack: Rack | None) -> Iterator[str]:
    """The names of parts that one contact holds with none of their own axes upright: they may turn."""
    if layout is None or (rack is not None and rack.contacts_a_part > 1):
        return
    known = (part for part in parts if part.part is not None)
    for part, way in zip(known, layout.ways, strict=True):
        assert part.part is not None
        axes = [*np.eye(3), *(feature.axis for feature in part.part.skin.features if feature.axis is not None)]
        lies = max(way.along_mm, way.across_mm) > _LYING * way.high_mm
        if lies or max(abs(float(np.dot(axis, way.axes[2]))) for axis in axes) < _UPRIGHT:
            yield part.line.name


def hung_free(load: Load, parts: Sequence[PartArea], shelf: Shelf) -> tuple[PartArea, ...]:
    """The parts of a load, each that it leaves free hung as `hang` would, where that makes a difference.

    Each hangs by the best way that has room in the tank; where they do not all go in so, as they do go in.
    """
    best = [_best(each, load) for each in parts]
    if not any(best):
        return tuple(parts)
    first = _hung(load, parts, best, shelf)
    room = room_of(load)
    if lay_out(rack_parts(first, room, load.spacing), room, load.spacing) is not None:
        return first
    layout = lay_out(rack_parts(parts, room, load.spacing), room, load.spacing)
    if layout is None:
        return first
    laid = iter(layout.ways)
    ways = [None if each.part is None else next(laid) for each in parts]
    packed = [
        _better_end_up(each.part, way) if free and each.part and way else None
        for each, free, way in zip(parts, best, ways, strict=True)
    ]
    return _hung(load, parts, packed, shelf)


def _best(area: PartArea, load: Load) -> FreeHanging | None:
    """The best way that has room in the tank; None where the way is told, makes no difference, or is not known."""
    part = area.part
    if part is None or not part.wants_a_way:
        return None
    room, name = room_of(load), area.line.name
    found = None
    for each in part.ranked:
        ways = ways_up(part, each.up)
        found = found or FreeHanging(each.up, ways, each.most or each.outcome)
        if goes_alone(RackPart(name, 1, ways), room, load.spacing):
            return FreeHanging(each.up, ways, each.most or each.outcome, for_room=each is not part.ranked[0])
    for way in leaned_ways(part, part_ways(part)):
        if goes_alone(RackPart(name, 1, (way,)), room, load.spacing):
            return _better_end_up(part, way)
    return found


def ways_up(part: Part, up: Vector) -> tuple[Way, ...]:
    """The ways to hang a part with a direction up: its narrow side toward the cathodes, or a quarter turn from it."""
    from scipy.spatial import ConvexHull

    points = part.body.vertices[ConvexHull(part.body.vertices).vertices]
    return hung_ways(points, narrow_side(points, up), np.asarray(up))


def _better_end_up(part: Part, way: Way) -> FreeHanging:
    """A way as it is or with its other end up, whichever traps and carries less."""
    along, across, up = way.axes
    over = Way(way.along_mm, way.across_mm, way.high_mm, way.tilt_deg, (along, _turned(across), _turned(up)))
    tried = [FreeHanging(w.axes[2], (w,), _worst(part, w.axes[2]), for_room=True) for w in (way, over)]
    return min(tried, key=lambda each: (each.worst.bare_mm2, each.worst.dry_mm2, each.worst.carried_mm3))


def _worst(part: Part, up: Vector) -> HangingOutcome:
    ranked = one_way(part.bath_skin, up, filled=part.filled)
    return ranked.most or ranked.outcome


def _turned(axis: Vector) -> Vector:
    return -axis[0], -axis[1], -axis[2]


def _hung(
    load: Load, parts: Sequence[PartArea], found: Sequence[FreeHanging | None], shelf: Shelf
) -> tuple[PartArea, ...]:
    return tuple(
        each if free is None else hung_area(load, each.line, free, shelf)
        for each, free in zip(parts, found, strict=True)
    )
