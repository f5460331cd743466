"""How even the outside of a load comes out in its tank."""

from __future__ import annotations

from areacalc.bath.voltage import rise_per_um
from areacalc.figure import Figure
from areacalc.plan.stages import Stages
from areacalc.throw.outside import BetweenStrips, unevenness
from areacalc.throw.thrown import Evening


def evenness(made: Stages) -> Figure | None:
    """How far the density strays on the outside [%]; None where tank or strips are not told."""
    load = made.load
    tank, today = load.tank, load.bath
    strips = load.cathodes
    if strips is None or tank.length_mm is None or tank.width_mm is None or tank.depth_mm is None:
        return None
    evening = Evening(made.conductivity, today.law, made.film.film, rise_per_um(today.temperature_c))
    largest = max(part.each.estimate.value for part in made.parts)
    a_side = max(strips.count // 2, 1)
    ways = BetweenStrips(
        tank.length_mm, tank.width_mm, tank.depth_mm, max(0.5 * (tank.length_mm / a_side - strips.width_mm), 0.0),
        max(tank.depth_mm - strips.immersed_mm, 0.0),
    )  # fmt: skip
    return unevenness(made.throw.effective, largest, ways, evening.wagner_length(made.time.density))
