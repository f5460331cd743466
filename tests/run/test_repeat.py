"""A run repeated: the same current, coating and times come out again."""

from dataclasses import replace

import msgspec
import pytest
from simulated_tank import DESK_SET, desk_set

from areacalc.bath.window import window
from areacalc.load.load import EVEN_CHANCE
from areacalc.logbook.came import came_of
from areacalc.logbook.records import Begun, Outcome
from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.plan.steps import RunStepKind
from areacalc.report.plan_summary import repeated_words


@pytest.fixture(scope="module")
def repeated():
    plan = desk_set()
    run = run_of(plan, "2026-03-03T10:00", data=LoadBook(DESK_SET).data, dye_s=900.0, seal_s=1500.0)
    plan = replace(plan, load=replace(plan.load, finish=replace(plan.load.finish, thickness_um=None)))
    return plan, run, plan_of(plan.load, run)


def finished(plan, **finish):
    """The load with other words under [finish]."""
    return replace(plan.load, finish=replace(plan.load.finish, told=frozenset(finish), **finish))


def test_a_thickness_of_the_load_wins_over_the_run_it_repeats(repeated):
    plan, run, _ = repeated
    came = came_of(run, [], [], [Outcome(run=1, film_um=11.0)])
    again = plan_of(finished(plan, thickness_um=20.0), run, came=came)
    assert again.figures["coating-wanted"].estimate.value == 20.0
    assert again.load.finish.certainty == plan.load.finish.certainty
    assert again.figures["seal"].estimate.value > 1.5 * run.seal_s / 60.0  # thicker than then
    assert ": 20 um as this load asks" in repeated_words(again, False)
    assert again.rule != plan.rule  # the run still tells what a charge makes
    same = plan_of(finished(plan, thickness_um=11.0), run, came=came)
    assert same.figures["seal"].estimate.value == 25.0


def test_shade_certainty_density_and_no_dye_of_the_load_win_over_the_run_it_repeats(repeated):
    plan, run, _ = repeated
    assert plan_of(finished(plan, shade="pale"), run).figures["coating-wanted"].estimate.value == pytest.approx(2.54)
    assert plan_of(finished(plan, certainty=0.95), run).load.finish.certainty == 0.95
    assert plan_of(finished(plan, dye=None), run).load.finish.dye is None
    slow = finished(plan, window=window("1 to 1.2 A/dm2"))
    slow = replace(slow, finish=replace(slow.finish, told=frozenset({"density"})))
    assert plan_of(slow, run).time.density.estimate.value == pytest.approx(1.1, rel=0.02)


def test_a_run_repeated_in_the_same_bath_sets_the_same_current(repeated):
    plan, run, again = repeated
    assert again.currents.set.estimate.value == pytest.approx(plan.currents.set.estimate.value, rel=1e-7)
    assert again.figures["time"].estimate.value == pytest.approx(run.run_s, rel=1e-6)
    assert again.figures["coating"].estimate.value == pytest.approx(run.film_um, rel=1e-5)


@pytest.mark.parametrize(("off_s", "wanted_um"), [(None, 12.0), (1279.0, 12.0), (800.0, None)])
def test_a_repeat_is_asked_what_was_asked_unless_something_else_came(repeated, off_s, wanted_um):
    plan, run, _ = repeated
    begun = [] if off_s is None else [Begun(run=1, at_s=at, step=str(at)) for at in (0.0, off_s)]
    came = came_of(run, [], begun, [])
    again = plan_of(plan.load, run, came=came)
    assert again.figures["coating-wanted"].estimate.value == pytest.approx(wanted_um or came.film_um)
    assert again.load.finish.certainty == (plan.load.finish.certainty if wanted_um else EVEN_CHANCE)
    assert ("12 um as asked" in repeated_words(again, False)) is bool(wanted_um)


def test_figures_and_steps_tell_the_times_of_the_run_that_is_repeated(repeated):
    _, _, again = repeated
    minutes = {step.kind: step.minutes.value for step in again.steps if step.minutes}
    assert again.figures["dye"].estimate.value == minutes[RunStepKind.DYE] == 15.0
    assert again.figures["seal"].estimate.value == minutes[RunStepKind.SEAL] == 25.0


@pytest.mark.parametrize("measured_um", [1.5, 10.0, 13.0, 16.0])
def test_a_run_repeated_for_the_coating_that_was_measured_takes_the_same_time_again_and_again(repeated, measured_um):
    plan, run, _ = repeated
    came = came_of(run, [], [], [Outcome(run=1, film_um=measured_um)])
    second = plan_of(plan.load, run, came=came)
    logged = run_of(second, "2026-03-04T10:00")
    third = plan_of(plan.load, logged, came=came_of(logged, [], [], []))
    for again in (second, third):
        assert again.figures["time"].estimate.value == pytest.approx(run.run_s, rel=1e-3)
        assert again.figures["coating"].estimate.value == pytest.approx(measured_um, rel=1e-6)
    per_charge = second.rule.film_per_charge
    assert per_charge.low == pytest.approx(per_charge.value * (1.0 - min(1.0, 0.45 * measured_um) / measured_um))


def test_the_charge_of_a_run_on_another_alloy_tells_nothing_of_this_one(repeated):
    plan, run, _ = repeated
    run = msgspec.structs.replace(run, alloy="2024")
    came = came_of(run, [], [], [Outcome(run=1, film_um=13.0)])
    assert plan_of(plan.load, run, came=came).rule == plan.rule


def test_a_repeat_of_another_count_tells_what_differs(repeated):
    plan, run, again = repeated
    assert "then" not in repeated_words(again, False)
    more = plan_of(
        replace(plan.load, parts=tuple(replace(each, count=2 * each.count) for each in plan.load.parts)), run
    )
    assert repeated_words(more, False).endswith("8 parts now, 4 then; 3 A now, 3 A then")
