"""Hundreds of shops whose hidden values a plan knows only between ends: what happens there lies in its intervals."""

import numpy as np
import pytest
from loads import bare, desk_set
from shops import draw, run

from areacalc.bath.course import BEYOND

COUNT = 300
QUICK = {
    "steady current": desk_set,
    "held by its volts": lambda: desk_set(supply_voltage="13 V"),
    "steady volts": lambda: desk_set(supply_mode="constant voltage"),
    "a pale film in much acid": lambda: bare(film=3, litres=30, density="1.2 A/dm2"),
}
SLOW = {
    "still, cooled by 20 W": lambda: bare(agitation="still", litres=8, cooling="20 W", density="1.5 A/dm2"),
    "hard, cooled by 150 W": lambda: bare(
        bath=0, density="hard", film=50, agitation="pump", cooling="150 W", litres=40
    ),
}
LOADS = QUICK | SLOW


def held(plan, name, seen):
    """The share of the shops (n,) whose figure lies in the plan's interval, rounding of the integrations aside."""
    figure = plan.figures.get(name)
    if figure is None:  # the bath never leaves its band, as far as a plan follows it
        return float((seen > BEYOND * plan.run.set_s).mean())
    least, most = figure.estimate.low, figure.estimate.high
    slack = 1e-3 * max(abs(least), abs(most))
    return float(((seen >= least - slack) & ((seen <= most + slack) | figure.name.startswith("soonest"))).mean())


@pytest.mark.parametrize("corners", [False, True], ids=["anywhere", "at the ends"])
@pytest.mark.parametrize("load", [*QUICK, *(pytest.param(name, marks=pytest.mark.slow) for name in SLOW)])
def test_what_happens_lies_in_the_intervals_of_the_plan(load, corners):
    plan = LOADS[load]()
    seen = run(plan, draw(plan, COUNT, 7, corners))
    assert {name: share for name in seen if (share := held(plan, name, seen[name])) < 0.95} == {}


def test_the_minutes_set_give_the_film_in_as_many_shops_as_was_asked():
    """95 of 100: areas and charge rules by a triangle between their ends, most likely at their values."""
    plan, rng = desk_set(), np.random.default_rng(3)
    ends = {f.name: f.estimate for f in plan.run.inputs}
    area, rule = (
        rng.triangular(e.low, e.value, e.high, 20_000)
        for e in (ends["area that sets the current"], ends["coating per charge"])
    )
    seen = run(plan, draw(plan, 3, 3, False))["charge"]  # a steady current brings the same charge everywhere
    assert seen == pytest.approx(seen[0], rel=1e-6)
    film = rule * seen[0] * 60.0 / (area * 1e-4)
    assert (film >= 12.0).mean() == pytest.approx(0.95, abs=0.01)
