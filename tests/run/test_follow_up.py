"""What a run tells at one moment: what to do, what to expect, how far it is, when it ends."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_tank import desk_set, hidden, read_run, true_course

from areacalc.bath.voltage import GROWTH_ENERGY
from areacalc.logbook.came import came_of
from areacalc.logbook.records import Begun, Reading
from areacalc.plan.entry import run_of
from areacalc.plan.steps import RunStepKind
from areacalc.report.words.tell import tell
from areacalc.run.alarms import AlarmKind
from areacalc.run.follow_up import DRIFT, Do, due_in_step, follow_up, steps_at_the_tank


@pytest.fixture
def plan():
    return desk_set()


def test_the_volts_low_in_the_ramp_are_not_told():
    plan = desk_set()
    ramp_s = plan.run.course.setting.ramp_s
    assert follow_up(plan, [], 0.2 * ramp_s).volts is None
    assert follow_up(plan, [], 0.6 * ramp_s).volts.low > 5.0


def read(at_s, volts_v=None, current_a=None, temperature_c=None):
    return Reading(run=1, at_s=at_s, volts_v=volts_v, current_a=current_a, temperature_c=temperature_c)


def as_planned(plan, at_s, **other):
    """What the meters show of a perfect run."""
    course = plan.run.course
    shown = {name: float(course.at(rows, at_s)[0]) for name, rows in (
        ("volts_v", course.supply_v), ("current_a", course.current_a), ("temperature_c", course.bath_c))}  # fmt: skip
    return read(at_s, **(shown | other))


def kinds(found):
    return [alarm.kind for alarm in found.alarms]


def test_without_readings_a_run_is_its_plan(plan):
    found, course = follow_up(plan, [], 700.0), plan.run.course
    shares = (
        (found.volts, course.supply_v, 0.0),
        (found.film, course.film_um, DRIFT.value),
        (found.bath, course.bath_c, 0.0),
    )
    for estimate, rows, unread in shares:
        bounds = course.cases.bounds(course.at(rows, 700.0))
        assert estimate.value == pytest.approx(bounds.value, rel=1e-3)
        assert estimate.low == pytest.approx(bounds.low * (1.0 - unread), rel=1e-3)
    assert found.end.value == plan.run.set_s
    assert found.moved is None


def test_the_marks_of_the_ramp_lie_on_the_plan(plan):
    marks = [due for due in follow_up(plan, [], 0.0).dues if due.kind is Do.RAISE]
    assert [tell(due.fact) for due in marks][:2] == ["Raise evenly to 0.6 A", "Raise evenly to 1.2 A"]
    assert [due.until_s for due in marks] == [60.0, 120.0, 180.0, 240.0, 300.0]
    assert follow_up(plan, [], 301.0).now.kind is Do.HOLD
    assert follow_up(plan, [], plan.run.set_s + 1.0).now.kind is Do.OFF


def test_readings_narrow_the_volts_expected_and_hold_the_true_ones(plan):
    whole = follow_up(plan, [], 900.0).volts
    found = follow_up(plan, read_run(plan, 3, until_s=800.0), 900.0).volts
    true_v = read_run(plan, 3)[44].volts_v  # at 900 s
    assert found.low <= true_v <= found.high
    assert found.width < 0.2 * whole.width


@pytest.mark.parametrize("share", [0.9, 0.8])
def test_less_current_ends_later_by_the_charge_that_is_missing(plan, share):
    """By hand: charge is current x time, half of it in the ramp."""
    full_a, ramp_s = plan.run.course.setting.full_a, plan.load.supply.ramp_s
    readings = [read(s, current_a=share * full_a * min(s / ramp_s, 1.0)) for s in (60.0, 300.0, 600.0)]
    end_s = follow_up(plan, readings, 600.0).end.value
    charge_c = full_a * (plan.run.set_s - 0.5 * ramp_s)
    assert end_s == pytest.approx(charge_c / (share * full_a) + 0.5 * ramp_s, rel=1e-3)


def test_a_current_within_the_ammeter_leaves_the_end_where_it_was(plan):
    readings = [read(s, current_a=0.995 * plan.run.course.setting.full_a) for s in (300.0, 600.0)]
    assert not follow_up(plan, readings, 600.0).moved


def test_film_and_charge_count_what_the_ammeter_said(plan):
    readings = [read(300.0, current_a=2.0), read(600.0, current_a=2.0)]
    found = follow_up(plan, readings, 600.0)
    assert found.charge.value == pytest.approx(2.0 * (600.0 - 150.0) / 3600.0, rel=1e-6)
    assert found.charge.low <= 0.99 * found.charge.value
    assert found.film.low < found.film.value < found.film.high


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 1500), st.floats(0.0, 3.0)), max_size=4, unique_by=lambda e: e[0]),
       st.integers(1, 1600))  # fmt: skip
def test_the_clock_and_the_logbook_tell_one_charge_and_one_coating(pairs, off_s):
    plan = desk_set()
    readings = [read(float(s), current_a=a) for s, a in sorted(pairs) if s <= off_s]
    begun = [Begun(run=1, at_s=at, step=str(at)) for at in (0.0, float(off_s))]
    followed, came = follow_up(plan, readings, off_s), came_of(run_of(plan, "2026-03-03T10:00"), readings, begun, [])
    assert came.charge_ah == pytest.approx(followed.charge.value, rel=1e-4, abs=5e-5)
    assert came.film_um == pytest.approx(followed.film.value, rel=1e-4, abs=1e-3)


def test_a_reading_that_agrees_with_the_plan_changes_nothing(plan):
    ahead = [read(60.0, current_a=1.2)]
    before = follow_up(plan, ahead, 600.0)
    after = follow_up(plan, [*ahead, as_planned(plan, 600.0, volts_v=None, temperature_c=None)], 600.0)
    assert after.film.value == pytest.approx(before.film.value, rel=1e-9)
    assert (after.end.value, after.moved) == (pytest.approx(before.end.value), before.moved)


def test_the_reading_that_moved_the_end_is_named(plan):
    readings = [read(60.0, current_a=0.6), read(400.0, current_a=2.0), read(700.0, current_a=3.0)]
    found = follow_up(plan, readings, 900.0)
    assert found.moved["at"].estimate.value == 400.0
    assert found.end.value > plan.run.set_s + 60.0


def test_a_reading_after_the_end_that_the_readings_give_is_followed(plan):
    set_s = plan.run.set_s
    currents = ((set_s / 3.0, 2.0), (1.2 * set_s, 3.0), (1.8 * set_s, 0.01))
    done = follow_up(plan, [read(at_s, current_a=current_a) for at_s, current_a in currents], 1.8 * set_s)
    assert set_s < done.end.value < 1.8 * set_s
    assert done.moved["at"].estimate.value == 1.8 * set_s


def test_the_reading_named_is_the_one_that_took_the_most_charge_off(plan):
    """0.1 A at 60 s is 0.5 A low for two minutes and a half; 2.87 A past the ramp is 0.13 A low to the end."""
    found = follow_up(plan, [read(60.0, current_a=0.1), read(330.0, current_a=2.87)], 600.0)
    assert found.moved["at"].estimate.value == 330.0


def test_the_coating_told_holds_a_straight_rise_that_nobody_saw(plan):
    """By hand: 0.6 A at 60 s rising straight to 3 A at 600 s, in place of the ramp of 300 s."""
    readings = [read(60.0, current_a=0.6), read(600.0, current_a=3.0)]
    slow_ah = (0.5 * 60.0 * 0.6 + 0.5 * (0.6 + 3.0) * 540.0) / 3600.0
    assert follow_up(plan, readings, 600.0).charge.low <= slow_ah


def charge_held(plan, share, seed, every_s, until_s):
    """Charge so far at 4, 10 and 20 minutes of a hidden run whose power supply gives a share of what it is set to."""
    random = np.random.default_rng(seed)
    cases = hidden(plan, random)
    ran = true_course(plan, cases, np.linspace(10.0, 1300.0, 200), share)[1]
    readings = read_run(plan, seed, every_s, until_s=until_s, set_share=share, cases=cases)
    for now_s in (240.0, 600.0, 1200.0):
        found = follow_up(plan, [r for r in readings if r.at_s <= now_s], now_s)
        for estimate, rows in ((found.charge, ran.charge_c / 3600.0), (found.film, ran.film_um)):
            yield estimate.width / estimate.value, estimate.low <= float(ran.at(rows, now_s)[0]) <= estimate.high


@pytest.mark.parametrize("share", [0.951, 1.049])
def test_one_early_reading_does_not_narrow_what_flows_unread(plan, share):
    assert all(holds for _, holds in charge_held(plan, share, 5, 60.0, 70.0))
    widths = [[width for width, _ in charge_held(plan, share, 5, 60.0, until_s)] for until_s in (70.0, 1210.0)]
    assert all(few > many for few, many in zip(*widths, strict=True))


@pytest.mark.slow
@pytest.mark.parametrize(("every_s", "until_s"), [(60.0, 70.0), (240.0, 250.0), (330.0, 340.0), (300.0, 1000.0)])
def test_charge_and_coating_hold_the_hidden_run_in_95_of_100_however_few_the_readings(plan, every_s, until_s):
    shares = np.random.default_rng(8).uniform(0.95, 1.05, 100)
    held = [all(holds for _, holds in charge_held(plan, share, seed, every_s, until_s))
            for seed, share in enumerate(shares)]  # fmt: skip
    assert sum(held) >= 95


@pytest.mark.parametrize(("other", "kind"), [
    ({"current_a": 0.0, "volts_v": 30.0}, AlarmKind.NO_CURRENT),
    ({"current_a": 2.5, "volts_v": 16.8}, AlarmKind.CURRENT_OFF),
    ({"temperature_c": 23.0}, AlarmKind.BATH_TOO_WARM), ({"volts_v": 19.4}, AlarmKind.LESS_AREA),
    ({"volts_v": 16.9}, AlarmKind.MORE_AREA), ({"volts_v": 12.0}, AlarmKind.BURNING),
])  # fmt: skip
def test_what_is_wrong_is_told_by_its_kind(plan, other, kind):
    readings = [as_planned(plan, s) for s in range(60, 700, 60)]
    assert kinds(follow_up(plan, readings, 700.0)) == []
    assert kind in kinds(follow_up(plan, [*readings, as_planned(plan, 700.0, **other)], 700.0))


@pytest.mark.parametrize("at_s", [200.0, 600.0])
def test_the_first_volts_are_judged_by_the_range_of_the_plan_and_no_alarm_is_inside_it(plan, at_s):
    before = follow_up(plan, [], at_s).volts
    readings = [as_planned(plan, at_s, temperature_c=None, volts_v=v) for v in np.linspace(*ends(before), 9)]
    for reading in readings:
        found = follow_up(plan, [reading], at_s)
        assert ends(found.judged[0].volts) == pytest.approx(ends(before), abs=0.05)
        assert AlarmKind.BURNING not in kinds(found)
        assert AlarmKind.LESS_AREA not in kinds(found)
    low = follow_up(plan, [as_planned(plan, at_s, temperature_c=None, volts_v=before.low - 1.0)], at_s)
    assert AlarmKind.BURNING in kinds(low)
    assert ends(low.volts) == pytest.approx(ends(before), abs=0.05)  # a wrong reading narrows nothing


def ends(estimate):
    return estimate.low, estimate.high


def test_no_alarm_is_inside_the_range_that_readings_have_narrowed(plan):
    before = [as_planned(plan, s) for s in (300.0, 360.0)]
    for volts_v in ends(follow_up(plan, [*before, as_planned(plan, 600.0)], 600.0).judged[-1].volts):
        assert kinds(follow_up(plan, [*before, as_planned(plan, 600.0, volts_v=volts_v)], 600.0)) == []


def test_an_alarm_stands_until_the_meters_are_right_again(plan):
    readings = [as_planned(plan, s) for s in range(60, 600, 60)]
    lost = [as_planned(plan, s, volts_v=19.5) for s in (600.0, 660.0)]
    assert kinds(follow_up(plan, [*readings, *lost], 700.0)) == [AlarmKind.LESS_AREA]
    assert kinds(follow_up(plan, [*readings, *lost, as_planned(plan, 720.0)], 730.0)) == []


def test_volts_low_in_the_ramp_prove_nothing(plan):
    assert kinds(follow_up(plan, [as_planned(plan, 30.0, volts_v=25.0)], 40.0)) == []


def test_the_steps_after_count_from_when_each_was_begun(plan):
    steps = steps_at_the_tank(plan)
    begun = [Begun(run=1, at_s=0.0, step="anodise"), Begun(run=1, at_s=1300.0, step=steps[1].kind.value)]
    due = due_in_step(plan, begun)
    assert due.fact["step"] is RunStepKind.RINSE_ACID
    assert due.until_s == 1300.0 + 60.0 * steps[1].minutes.value
    every = [Begun(run=1, at_s=float(i), step=step.kind.value) for i, step in enumerate(steps)]
    assert due_in_step(plan, [*every, Begun(run=1, at_s=99.0, step="done")]).kind is Do.DONE


def test_the_hidden_constants_of_the_simulation_lie_inside_the_plan(plan):
    cases = hidden(plan, np.random.default_rng(1))
    assert GROWTH_ENERGY.low <= float(cases.energy_kj_per_mol[0]) <= GROWTH_ENERGY.high


def test_a_lost_contact_does_not_say_to_turn_the_current_up(plan):
    readings = [as_planned(plan, s) for s in range(60, 700, 60)]
    told = kinds(follow_up(plan, [*readings, as_planned(plan, 700.0, current_a=2.5)], 700.0))
    assert told == [AlarmKind.LESS_AREA]
