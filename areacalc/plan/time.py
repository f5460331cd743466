"""The time of a load: the charge that the wanted film takes, the minutes to set, and the charge that they bring."""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.figure import Figure
from areacalc.load.load import EVEN_CHANCE
from areacalc.plan.course import RunPlan

AH_PER_C = 1.0 / 3600.0


@dataclass(frozen=True, slots=True)
class TimePlan:
    """Charge for the film wanted and charge that comes [Ah], the minutes to set [s], the density over the hold [A/dm2].

    The interval of the time is when the film may be there. on_surface is the charge that comes to each area
    [A min/dm2].
    """

    charge_wanted: Figure
    charge: Figure
    time: Figure
    density: Figure
    on_surface: Figure


def plan_time(run: RunPlan, share: float) -> TimePlan:
    """What the course of the run tells of its time and charge; share of the likely cases has the film then."""
    cases, course = run.course.cases, run.course
    charge_c = run.at_end(course.charge_c)
    sure = f"when {100.0 * share:g} of 100 likely cases have the coating" if share > EVEN_CHANCE else "course"
    time = run.figure("time of the run, ramp included", "s", sure, run.reached_s)
    e = time.estimate
    time = replace(time, estimate=replace(e, value=run.set_s, low=min(e.low, run.set_s), high=max(e.high, run.set_s)))
    return TimePlan(
        run.figure("charge for the coating wanted", "Ah", "coating x area / coating per charge",
                   AH_PER_C * cases.charge_c(run.film_um)),
        run.figure("charge", "Ah", "current added up over the run", AH_PER_C * charge_c, (time,)),
        time,
        run.figure("density on the surface", "A/dm2", "current after the ramp / area", run.density_a_per_dm2),
        run.figure("charge on the surface", "A min/dm2", "charge / area", charge_c / (60.0 * cases.area_dm2), (time,)),
    )  # fmt: skip
