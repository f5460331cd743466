"""The ways the parts of a load may hang: as the load says, or free."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from areacalc.part.part import Part
from areacalc.plan.area import PartArea
from areacalc.plant.hung import Points, RackPart, Way, free_ways, hung_ways, leaned
from areacalc.plant.layout import Room, lay_out
from areacalc.plant.spacing import Spacing


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
    from areacalc.surface.air.hung_size import narrow_side

    up = np.asarray(hanging.up)
    ways = hung_ways(part.body.vertices, narrow_side(part.body.vertices, hanging.up), up)
    if hanging.line_mm is None:
        return ways
    under_mm = hanging.line_mm - float((part.body.vertices @ up).min())
    return tuple(replace(way, high_mm=min(way.high_mm, under_mm)) for way in ways)


def leaned_ways(part: Part, square: Sequence[Way]) -> tuple[Way, ...]:
    """The ways a part that hangs free may lean along the tank, with its thinnest side across."""
    thin = min(square, key=lambda way: (way.across_mm, -way.high_mm))
    return leaned(_rim(part.body.vertices, thin), thin)


def _rim(points: Points, way: Way) -> Points:
    """Those of the points (n, 3) that stand out farthest as seen across the tank."""
    from scipy.spatial import ConvexHull

    rim: Points = points[ConvexHull(points @ np.array([way.axes[0], way.axes[2]]).T).vertices]
    return rim
