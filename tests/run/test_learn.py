"""What is learned from logged runs: hidden constants come back inside their intervals, and the next plan holds."""

import functools
from dataclasses import replace

import msgspec
import numpy as np
import pytest
from simulated_tank import DESK_SET, desk_set, hidden, log_of, true_course

from areacalc.logbook.came import Logged
from areacalc.logbook.records import Begun, Outcome, Reading, Run
from areacalc.plan.load_book import LoadBook
from areacalc.run.learn import bath_keys, learn

SEEDS = 100
CONSTANTS = ("volts", "per_e_fold", "per_k", "film", "cooling", "given")
TAUGHT = [name for name in CONSTANTS if name != "per_k"]
"""What runs in a bath that warms by a kelvin or two can show."""


@functools.cache
def load():
    return LoadBook(DESK_SET)


def tank(seed):
    """A hidden tank that something cools, with a power supply that gives less than it is set to."""
    random, plan = np.random.default_rng(seed), desk_set()
    cases = hidden(plan, random)
    cases = replace(cases, cooling_w=np.array([random.uniform(0.0, 30.0)]))
    return cases, random.uniform(0.95, 1.0)


def true_constants(plan, cases, share, learned):
    """What the hidden tank has for each constant, by the area that the plan counts with."""
    at_dm2, nothing, bath = plan.throw.effective.estimate.value * 1e-4, np.zeros(1), np.array([learned.bath_c])
    shift = cases.e_fold_v * np.log(learned.density_a_per_dm2 * at_dm2 / cases.area_dm2)
    volts = cases.offset_v(bath, nothing, nothing) + shift
    per_k = cases.offset_v(bath + 0.5, nothing, nothing) - cases.offset_v(bath - 0.5, nothing, nothing)
    found = (volts, cases.e_fold_v, per_k, cases.um_per_a_min_per_dm2 * at_dm2 / cases.area_dm2)
    return (*(float(each[0]) for each in found), float(cases.cooling_w[0]), share)


def recovered(seed):
    """The constants whose true value lies inside what was learned."""
    plan, (cases, share) = desk_set(), tank(seed)
    learned = learn(plan, log_of(plan, seed, cases, set_share=share))
    for name, true in zip(CONSTANTS, true_constants(plan, cases, share, learned), strict=True):
        lesson = getattr(learned, name)
        if lesson is not None and lesson.estimate.low <= true <= lesson.estimate.high:
            yield name


def next_plan(seed):
    """For volts and coating at the end: how wide the next plan is beside this one, and whether it holds."""
    plan, (cases, _) = desk_set(), tank(seed)
    then = load().plan_in_bath(bath_keys(learn(plan, log_of(plan, seed, cases)), plan))
    _, ran = true_course(then, cases, np.linspace(30.0, then.run.set_s, 40))
    true = {"voltage-end": ran.volts_v[-1, 0], "coating": ran.film_um[-1, 0], "bath-end": ran.bath_c[-1, 0]}
    for name, value in true.items():
        before, after = plan.figures[name].estimate, then.figures[name].estimate
        yield name, after.width / before.width, after.low <= value <= after.high


def test_hidden_constants_are_recovered():
    assert list(recovered(0)) == TAUGHT


def test_the_next_plan_is_narrower_and_holds_the_hidden_run():
    for _, width, holds in next_plan(0):
        assert width < 0.8
        assert holds


@pytest.mark.slow
def test_hidden_constants_are_recovered_in_90_of_100():
    found = [name for seed in range(SEEDS) for name in recovered(seed)]
    assert {name: found.count(name) for name in TAUGHT if found.count(name) < 90} == {}


@pytest.mark.slow
def test_the_next_plan_shrinks_and_holds_in_90_of_100():
    found = [each for seed in range(SEEDS) for each in next_plan(seed)]
    for name in ("voltage-end", "coating", "bath-end"):
        mine = [each for each in found if each[0] == name]
        assert np.median([width for _, width, _ in mine]) < (0.8 if name != "bath-end" else 1.2), name
        assert sum(holds for _, _, holds in mine) >= 90


def test_runs_without_readings_teach_nothing():
    plan = desk_set()
    run = log_of(plan, 0, tank(0)[0], runs=1)[0].run
    assert isinstance(run, Run)
    learned = learn(plan, [Logged(run, ())])
    assert [getattr(learned, name) for name in CONSTANTS] == [None] * 6
    assert bath_keys(learned, plan) == {}


def test_a_reading_of_a_lost_contact_is_left_out():
    plan, (cases, _) = desk_set(), tank(1)
    (good,) = log_of(plan, 1, cases, runs=1)
    odd = tuple(replace_volts(r, 4.0) if r.at_s > 1200.0 else r for r in good.readings)
    clean, spoilt = learn(plan, [good]), learn(plan, [Logged(good.run, odd)])
    assert spoilt.volts.readings < clean.volts.readings
    assert spoilt.volts.estimate.value == pytest.approx(clean.volts.estimate.value, abs=0.1)


def replace_volts(reading, more_v):
    return msgspec.structs.replace(reading, volts_v=reading.volts_v + more_v)


def test_what_was_learned_and_accepted_is_what_the_next_plan_is_made_with():
    plan, (cases, share) = desk_set(), tank(2)
    learned = learn(plan, log_of(plan, 2, cases, set_share=share))
    law = load().plan_in_bath(bath_keys(learned, plan)).load.bath.law
    acid = plan.load.bath.acid_g_per_l
    assert law.volts_v(learned.density_a_per_dm2, learned.bath_c, acid) == pytest.approx(
        learned.volts.estimate.value, abs=0.01
    )
    assert law.volts_per_e_fold.value == pytest.approx(learned.per_e_fold.estimate.value, rel=0.01)
    assert law.volts_per_e_fold.high - law.volts_per_e_fold.low == pytest.approx(
        learned.per_e_fold.estimate.width, rel=0.02
    )


def test_entries_that_cannot_be_are_left_out_and_counted():
    plan, (cases, share) = desk_set(), tank(3)
    good = log_of(plan, 3, cases, set_share=share)
    old = msgspec.structs.replace(good[0].run, supply_a=None, supply_v=None)  # as kept before limits were
    odd = (Reading(run=1, at_s=700.1, volts_v=18.0, current_a=300.0), Reading(run=1, at_s=701.1, volts_v=180.0),
           Reading(run=1, at_s=702.1, temperature_c=95.0))  # fmt: skip
    spoilt = Logged(old, (*good[0].readings, *odd), (), (*good[0].outcomes, Outcome(run=1, film_um=120.0)))
    clean, found = learn(plan, good), learn(plan, [spoilt, *good[1:]])
    assert (clean.left_out, found.left_out) == (0, 4)
    for name in TAUGHT:
        assert getattr(found, name).estimate == getattr(clean, name).estimate


def test_a_coating_of_a_run_that_was_ended_early_is_that_of_its_charge():
    plan = desk_set()
    run = msgspec.structs.replace(log_of(plan, 0, tank(0)[0], runs=1)[0].run, ended="2026-03-01T10:12:00")
    on, off = Begun(run=1, at_s=0.0, step="anodise"), Begun(run=1, at_s=720.0, step="rinse acid off")
    came = (Outcome(run=1, film_um=6.0),)
    for begun in ((on,), (on, off)):
        logged = Logged(run, (), begun, came)
        charge = 60.0 * logged.came.charge_ah / (1e-4 * plan.throw.effective.estimate.value)
        assert logged.came.run_s == 720.0
        assert learn(plan, [logged]).film.estimate.value == pytest.approx(6.0 / charge)


def test_a_current_turned_down_is_not_what_the_power_supply_gives():
    plan, (cases, _) = desk_set(), tank(4)
    good = log_of(plan, 4, cases, set_share=0.97)
    turned = tuple(r if r.at_s < 900.0 else msgspec.structs.replace(r, current_a=1.5) for r in good[0].readings)
    given = learn(plan, [Logged(good[0].run, turned, (), good[0].outcomes), *good[1:]]).given.estimate
    assert given.low <= 0.97 <= given.high
    assert given.width < 0.03


def test_coatings_of_another_alloy_do_not_count_and_do_not_hold_for_it():
    plan, (cases, _) = desk_set(), tank(5)
    good = log_of(plan, 5, cases)
    other = [Logged(msgspec.structs.replace(each.run, alloy="2024"), each.readings, (), each.outcomes) for each in good]
    learned = learn(plan, other)
    assert (learned.film, learned.of_other_alloys) == (None, 3)
    assert learned.volts.estimate == learn(plan, good).volts.estimate
    keys = bath_keys(learn(plan, good), plan)
    assert keys["measured_alloy"] == "6061"
    same = load().plan_in_bath(keys)
    assert same.rule.name == "measured"
    then = load().plan_in_bath({**keys, "measured_alloy": "7075"})
    assert then.rule.name != "measured"
    assert "coating measured on another alloy" in [fault.kind.value for fault in then.faults]
    assert "coating measured on another alloy" not in [fault.kind.value for fault in same.faults]


def cooling_keys(cooling_w):
    """What three runs in a tank that is cooled by so much teach of it."""
    plan, (cases, _) = desk_set(), tank(6)
    learned = learn(plan, log_of(plan, 6, replace(cases, cooling_w=np.array([cooling_w]))))
    return {name: text for name, text in bath_keys(learned, plan).items() if name.startswith("cooling")}


def test_a_cooling_that_may_be_none_is_not_written_down():
    assert cooling_keys(0.5) == {}


def test_a_learned_cooling_carries_its_width_into_the_next_plan():
    keys = cooling_keys(40.0)
    assert set(keys) == {"cooling", "cooling_within"}
    exact, wide = (load().plan_in_bath(each).figures["warming"].estimate
                   for each in ({"cooling": keys["cooling"]}, keys))  # fmt: skip
    assert wide.value == pytest.approx(exact.value, rel=0.01)
    assert wide.low < exact.low < exact.high < wide.high


def test_runs_at_one_density_alone_leave_the_slope_as_it_is_known():
    plan, (cases, _) = desk_set(), tank(7)
    (good,) = log_of(plan, 7, cases, runs=1)
    held = tuple(r for r in good.readings if r.at_s > 400.0)[:4]
    learned = learn(plan, [Logged(good.run, held)])
    assert (learned.per_e_fold, learned.per_k) == (None, None)
    keys = bath_keys(learned, plan)
    assert "measured_voltage" in keys
    assert not [key for key in keys if key.startswith("half_density")]
    now, then = (each.bores[0].thrown.least_share.estimate for each in (plan, load().plan_in_bath(keys)))
    assert then.width <= 1.02 * now.width


def test_runs_in_a_colder_and_a_warmer_bath_show_the_change_for_each_degree():
    plan, (cases, share) = desk_set(), tank(8)
    good = log_of(plan, 8, cases)
    per_k = true_constants(plan, cases, share, learn(plan, good))[2]
    runs = [
        Logged(each.run, tuple(msgspec.structs.replace(
            r, temperature_c=r.temperature_c and r.temperature_c + more_k, volts_v=r.volts_v + more_k * per_k,
        ) for r in each.readings), (), each.outcomes) for each, more_k in zip(good, (-3, 0, 3), strict=True)
    ]  # fmt: skip
    found = learn(plan, runs).per_k.estimate
    assert found.low < per_k < found.high


def coated(*films_um):
    """What runs teach of a coating that was planned to be 13 um [um]."""
    plan = desk_set()
    run = msgspec.structs.replace(log_of(plan, 0, tank(0)[0], runs=1)[0].run)
    logged = [Logged(msgspec.structs.replace(run, number=i), (), (), (Outcome(run=i, film_um=each),))
              for i, each in enumerate(films_um, 1)]  # fmt: skip
    found = learn(plan, logged)
    return found.film, found.film.estimate.scaled(np.mean(films_um) / found.film.estimate.value), found, plan


def test_the_interval_of_a_coating_holds_how_far_the_runs_scatter():
    even, near, far = (coated(*each)[1] for each in ((13.0, 13.0, 13.0), (12.0, 13.0, 14.0), (8.0, 13.0, 18.0)))
    one, two = coated(13.0)[1], coated(6.0, 20.0)[1]
    assert even.width < one.width < near.width < far.width
    assert even.width < 2.0
    assert far.low < 8.0
    assert far.high > 18.0
    assert two.width > 14.0


def test_runs_that_disagree_are_told_with_the_one_that_stands_out_and_are_not_written():
    assert not coated(12.5, 13.0, 13.5)[0].scatter.disagrees
    apart = coated(13.0, 13.2, 12.8, 20.0)[0].scatter
    assert (apart.disagrees, apart.stands_out) == (True, 4)
    _, _, found, plan = coated(8.0, 13.0, 18.0)
    assert (found.film.scatter.disagrees, found.film.scatter.stands_out) == (True, None)
    assert "measured_coating" not in bath_keys(found, plan)


@pytest.mark.parametrize("apart_v", [1.0, 4.0])
def test_the_interval_of_volts_holds_how_far_the_runs_scatter(apart_v):
    plan, (cases, _) = desk_set(), tank(9)
    good = log_of(plan, 9, cases)
    runs = [Logged(each.run, tuple(replace_volts(r, more_v) for r in each.readings))
            for each, more_v in zip(good, (-apart_v, 0.0, apart_v), strict=True)]  # fmt: skip
    even, found = learn(plan, good).volts, learn(plan, runs).volts
    assert found.scatter.disagrees
    assert not even.scatter.disagrees
    assert found.estimate.low < even.estimate.value - apart_v < even.estimate.value + apart_v < found.estimate.high
    assert found.estimate.value == pytest.approx(even.estimate.value, abs=0.3)


def test_a_run_with_neither_reading_nor_coating_is_no_run_that_taught():
    plan, (cases, _) = desk_set(), tank(10)
    good = log_of(plan, 10, cases)
    judged = Logged(msgspec.structs.replace(good[0].run, number=9), (), (), (Outcome(run=9, judged="good"),))
    assert learn(plan, [*good, judged]).runs == 3
