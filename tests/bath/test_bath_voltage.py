"""The law of volts: its shape, reading it backwards, and setting it right by what a person read."""

import math

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.voltage import (
    LAW,
    Polarisation,
    Seen,
    calibrated,
    rise_per_um,
)
from areacalc.errors import BadInput
from areacalc.sources import Constant, Kind

FEW = settings(deadline=None, max_examples=60)
DENSITY, BATH, ACID = st.floats(0.8, 4.0), st.floats(0.0, 25.0), st.floats(140.0, 230.0)


@given_values(DENSITY, DENSITY, BATH, ACID)
@FEW
def test_more_density_takes_more_volts(one, other, bath_c, acid):
    low, high = sorted((one, other))
    law = Polarisation()
    assert law.volts_v(low, bath_c, acid) <= law.volts_v(high, bath_c, acid)


@given_values(DENSITY, BATH, BATH, ACID, st.floats(1.0, 40.0))
@FEW
def test_warmer_and_stronger_take_fewer_volts(density, one, other, acid, more):
    cold, warm = sorted((one, other))
    law = Polarisation()
    assert law.volts_v(density, cold, acid) >= law.volts_v(density, warm, acid)
    assert law.volts_v(density, cold, acid) >= law.volts_v(density, cold, acid + more)


@given_values(st.floats(8.0, 30.0), DENSITY, BATH, ACID)
@FEW
def test_one_reading_puts_the_law_through_it(volts, density, bath_c, acid):
    own = calibrated([Seen(volts, density, bath_c, acid)])
    assert own.volts_v(density, bath_c, acid) == pytest.approx(volts, rel=1e-9)
    assert own.volts.source.kind is Kind.ENTERED
    assert own.volts_per_e_fold == Polarisation().volts_per_e_fold


def test_a_reading_at_a_very_low_density_is_met_as_well():
    own = calibrated([Seen(6.0, 0.1, 20.0, 172.5)])
    assert own.volts_v(0.1, 20.0, 172.5) == pytest.approx(6.0, rel=1e-12)


def test_readings_at_two_densities_set_the_slope_as_well():
    made = Polarisation(volts_per_e_fold=Constant(5.0, "V", LAW))
    seen = [Seen(made.volts_v(i, 20.0, 180.0), i, 20.0, 180.0) for i in (1.0, 2.0)]
    own = calibrated(seen)
    assert own.volts_per_e_fold.value == pytest.approx(5.0, rel=1e-9)
    assert own.volts_v(1.4, 20.0, 180.0) == pytest.approx(made.volts_v(1.4, 20.0, 180.0), rel=1e-9)


def test_a_slope_from_readings_is_as_sure_as_their_tenths():
    own = calibrated([Seen(12.0, 1.0, 20.0, 180.0), Seen(15.0, 2.0, 20.0, 180.0)]).volts_per_e_fold
    ends = sorted((3.0 + off) / math.log(2.0) for off in (-0.2, 0.2))  # each volt read is right to 0.1 V
    assert (own.low, own.high) == (pytest.approx(ends[0]), pytest.approx(ends[1]))
    with pytest.raises(BadInput, match="too near each other"):
        calibrated([Seen(15.0, 1.95, 20.0, 180.0), Seen(15.1, 2.0, 20.0, 180.0)])


def test_the_slope_moves_nothing_where_it_was_read():
    own = calibrated([Seen(18.0, 2.5, 20.0, 180.0)])
    slope = own.volts_per_e_fold
    at = {
        density: [
            own.offset_v(20.0, 180.0, own.volts.value, e_fold, 0.0, 0.0) + e_fold * math.log(density)
            for e_fold in (slope.low, slope.high)
        ]
        for density in (2.5, 1.0)
    }
    assert at[2.5][0] == pytest.approx(at[2.5][1], abs=1e-9)
    assert at[1.0][1] < own.volts_v(1.0, 20.0, 180.0) < at[1.0][0]


def test_readings_that_scatter_widen_the_volts():
    own = calibrated([Seen(15.0, 1.5, 20.0, 180.0), Seen(16.0, 1.5, 20.0, 180.0)])
    assert own.volts.high - own.volts.low == pytest.approx(1.0)


@given_values(st.floats(-5.0, 30.0))
@FEW
def test_volts_rise_with_the_film_and_more_in_the_cold(bath_c):
    rise = rise_per_um(bath_c)
    assert 0.0 <= rise.low <= rise.value <= rise.high
    assert rise.value >= rise_per_um(bath_c + 1.0).value


def test_the_slope_is_that_of_the_law():
    law = Polarisation()
    step = (law.volts_v(1.501, 20.0, 180.0) - law.volts_v(1.499, 20.0, 180.0)) / 0.2
    assert law.volts_per_e_fold.value / 150.0 == pytest.approx(step, rel=1e-5)


@pytest.mark.parametrize("call", [
    lambda: calibrated([]), lambda: Seen(0.0, 1.5, 20.0, 180.0), lambda: Seen(15.0, -1.0, 20.0, 180.0),
    lambda: calibrated([Seen(16.0, 1.0, 20.0, 180.0), Seen(15.0, 2.0, 20.0, 180.0)]),
])  # fmt: skip
def test_readings_that_cannot_be_are_refused(call):
    with pytest.raises(BadInput):
        call()
