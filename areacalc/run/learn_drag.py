"""What analyses of a bath teach of drag-out: the acid that is gone, less what dissolving aluminium used up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from areacalc.bath.dissolved import ACID_PER_ALUMINIUM, acid_used, aluminium_dissolved
from areacalc.figure import given
from areacalc.logbook.came import Logged
from areacalc.logbook.records import Event, Run, seconds_of
from areacalc.plan.area import carried_by
from areacalc.plan.plan import Plan
from areacalc.plant.meters import standard
from areacalc.run.lesson import Lesson, about
from areacalc.sources import Constant, Kind, Source

TITRATION = Constant(0.01, "", Source(Kind.FROM_MEMORY, "free acid titrated by hand is right to about 1 % of itself"))
OF_ALUMINIUM = Constant(0.03, "", Source(Kind.FROM_MEMORY, "dissolved aluminium titrated by hand, to about 3 %"))


def drag_out_film(plan: Plan, logged: Sequence[Logged], history: Sequence[Event]) -> Lesson | None:
    """Liquid on the surface as a load is lifted out, as a film [um], which is mL/m2; None where nothing tells.

    Between two analyses of the free acid with nothing added but water: what is gone [g], less what dissolving aluminium
    used up, over acid and surface lifted out. The aluminium is that of the analyses, else by the charge. What bores of
    this load's parts hold is taken off.
    """
    told = [e for e in history if e.what != "analysis" or e.acid_g_per_l is not None]
    found = []
    for before, after in pairwise(told):
        runs = [each for each in logged if _between(before, each.run, after) and each.run.bath_l]
        if runs and before.what == after.what == "analysis":
            lost_l, off_l = _lost_l(before, after, runs)
            held_ml = sum(_held_ml(plan, each.run) for each in runs)
            found.append((1e3 * lost_l - held_ml, (1e3 * off_l) ** 2, 1e-6 * sum(each.run.area_mm2 for each in runs)))
    if not found:
        return None
    lost_ml, variance, area_m2 = (sum(column) for column in zip(*found, strict=True))
    return Lesson(about(lost_ml / area_m2, math.sqrt(variance) / area_m2), "um", len(found) + 1)


def _lost_l(before: Event, after: Event, runs: Sequence[Logged]) -> tuple[float, float]:
    """Liquid lifted out between two analyses [L], and its standard uncertainty."""
    bath_l, ratio = runs[-1].run.bath_l or 0.0, ACID_PER_ALUMINIUM.value
    acids = [each.acid_g_per_l or 0.0 for each in (before, after)]
    mean, gone_g = 0.5 * sum(acids), (acids[0] - acids[1]) * bath_l
    off_g = math.sqrt(2.0) * standard(TITRATION.value) * mean * bath_l
    if before.aluminium_g_per_l is not None and after.aluminium_g_per_l is not None:
        held, rise = after.aluminium_g_per_l, after.aluminium_g_per_l - before.aluminium_g_per_l
        off_g = math.hypot(off_g, math.sqrt(2.0) * standard(OF_ALUMINIUM.value) * held * bath_l * ratio)
        taken = mean + ratio * 0.5 * (held + before.aluminium_g_per_l)  # what is lifted out takes aluminium along
        return (gone_g - ratio * rise * bath_l) / taken, off_g / taken
    charge = given("charge", sum(each.came.charge_ah for each in runs), "Ah")
    used = acid_used(aluminium_dissolved(charge)).estimate
    return (gone_g - used.value) / mean, math.hypot(off_g, 0.5 * used.width) / mean


def _between(before: Event, run: Run, after: Event) -> bool:
    return seconds_of(before.when) <= seconds_of(run.when) < seconds_of(after.when)


def _held_ml(plan: Plan, run: Run) -> float:
    """What bores and pockets hold, of a run of the plan's own load."""
    held = carried_by(plan.parts) if run.load == plan.load.name else ()
    return sum(each.estimate.value for each in held)
