"""A run repeated: the same current, coating and times come out again."""

import pytest
from simulated_tank import DESK_SET, desk_set

from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.plan.steps import RunStepKind


@pytest.fixture(scope="module")
def repeated():
    plan = desk_set()
    run = run_of(plan, "2026-03-03T10:00", data=LoadBook(DESK_SET).data, dye_s=900.0, seal_s=1500.0)
    return plan, run, plan_of(plan.load, run)


def test_a_run_repeated_in_the_same_bath_sets_the_same_current(repeated):
    plan, run, again = repeated
    assert again.currents.set.estimate.value == pytest.approx(plan.currents.set.estimate.value, rel=1e-7)
    assert again.figures["time"].estimate.value == pytest.approx(run.run_s, rel=1e-6)
    assert again.figures["film"].estimate.value == pytest.approx(run.film_um, rel=1e-6)


def test_figures_and_steps_tell_the_times_of_the_run_that_is_repeated(repeated):
    _, _, again = repeated
    minutes = {step.kind: step.minutes.value for step in again.steps if step.minutes}
    assert again.figures["dye"].estimate.value == minutes[RunStepKind.DYE] == 15.0
    assert again.figures["seal"].estimate.value == minutes[RunStepKind.SEAL] == 25.0
