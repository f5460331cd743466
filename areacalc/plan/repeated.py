"""Times and film for a charge of a run that is repeated take the place of those that a rule gives."""

from __future__ import annotations

import math
from dataclasses import replace

from areacalc.bath.film import GAUGE_UM, ThicknessRule, measured_rule
from areacalc.figure import Figure, given
from areacalc.logbook.came import Came, FilmFrom
from areacalc.logbook.records import Run
from areacalc.sources import Constant, Kind, Source


def as_then(figure: Figure, logged_s: float | None) -> Figure:
    """A time in minutes, or that of the run that is repeated [s] where it was logged.

    >>> as_then(given("time to dye", 18.0, "min"), 900.0).estimate.value
    15.0
    """
    if not logged_s:
        return figure
    return given(figure.name, logged_s / 60.0, "min", Source(Kind.ENTERED, "as in the run that is repeated"))


def rule_as_then(rule: ThicknessRule, alloy_factor: float, run: Run, came: Came | None) -> ThicknessRule:
    """The rule [um per A min/dm2] by which the charge of a run makes its coating, so that the same charge comes again.

    A coating that was measured is a rule of its own; else `rule` of today is put to what the run was planned by.
    """
    if came is not None and came.film_from is FilmFrom.MEASURED:
        within_um = min(GAUGE_UM.value, 0.45 * came.film_um)  # thinner than a gauge tells, its charge still holds
        return measured_rule(came.film_um, run.density_a_per_dm2, came.charge_ah * 3600.0 / run.current_a, within_um)
    k = rule.film_per_charge
    charge_a_min_per_dm2 = run.charge_ah * 60.0 / run.current_a * run.density_a_per_dm2
    times = run.film_um / charge_a_min_per_dm2 / alloy_factor / k.value
    if rule.is_own or math.isclose(times, 1.0, rel_tol=1e-6):
        return rule
    source = Source(Kind.ENTERED, f"run {run.number}, which is repeated, was planned by it")
    ends = [None if end is None else times * end for end in (k.low, k.high)]
    return replace(rule, film_per_charge=Constant(times * k.value, k.unit, source, *ends))
