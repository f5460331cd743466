"""The etch: metal, caustic, hydrogen and heat, with its bounds, scaling and refusals."""

import math

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st
from scipy.constants import R

from areacalc.bath.etch import (
    MATTE_CAUSTIC,
    MILD_C,
    MILD_CAUSTIC,
    MILD_MINUTES,
    etch_warms,
    etched,
    lost_by_weight,
    lost_in,
    lost_in_matte_etch,
    rate,
)
from areacalc.errors import BadInput, OutOfRange
from areacalc.estimate import Estimate
from areacalc.figure import constant, given
from areacalc.sources import Kind

FEW = settings(deadline=None, max_examples=60)
CAUSTIC, BATH = st.floats(5.0, 120.0), st.floats(10.0, 80.0)


def speed(caustic, bath_c):
    return rate(given("caustic", caustic, "g/L"), given("etch", bath_c, "C")).estimate.value


@given_values(CAUSTIC, CAUSTIC, BATH, BATH)
@FEW
def test_stronger_and_warmer_never_etch_less(one, other, cold, warm):
    (weak, strong), (low, high) = sorted((one, other)), sorted((cold, warm))
    assert speed(weak, low) <= speed(strong, low)
    assert speed(weak, low) <= speed(weak, high)


@given_values(CAUSTIC, BATH, st.floats(0.0, 1200.0))
@FEW
def test_the_bounds_hold_the_point_and_the_rate_is_marked(caustic, bath_c, seconds):
    r = rate(given("caustic", caustic, "g/L"), given("etch", bath_c, "C"))
    lost = lost_in(r, given("time", seconds, "s")).estimate
    plain = speed(caustic, bath_c) * seconds / 60.0
    assert lost.low <= plain * (1 + 1e-9)
    assert plain <= lost.high * (1 + 1e-9)
    assert r.source.kind is Kind.FROM_MEMORY
    assert r.estimate.width > 0.0


@given_values(st.floats(0.1, 50.0), st.floats(10.0, 1e7), st.integers(2, 40))
@FEW
def test_n_parts_take_n_times_everything(lost_um, area_mm2, count):
    one, many = (etched(given("lost", lost_um, "um"), given("area", a, "mm2")) for a in (area_mm2, count * area_mm2))
    for name in ("aluminium", "caustic_used", "hydrogen", "heat"):
        assert getattr(many, name).estimate.value == pytest.approx(count * getattr(one, name).estimate.value, rel=1e-9)


@given_values(st.floats(0.1, 50.0), st.floats(100.0, 1e6))
@FEW
def test_the_weight_a_trial_piece_lost_gives_the_depth_back(lost_um, area_mm2):
    grams = etched(given("lost", lost_um, "um"), given("area", area_mm2, "mm2")).aluminium.estimate.value
    assert lost_by_weight(grams, area_mm2).estimate.value == pytest.approx(lost_um, rel=1e-9)


def test_the_default_etch_is_milder_than_the_trades():
    mild = rate(constant("caustic", MILD_CAUSTIC), constant("etch", MILD_C))
    lost = lost_in(mild, given("time", 60.0 * MILD_MINUTES.value, "s")).estimate
    assert lost.value == pytest.approx(4.0 * 3.0 * (30 / 55) ** 0.75 * math.exp(-46e3 / R * (1 / 308.15 - 1 / 330.65)))
    assert lost.high < lost_in_matte_etch().estimate.low
    assert MATTE_CAUSTIC.source.kind is Kind.REPORTED


def test_an_etch_takes_far_more_when_hot():
    minutes = constant("minutes", MILD_MINUTES).estimate.scaled(60.0)

    def lost(bath_c):
        r = rate(constant("caustic", MILD_CAUSTIC), given("etch", bath_c, "C"))
        return lost_in(r, given("time", minutes, "s")).estimate

    assert lost(20.0).high < lost(60.0).low
    assert lost(60.0).value / lost(20.0).value == pytest.approx(1.0 / 0.104, rel=5e-3)  # 46 kJ/mol


def test_the_heat_of_an_etch_warms_a_small_bath():
    out = etched(given("lost", 10.0, "um"), given("area", 1e5, "mm2"))
    warms = etch_warms(out.heat, given("etch bath", 5.0, "L")).estimate.value
    assert warms == pytest.approx(out.heat.estimate.value / (5.0 * 0.9982 * 4.18), rel=1e-9)


@pytest.mark.parametrize(("call", "error", "words"), [
    (lambda: speed(500.0, 60.0), OutOfRange, "500 g/L is outside 5 to 120 g/L"),
    (lambda: speed(20.0, 95.0), OutOfRange, "95 C is outside 10 to 80 C"),
    (lambda: rate(given("c", Estimate(20.0, 2.0, 30.0), "g/L"), given("t", 20.0, "C")), OutOfRange, "2 g/L is outside"),
    (lambda: rate(given("c", 20.0, "g/L"), given("t", Estimate(20.0, 5.0, 25.0), "C")), OutOfRange, "5 C is outside"),
    (lambda: lost_in(given("r", 1.0, "um/min"), given("t", -60.0, "s")), BadInput, "too short"),
    (lambda: lost_by_weight(1.0, 0.0), BadInput, "cannot be a weighing"),
    (lambda: etch_warms(given("q", 1.0, "kJ"), given("v", 0.0, "L")), BadInput, "must be above zero"),
])  # fmt: skip
def test_what_cannot_be_etched_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()
