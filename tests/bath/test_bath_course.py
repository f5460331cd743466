"""The course of a run against scipy's integrator, which is given the equations anew, and against closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import triang

from areacalc.bath.cases import BathState, Unknowns, cases_of
from areacalc.bath.course import LimitedBy, RunSetting, follow
from areacalc.bath.heat import Agitation
from areacalc.bath.voltage import Polarisation
from areacalc.errors import CannotRun
from areacalc.estimate import Estimate

R_GAS, ENERGY = 8.31446261815324, 53.2e3
FILM_A_MIN, RISE, CHEMICAL = 0.305, 0.05, 1.4134
HEAT_TRANSFER = {Agitation.AIR: 1000.0, Agitation.PUMP: 2000.0}


def cases(area_dm2=1.2094, agitation=Agitation.AIR, held=40.45, cooling=0.0, bath_c=20.0, rise=RISE, reference=15.0):
    transfer = {Agitation.STILL: 293.0, **HEAT_TRANSFER}[agitation]
    exact = (area_dm2, FILM_A_MIN, reference, 53.2, 0.81, 6.5, rise, transfer, CHEMICAL)
    bath = BathState(Polarisation(), 180.0, bath_c, agitation, held)
    return cases_of(Unknowns(*map(Estimate.exact, (*exact, cooling))), bath)


def surface_rise(flux_w_per_m2, bath_c, agitation):
    thick = 1.0 + 0.008 * (bath_c - 20.0)
    still = (flux_w_per_m2 / (293.0 * thick)) ** (1.0 / 1.305)
    if agitation is Agitation.STILL:
        return still
    return min(flux_w_per_m2 / (HEAT_TRANSFER[agitation] * thick), still)


def law_volts(i, bath_c, film_um, agitation, rise=RISE):
    """Volts at the tank at i [A/dm2] with the surface as warm as its own heat makes it."""

    def off(volts):
        flux = 100.0 * i * (volts + CHEMICAL)
        warmer = surface_rise(flux, bath_c, agitation) - surface_rise(flux, bath_c, Agitation.AIR)
        cold = ENERGY / R_GAS * (1.0 / (273.15 + bath_c + warmer) - 1.0 / 293.15)
        law = 15.0 + 6.5 * (math.log(i / 1.5) + cold - 0.81 * math.log(180.0 / 172.5)) + rise * film_um
        return law - volts

    return brentq(off, 0.0, 200.0) if off(0.0) > 0.0 else 0.0


def by_scipy(end_s, current_of, area=1.2094, agitation=Agitation.AIR, held=40.45, rise=RISE):
    """Charge [C], heat [J] and bath [C] at the end; current_of(time, film, bath) is told the run's own state."""

    def slopes(t, y):
        film = FILM_A_MIN * y[0] / 60.0 / area
        bath = 20.0 + y[1] / 1e3 / held
        amps = current_of(t, film, bath)
        if amps <= 0.0:
            return [0.0, 0.0]
        return [amps, amps * (law_volts(amps / area, bath, film, agitation, rise) + CHEMICAL)]

    done = solve_ivp(slopes, (0.0, end_s), [0.0, 0.0], rtol=1e-8, atol=1e-6, max_step=20.0)
    charge, heat = done.y[:, -1]
    return charge, heat, 20.0 + heat / 1e3 / held


@pytest.mark.parametrize("agitation", list(Agitation))
def test_a_ramp_and_steady_current(agitation):
    course = follow(RunSetting(2.999, 3.0, 30.0, ramp_s=300.0), cases(agitation=agitation), 12.0)
    reached = float(course.when(np.array([12.0 / FILM_A_MIN * 60.0 * 1.2094]))[0])
    # 12 / 0.305 A min/dm2 x 1.2094 dm2 / 2.999 A, and half the ramp
    assert reached / 60.0 == pytest.approx(12.0 / 0.305 * 1.2094 / 2.999 + 2.5, rel=1e-6)
    charge, heat, bath = by_scipy(reached, lambda t, film, b: 2.999 * min(1.0, t / 300.0), agitation=agitation)
    assert course.at(course.charge_c, reached)[0] == pytest.approx(charge, rel=1e-5)
    assert course.at(course.heat_j, reached)[0] == pytest.approx(heat, rel=5e-4)
    assert course.at(course.bath_c, reached)[0] == pytest.approx(bath, abs=1e-3)
    film = FILM_A_MIN * charge / 60.0 / 1.2094
    assert course.at(course.volts_v, reached)[0] == pytest.approx(
        law_volts(2.999 / 1.2094, bath, film, agitation), abs=2e-3
    )


def limited(volts, area, ramp_s=0.0, most=2.999, agitation=Agitation.AIR, rise=RISE):
    def current(t, film, bath):
        amps = most * min(1.0, t / ramp_s) if ramp_s else most
        if amps <= 0.0 or law_volts(amps / area, bath, film, agitation, rise) <= volts:
            return amps
        return brentq(lambda i: law_volts(i / area, bath, film, agitation, rise) - volts, 1e-4, amps)

    return current


@pytest.mark.parametrize("agitation", list(Agitation))
def test_a_voltage_limit_holds_the_current_down(agitation):
    course = follow(RunSetting(2.999, 3.0, 13.0, ramp_s=300.0), cases(agitation=agitation), 12.0)
    reached = float(course.when(np.array([12.0 / FILM_A_MIN * 60.0 * 1.2094]))[0])
    charge, heat, _ = by_scipy(reached, limited(13.0, 1.2094, 300.0, agitation=agitation), agitation=agitation)
    assert course.at(course.charge_c, reached)[0] == pytest.approx(charge, rel=5e-4)
    assert course.at(course.heat_j, reached)[0] == pytest.approx(heat, rel=1e-3)
    assert course.at(course.supply_v, reached)[0] == pytest.approx(13.0, abs=1e-9)
    assert course.limited_by[-1, 0] == LimitedBy.VOLTAGE


def test_steady_volts_and_a_film_that_resists():
    setting = RunSetting(3.0, 20.0, 60.0, held_v=18.0)
    course = follow(setting, cases(rise=0.3), 20.0)
    reached = float(course.when(np.array([20.0 / FILM_A_MIN * 60.0 * 1.2094]))[0])
    charge, heat, _ = by_scipy(reached, limited(18.0, 1.2094, most=20.0, rise=0.3), rise=0.3)
    assert course.at(course.charge_c, reached)[0] == pytest.approx(charge, rel=1e-3)
    assert course.at(course.heat_j, reached)[0] == pytest.approx(heat, rel=1e-3)
    # 0.3 V/um x 20 um less, over 6.5 V to an e-fold, and what the warmer bath gives back
    warmer = ENERGY / R_GAS * (1.0 / 293.15 - 1.0 / (273.15 + course.at(course.bath_c, reached)[0]))
    first, last = course.current_a[0, 0], course.at(course.current_a, reached)[0]
    assert last / first == pytest.approx(math.exp(-0.3 * 20.0 / 6.5 + warmer), rel=1e-3)


def test_cooling_switches_off_at_the_bath_of_the_start():
    course = follow(RunSetting(2.999, ramp_s=300.0), cases(cooling=1e4), 12.0)
    assert np.all(course.bath_c == 20.0)
    some = follow(RunSetting(2.999, ramp_s=300.0), cases(cooling=30.0), 12.0)
    assert np.all(np.diff(some.bath_c[:, 0]) >= 0.0)
    heat = some.heat_w[:, 0]
    begins = int(np.argmax(heat > 30.0))
    net = np.sum(np.diff(some.time_s[begins:]) * (0.5 * (heat[begins:-1] + heat[begins + 1 :]) - 30.0))
    assert some.bath_c[-1, 0] - 20.0 == pytest.approx(net / 40.45e3, rel=2e-2)


def test_the_rack_takes_its_share_of_the_volts():
    course = follow(RunSetting(2.999, 3.0, 13.0, series_ohm=0.4), cases(), 12.0)
    assert course.volts_v[-1, 0] == pytest.approx(13.0 - 0.4 * course.current_a[-1, 0], abs=1e-9)
    i = course.current_a[-1, 0] / 1.2094
    assert course.volts_v[-1, 0] == pytest.approx(
        law_volts(i, course.bath_c[-1, 0], course.film_um[-1, 0], Agitation.AIR), abs=2e-3
    )


def test_still_acid_takes_more_current_at_the_same_volts():
    stirred, still = (
        follow(RunSetting(20.0, 20.0, 18.0, held_v=18.0), cases(agitation=way), 12.0).current_a[-1, 0]
        for way in (Agitation.AIR, Agitation.STILL)
    )
    assert 1.2 < still / stirred < 1.6


def at_film(setting, made, film_um=12.0):
    """The course, and when its film is there."""
    course = follow(setting, made, film_um)
    return course, float(course.when(made.charge_c(film_um))[0])


def test_a_run_that_is_over_within_its_ramp():
    # 2 A after 300 s: charge t^2 / 300, so 75 C after 150 s
    film_um = 75.0 / 60.0 / 1.2094 * FILM_A_MIN
    course, reached = at_film(RunSetting(2.0, 3.0, 30.0, ramp_s=300.0), cases(), film_um)
    assert reached == pytest.approx(150.0, rel=1e-9)
    assert course.at(course.current_a, reached)[0] == pytest.approx(1.0, rel=1e-9)


def test_its_amperes_hold_it_down():
    course, reached = at_film(RunSetting(2.0, 1.5, 30.0), cases())
    assert reached == pytest.approx(12.0 / FILM_A_MIN * 60.0 * 1.2094 / 1.5, rel=1e-9)
    assert (course.limited_by == LimitedBy.CURRENT).all()


def test_constant_voltage_meets_the_ampere_limit():
    course, _ = at_film(RunSetting(3.0, 1.5, 30.0, held_v=18.0), cases())
    assert (course.current_a == 1.5).all()
    assert course.limited_by[-1, 0] == LimitedBy.CURRENT


@pytest.mark.parametrize("ramp_s", [5e-324, 1e-310, 1e-12])
def test_a_ramp_of_next_to_nothing_is_none(ramp_s):
    none, some = (follow(RunSetting(3.0, 3.0, 30.0, ramp_s=r), cases(), 12.0) for r in (0.0, ramp_s))
    assert (none.time_s == some.time_s).all()
    assert (none.charge_c == some.charge_c).all()


@given(st.floats(0.5, 5.0), st.floats(10.0, 30.0), st.floats(0.0, 600.0), st.floats(0.0, 0.5), st.booleans())
@settings(deadline=None, max_examples=30)
def test_charge_is_the_integral_of_current_and_no_limit_is_passed(limit_a, limit_v, ramp_s, rise, held):
    course = follow(RunSetting(2.0, limit_a, limit_v, limit_v if held else None, ramp_s), cases(rise=rise), 12.0)
    steps = np.diff(course.time_s)
    current = course.current_a[:, 0]
    assert (steps > 0.0).all()
    assert np.sum(steps * 0.5 * (current[1:] + current[:-1])) == pytest.approx(course.charge_c[-1, 0], rel=1e-9)
    assert (current <= limit_a).all()
    assert (course.supply_v <= limit_v * (1 + 1e-9)).all()


@given(st.floats(0.5, 5.0), st.floats(1.01, 3.0))
@settings(deadline=None, max_examples=20)
def test_a_larger_supply_is_never_slower(limit_a, more):
    small, large = (at_film(RunSetting(9.0, a, 16.5), cases(rise=0.2))[1] for a in (limit_a, limit_a * more))
    assert large <= small * (1 + 1e-9)


def test_a_supply_of_too_few_volts_is_refused():
    with pytest.raises(CannotRun, match=r"at 0.5 V it drives"):
        follow(RunSetting(3.0, 3.0, 0.5), cases(reference=60.0), 12.0)


def test_every_case_is_followed_by_itself():
    exact = [Estimate.exact(x) for x in (1.2094, FILM_A_MIN, 15.0, 53.2, 0.81, 6.5, RISE, 1000.0, CHEMICAL, 0.0)]
    bath = BathState(Polarisation(), 180.0, 20.0, Agitation.AIR, 40.45)
    both = cases_of(Unknowns(Estimate(1.2094, 1.2094, 1.5), *exact[1:]), bath)
    assert both.corners == 3
    course = follow(RunSetting(3.0, 3.0, 13.0, ramp_s=300.0), both, 12.0)
    for column, alone in ((0, cases()), (2, cases(1.5))):
        single = follow(RunSetting(3.0, 3.0, 13.0, ramp_s=300.0), alone, 12.0)
        reached = course.when(both.charge_c(12.0))[column]
        assert reached == pytest.approx(single.when(alone.charge_c(12.0))[0], rel=2e-4)


def test_the_corners_hold_every_likely_case():
    made = cases_of(Unknowns(*(Estimate(x, 0.9 * x, 1.2 * x) for x in (
        1.2094, FILM_A_MIN, 15.0, 53.2, 0.81, 6.5, RISE, 1000.0, CHEMICAL, 20.0))),
        BathState(Polarisation(), 180.0, 18.0, Agitation.STILL, 40.45))  # fmt: skip
    assert made.corners == 1 + 2**8
    course = follow(RunSetting(3.0, 3.0, 16.0, ramp_s=300.0), made, 12.0)
    for rows in (
        course.charge_c,
        course.heat_j,
        course.bath_c,
        course.current_a / course.cases.area_dm2,
        course.supply_v,
    ):
        values = course.at(rows, 900.0)
        e = made.bounds(values)
        assert e.low <= e.value <= e.high
        assert (made.likely(values) >= e.low - 1e-9).all()
        assert (made.likely(values) <= e.high + 1e-9).all()


def test_likely_cases_lie_in_a_triangle_about_the_value():
    bath = BathState(Polarisation(), 180.0, 20.0, Agitation.AIR, 40.45)
    exact = [Estimate.exact(x) for x in (FILM_A_MIN, 15.0, 53.2, 0.81, 6.5, RISE, 1000.0, CHEMICAL, 0.0)]
    drawn = cases_of(Unknowns(Estimate(1.0, 0.9, 1.3), *exact), bath, 4000)
    for share in (0.05, 0.25, 0.5, 0.95):
        by_scipy = triang.ppf(share, 0.25, loc=0.9, scale=0.4)
        assert np.quantile(drawn.likely(drawn.area_dm2), share) == pytest.approx(by_scipy, abs=1e-3)
