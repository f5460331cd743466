"""How the parts hang that a load leaves free: as `hang` ranks the ways, so that they go into the tank."""

from collections.abc import Sequence

import numpy as np

from areacalc.load.load import Load
from areacalc.part.part import Part, Shelf
from areacalc.plan.area import FreeHanging, PartArea, hung_area
from areacalc.plan.room import goes_alone, leaned_ways, part_ways, rack_parts, room_of
from areacalc.plant.hung import RackPart, Way, hung_ways
from areacalc.plant.layout import lay_out
from areacalc.surface.air.best_hanging import HangingOutcome, one_way
from areacalc.surface.air.hung_size import narrow_side
from areacalc.surface.skin import Vector


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
