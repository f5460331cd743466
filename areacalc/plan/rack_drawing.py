"""The rack of a planned load, drawn to scale in its tank."""

from __future__ import annotations

from areacalc.plan.outlines import outlines
from areacalc.plan.plan import Plan
from areacalc.plant.drawing import WALL_MM, Scene, drawn
from areacalc.plant.paper import Drawing


def rack_drawing(plan: Plan, inch: bool = False) -> Drawing | None:
    """The load in its tank; None where it is not laid out."""
    scene = rack_scene(plan, inch)
    return None if scene is None else drawn(scene)


def rack_scene(plan: Plan, inch: bool = False) -> Scene | None:
    """What is drawn of a load; None where it is not laid out, or a size of the tank is not known."""
    rack, load = plan.plant.room.layout, plan.load
    if rack is None or not rack.room.is_whole:
        return None
    shapes = outlines([each.part for each in plan.parts if each.part is not None], rack.ways)
    return Scene(f"{load.name}: the rack in its tank", (), rack, load.tank.freeboard_mm or 0.0, WALL_MM, load.cathodes,
                 outlines=shapes, inch=inch, hangs_by=load.rack)  # fmt: skip
