"""What the logbook took before it was refused, left out of what runs teach: readings and coatings that cannot be."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from areacalc.errors import BadInput
from areacalc.logbook.came import LEAST_UM, OUTSIDE, Logged, most_film_um
from areacalc.logbook.checks import check_reading
from areacalc.logbook.records import Outcome, Reading, Run
from areacalc.plan.plan import Plan


def sifted(plan: Plan, logged: Sequence[Logged]) -> tuple[list[Logged], int]:
    """The runs with what can be, and how many readings and coatings were left out.

    A run that does not say what its power supply gives had the plan's; no charge makes more film than all of it does.
    """
    supply, out, left_out = plan.load.supply, [], 0
    for each in logged:
        limits = {} if supply is None else {"supply_v": each.run.supply_v or supply.limit_v,
                                            "supply_a": each.run.supply_a or supply.limit_a}  # fmt: skip
        run = msgspec.structs.replace(each.run, **limits)
        readings = tuple(reading for reading in each.readings if _can_be(reading, run))
        kept = Logged(each.run, readings, each.begun, each.outcomes)
        most_um = most_film_um(each.run, kept.came.charge_ah)
        outcomes = tuple(outcome for outcome in each.outcomes if _can_come(outcome, most_um))
        out.append(Logged(each.run, readings, each.begun, outcomes))
        left_out += len(each.readings) - len(readings) + len(each.outcomes) - len(outcomes)
    return out, left_out


def _can_be(reading: Reading, run: Run) -> bool:
    try:
        check_reading(reading, run)
    except BadInput:
        return False
    return True


def _can_come(outcome: Outcome, most_um: float) -> bool:
    """Whether a coating outside is one that a gauge tells, and that the charge of the run makes."""
    if outcome.film_um is None or outcome.place not in OUTSIDE:
        return True
    return LEAST_UM < outcome.film_um <= most_um
