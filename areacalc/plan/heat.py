"""The heat of a load: how far the bath and the surface warm, how long the bath stays in its band, and what cools it."""

from dataclasses import dataclass

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.electrolyte import BOILING
from areacalc.bath.heat import CHILLED_RISE_K, chilled_water, ice
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given
from areacalc.load.load import USUAL_BAND_K, BathToday
from areacalc.plan.course import RunPlan
from areacalc.sources import Kind, Source

_USUAL = Source(Kind.COMMON_PRACTICE, "2 C, where no other band is given")


@dataclass(frozen=True, slots=True)
class HeatPlan:
    """Heat [W] after the ramp, warming [K], bath at the end [C], time to too warm [s, None: never], cooling [W].

    electric is the part of it without the reaction. on_surface is the most heat that an area makes [W/dm2], rise how
    far the surface stands above the bath for it [K], surface its mean temperature over the hold [C]. ice [kg] in closed
    bottles or chilled water [L/min] would give that cooling; None where none is wanted. boils [s]: when it would, None
    where the run is over before.
    """

    heat: Figure
    electric: Figure
    on_surface: Figure
    rise: Figure
    surface: Figure
    warming: Figure
    end: Figure
    in_band: Figure | None
    cooling: Figure
    ice: Figure | None
    chilled: Figure | None
    boils: Figure | None = None


def plan_heat(run: RunPlan, today: BathToday, temperature: Figure) -> HeatPlan:
    """What the course of the run tells of its heat; temperature is the bath's now [C]."""
    course, area = run.course, run.course.cases.area_dm2
    band = given("warming allowed", today.band_k, "K", _USUAL if today.band_k == USUAL_BAND_K else None)
    bath_c = run.at_end(course.bath_c)
    wanted = run.figure("cooling needed", "W", "least that keeps the heat in the band at each moment of the run",
                        np.maximum(_cooling(run, today.band_k), 0.0), (band,))  # fmt: skip
    set_s = given("time to set", run.set_s, "s", wanted.source)
    needs = wanted.estimate.value > 0.0
    return HeatPlan(
        run.figure("heat into the bath", "W", "current x (voltage + chemical term), over the hold",
                   run.over_the_hold(course.heat_j)),
        run.figure("heat from the current alone", "W", "heat into the bath - current x chemical term",
                   run.over_the_hold(course.heat_j - course.cases.chemical_v * course.charge_c)),
        run.figure("heat on the surface", "W/dm2", "the most of density x (voltage + chemical term)",
                   run.most(course.heat_w) / area),
        run.figure("surface warmer than the bath by", "K", "heat on the surface / heat transfer",
                   run.most(course.rise_k)),
        run.figure("surface temperature of the parts", "C", "bath + rise, the mean over the hold",
                   run.mean_over_the_hold(course.bath_c + course.rise_k)),
        run.figure("bath warms by", "K", "heat less cooling, added up / heat held by the bath",
                   bath_c - today.temperature_c),
        run.figure("bath at the end", "C", "bath now + warming", bath_c, (temperature,)),
        _in_band(run, today, band),
        wanted,
        ice(wanted, set_s, temperature) if needs and today.temperature_c > 1.0 else None,
        chilled_water(wanted) if needs and today.temperature_c > CHILLED_RISE_K + 1.0 else None,
        _boils(run),
    )  # fmt: skip


def _in_band(run: RunPlan, today: BathToday, band: Figure) -> Figure | None:
    """How long until the bath has warmed by its band, were the run to go on; None where it never does.

    Where it may never, the figure is the soonest that it can be. Never: not in BEYOND times the run.
    """
    course = run.course
    times = _crossing_s(course.time_s, course.bath_c, today.warmest_c)
    never = course.bath_c[-1] < today.warmest_c
    if never[: course.cases.corners].all():
        return None
    if not never[: course.cases.corners].any():
        return run.figure(
            "time before the bath is too warm", "s", "course of the bath, were the run to go on", times, (band,)
        )
    soonest = np.full_like(times, times[: course.cases.corners].min())
    return run.figure("soonest that the bath is too warm", "s", "the soonest of all cases", soonest, (band,))


def _crossing_s(time_s: Floats, rows: Floats, limit: float) -> Floats:
    """When each case first passes a limit (n,), straight between moments; the last moment where none does."""
    after = np.clip((rows < limit).sum(axis=0), 1, len(time_s) - 1)
    cases = np.arange(rows.shape[1])
    low, high = rows[after - 1, cases], rows[after, cases]
    share = np.clip((limit - low) / np.maximum(high - low, 1e-12), 0.0, 1.0)
    times: Floats = time_s[after - 1] + share * (time_s[after] - time_s[after - 1])
    return times


def _cooling(run: RunPlan, band_k: float) -> Floats:
    """The least cooling (n,) that keeps each case in its band: over any stretch, the heat less what the band takes up.

    Worked out for the value and the corners; the likely cases, which nothing reads, stand at the value.
    """
    course = run.course
    until = int(np.searchsorted(course.time_s, run.set_s))
    times = np.append(course.time_s[:until], run.set_s)
    heat_j = np.vstack([course.heat_j[:until], run.at_end(course.heat_j)])[:, : course.cases.corners]
    band_j = 1e3 * band_k * course.cases.bath.held_kj_per_k
    best = np.full(heat_j.shape[1], -np.inf)
    for start in range(len(times) - 1):
        over = (heat_j[start + 1 :] - heat_j[start] - band_j) / (times[start + 1 :] - times[start])[:, None]
        best = np.maximum(best, over.max(axis=0))
    wanted = np.full(course.heat_j.shape[1], best[0])
    wanted[: len(best)] = best
    return wanted


def _boils(run: RunPlan) -> Figure | None:
    course = run.course
    if run.at_end(course.bath_c)[0] < BOILING.value:
        return None
    times = _crossing_s(course.time_s, course.bath_c, BOILING.value - 1e-9)
    at = Estimate.exact(float(times[0]))
    return Figure("bath boils after", at, "s", "course of the bath", run.figure("", "s", "", times).source, run.inputs)
