"""What a supply does with a bath over a run, and the ways out of one that is too small."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput, CannotRun
from areacalc.estimate import Estimate
from areacalc.plant.supply import LimitedBy, Mode, Supply, run_in
from areacalc.plant.too_small import ways_out
from areacalc.report.words.equipment import ways_out_words


def bath(volts_at_2_a=16.0, rise_v_per_c=0.0):
    """An exponential law: 6.5 V for every e-fold of current, rising with charge."""
    return lambda i, q: max(0.0, volts_at_2_a + 6.5 * math.log(i / 2.0) + rise_v_per_c * q) if i > 0.0 else 0.0


def test_a_steady_current_takes_charge_over_current():
    course = run_in(Supply(3.0, 30.0), bath(), 3600.0, 2.0)
    assert course.reached_s == pytest.approx(1800.0, rel=1e-12)
    assert course.end.charge_c == 3600.0


def test_a_ramp_costs_half_its_own_time():
    course = run_in(Supply(3.0, 30.0, ramp_s=300.0), bath(), 3600.0, 2.0)
    assert course.reached_s == pytest.approx(1800.0 + 150.0, rel=1e-12)
    assert course.spans() == (
        (LimitedBy.RAMP, 0.0, pytest.approx(300.0)),
        (LimitedBy.SETTING, pytest.approx(300.0), pytest.approx(1950.0)),
    )
    assert course.at(150.0).current_a == pytest.approx(1.0, rel=1e-12)
    assert course.at(150.0).charge_c == pytest.approx(75.0, rel=1e-9)


def test_a_run_that_is_over_within_its_ramp():
    # 2 A reached after 300 s: charge t2 / 300, so 75 C after 150 s
    course = run_in(Supply(3.0, 30.0, ramp_s=300.0), bath(), 75.0, 2.0)
    assert course.reached_s == pytest.approx(150.0, rel=1e-9)
    assert course.end.current_a == pytest.approx(1.0, rel=1e-9)


def test_its_amperes_hold_it_down():
    course = run_in(Supply(1.5, 30.0), bath(), 3600.0, 2.0)
    assert course.reached_s == pytest.approx(2400.0, rel=1e-12)
    assert {by for by, _, _ in course.spans()} == {LimitedBy.CURRENT}
    assert LimitedBy.CURRENT in {by for by, _, _ in course.spans()}


def test_its_volts_hold_it_down_to_the_current_that_the_law_gives():
    course = run_in(Supply(3.0, 14.0), bath(), 3600.0, 2.0)
    limited_a = 2.0 * math.exp((14.0 - 16.0) / 6.5)
    assert course.end.current_a == pytest.approx(limited_a, rel=1e-6)
    assert course.reached_s == pytest.approx(3600.0 / limited_a, rel=1e-6)
    assert course.end.limited_by is LimitedBy.VOLTAGE


def test_a_film_that_wants_more_volts_meets_the_limit_part_way():
    # 16 V + 0.001 V/C reaches 18 V after 2000 C, at 2 A after 1000 s
    course = run_in(Supply(3.0, 18.0), bath(16.0, 0.001), 3600.0, 2.0)
    (first, second) = course.spans()
    assert (first[0], second[0]) == (LimitedBy.SETTING, LimitedBy.VOLTAGE)
    assert first[2] == pytest.approx(1000.0, abs=course.moments[2].time_s - course.moments[1].time_s)
    assert course.end.current_a == pytest.approx(2.0 * math.exp(-1.6 / 6.5), rel=1e-5)


def test_resistance_in_series_adds_to_the_volts():
    bare, rack = (run_in(Supply(3.0, 30.0), bath(), 100.0, 2.0, series_ohm=r) for r in (0.0, 0.2))
    assert rack.end.voltage_v - bare.end.voltage_v == pytest.approx(0.4, rel=1e-9)


def test_constant_voltage_falls_off_as_the_film_grows():
    course = run_in(Supply(5.0, 30.0, Mode.VOLTAGE), bath(16.0, 0.0005), 3600.0, 2.0)
    assert course.moments[0].current_a == pytest.approx(2.0, rel=1e-6)
    assert course.end.current_a == pytest.approx(2.0 * math.exp(-1.8 / 6.5), rel=1e-6)
    assert all(a.current_a >= b.current_a for a, b in zip(course.moments, course.moments[1:], strict=False))


def test_constant_voltage_meets_the_ampere_limit():
    course = run_in(Supply(1.5, 30.0, Mode.VOLTAGE), bath(), 3600.0, 2.0)
    assert course.end.limited_by is LimitedBy.CURRENT
    assert course.end.current_a == 1.5


def test_a_supply_that_can_hardly_drive_the_bath_is_refused():
    with pytest.raises(CannotRun, match=r"at 1 V it drives"):
        run_in(Supply(3.0, 1.0), lambda i, q: 5.0 + i, 3600.0, 2.0)


@pytest.mark.parametrize("limits", [(0.0, 30.0), (3.0, 0.0), (-1.0, 30.0), (3.0, math.inf), (math.nan, 30.0)])
def test_a_supply_with_no_limits_is_refused(limits):
    with pytest.raises(BadInput, match="limit is"):
        Supply(*limits)


@pytest.mark.parametrize("asked", [(0.0, 2.0), (3600.0, 0.0), (-1.0, 2.0)])
def test_no_charge_or_no_current_is_refused(asked):
    with pytest.raises(BadInput, match="nothing to do"):
        run_in(Supply(3.0, 30.0), bath(), *asked)


@given(st.floats(0.5, 5.0), st.floats(10.0, 30.0), st.floats(0.0, 600.0), st.floats(0.0, 0.002), st.sampled_from(Mode))
@settings(deadline=None, max_examples=40)
def test_charge_is_the_integral_of_current_and_no_limit_is_passed(limit_a, limit_v, ramp_s, rise, mode):
    course = run_in(Supply(limit_a, limit_v, mode, ramp_s), bath(12.0, rise), 2000.0, 2.0)
    pairs = list(zip(course.moments, course.moments[1:], strict=False))
    charge = math.fsum(0.5 * (a.current_a + b.current_a) * (b.time_s - a.time_s) for a, b in pairs)
    assert charge == pytest.approx(2000.0, rel=1e-9)
    assert all(b.time_s > a.time_s for a, b in pairs)
    assert all(m.current_a <= limit_a and m.voltage_v <= limit_v * (1 + 1e-12) for m in course.moments)


@pytest.mark.parametrize("ramp_s", [5e-324, 1e-310, 1e-12])
def test_a_ramp_of_next_to_nothing_is_none(ramp_s):
    asked = bath(12.0, 0.0005), 2000.0, 2.0
    assert run_in(Supply(3.0, 30.0, ramp_s=ramp_s), *asked).moments == run_in(Supply(3.0, 30.0), *asked).moments


@given(st.floats(0.5, 5.0), st.floats(1.01, 3.0))
@settings(deadline=None, max_examples=30)
def test_a_larger_supply_is_never_slower(limit_a, more):
    small, large = (run_in(Supply(a, 16.5), bath(16.0, 0.0005), 2000.0, 2.0) for a in (limit_a, limit_a * more))
    assert large.reached_s <= small.reached_s * (1 + 1e-9)


def test_ways_out_of_3_amperes_for_a_load_of_4():
    # 16 000 mm2 at 2.5 A/dm2 want 4 A; 3 A make 1.875 A/dm2, and 1800 s become 1800 x 2.5 / 1.875 = 2400 s
    ways = ways_out(Supply(3.0, 30.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert ways.lower_density is not None
    assert ways.lower_density.density_a_per_dm2 == pytest.approx(1.875)
    assert ways.lower_density.run_s == pytest.approx(2400.0)
    assert ways.lower_density.in_window
    assert (ways.fewer_parts.at_once, ways.fewer_parts.runs, ways.fewer_parts.current_a) == (3, 2, 3.0)
    assert (ways.buy.rating_a, ways.buy.rating_v) == (6.0, 20.0)  # 4.32 / 0.8 = 5.4
    assert len(ways_out_words(ways)) == 3
    ramped = ways_out(Supply(3.0, 30.0, ramp_s=300.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert ramped.lower_density.run_s == pytest.approx(2550.0)  # half of the ramp on top


def test_a_density_below_the_window_is_said_to_be():
    ways = ways_out(Supply(1.0, 30.0), Estimate.exact(16_000.0), 1, 1.8, 2.5, 1800.0, 4.32, 19.0)
    assert not ways.lower_density.in_window
    assert ways.fewer_parts is None
    assert "BELOW the window" in ways_out_words(ways)[0]


@pytest.mark.parametrize("load", [(Estimate.exact(0.0), 1), (Estimate.exact(10.0), 0)])
def test_ways_out_for_no_load_are_refused(load):
    with pytest.raises(BadInput):
        ways_out(Supply(1.0, 30.0), *load, 1.8, 2.5, 1800.0, 4.0, 19.0)


def test_a_density_that_another_window_holds_names_it():
    # 3 A on 24 000 mm2 make 1.25 A/dm2: below 2.25, inside 10 to 15 A/ft2 (1.08 to 1.61)
    ways = ways_out(Supply(3.0, 30.0), Estimate.exact(24_000.0), 2, 2.25, 2.48, 900.0, 6.5, 25.0)
    assert not ways.lower_density.in_window
    assert "inside 'decorative'" in ways_out_words(ways)[0]


def test_a_supply_of_enough_amperes_is_only_short_of_volts():
    ways = ways_out(Supply(10.0, 12.0), Estimate.exact(16_000.0), 4, 1.8, 2.5, 1800.0, 4.32, 19.0)
    (said,) = ways_out_words(ways)
    assert said == "A power supply of at least 6 A and 20 V."
