"""The rack of a planned load, drawn to scale in its tank."""

from __future__ import annotations

from areacalc.plan.outlines import outlines
from areacalc.plan.plan import Plan
from areacalc.plant.drawing import Scene, drawn, planned_scene
from areacalc.plant.paper import Drawing


def rack_drawing(plan: Plan, inch: bool = False) -> Drawing | None:
    """The load in its tank; None where it is not laid out."""
    scene = rack_scene(plan, inch)
    return None if scene is None else drawn(scene)


def rack_scene(plan: Plan, inch: bool = False) -> Scene | None:
    """What is drawn of a load; None where it is not laid out."""
    rack, load = plan.plant.room.layout, plan.load
    if rack is None:
        return None
    parts = [each.part for each in plan.parts if each.part is not None]
    return planned_scene(
        f"{load.name}: the rack in its tank", rack, load.tank.freeboard_mm or 0.0, load.cathodes,
        outlines(parts, rack.ways), inch,
    )  # fmt: skip
