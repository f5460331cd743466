"""The volts of a load, as the course of its run has them."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.cases import Cases
from areacalc.bath.course import RunSetting, steady_v
from areacalc.figure import Figure
from areacalc.plan.course import RunPlan

LAW = "Vref + V0 (ln(i/iref) + E/R (1/T - 1/Tref) - n ln(c/cref)) + rise x coating"


@dataclass(frozen=True, slots=True)
class VoltsPlan:
    """Volts at the tank [V] as the ramp ends and as the run ends; with the rack's drop, what the supply shows then."""

    start: Figure
    end: Figure
    start_at_supply: Figure
    at_supply: Figure


def plan_volts(run: RunPlan) -> VoltsPlan:
    """What the course of the run tells of its volts."""
    course = run.course
    return VoltsPlan(
        run.figure("voltage at the start", "V", f"{LAW}, as the ramp ends", course.at(course.volts_v, run.ramp_s)),
        run.figure("voltage at the end", "V", f"{LAW}, as the run ends", run.at_end(course.volts_v)),
        run.figure(
            "voltage at the power supply, at the start",
            "V",
            "voltage at the start + current x rack",
            course.at(course.supply_v, run.ramp_s),
        ),
        run.figure(
            "voltage at the power supply", "V", "voltage at the end + current x rack", run.at_end(course.supply_v)
        ),
    )


def most_volts(cases: Cases, most_a: float, film_um: float, series_ohm: float) -> float:
    """The most that a current [A] through to a film [um] may ask of a power supply [V], whatever is unknown."""
    setting = RunSetting(most_a, series_ohm=series_ohm)
    return max(float(steady_v(setting, cases, film)[: cases.corners].max()) for film in (0.0, film_um))
