"""What a bore takes, as figures with bounds and a chain."""

from dataclasses import replace
from itertools import product

import pytest

from areacalc.bath.voltage import Polarisation, Seen, calibrated, rise_per_um
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.sources import Kind
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, bore_line, plain_bore
from areacalc.throw.thrown import Evening, down_the_bore

KAPPA = given("conductivity", Estimate(60.0, 58.0, 62.0), "S/m")
OUTSIDE = given("density outside", 1.5, "A/dm2")
BARE = Evening(KAPPA, Polarisation(), given("film", 0.0, "um"), rise_per_um(20.0))


def test_the_tube_of_12_mm_by_this_law():
    """8 x 110 mm at 1.5 A/dm2 in 60 S/m with V0 = 6.5 V: L = 2600 mm; values by finite elements, see beside."""
    found = down_the_bore(plain_bore(8.0, 110.0), BARE, OUTSIDE)
    assert found.mean.estimate.value == pytest.approx(1.5 * 0.625, rel=0.01)
    assert found.least.estimate.value == pytest.approx(1.5 * 0.495, rel=0.01)
    assert found.least_at_mm == pytest.approx(110.0)
    for figure in (found.mouth, found.mean, found.least, found.mouth_share, found.mean_share, found.least_share):
        e = figure.estimate
        assert 0.0 < e.low < e.value < e.high <= 1.5
    film = found.least_film(given("film", 12.0, "um"))
    assert film.estimate.value == pytest.approx(12.0 * found.least_share.estimate.value)


def test_the_bounds_hold_every_corner_inside_them():
    bath = replace(BARE, film=given("film", 20.0, "um"))
    bore = plain_bore(5.0, 60.0)
    found = down_the_bore(bore, bath, OUTSIDE)
    w, f = bath.wagner_length(OUTSIDE).estimate, bath.film_length(OUTSIDE).estimate
    for wagner, film, mouth in product((w.low, w.value, w.high), (f.low, f.value, f.high), (IN_A_FACE, AT_A_THIN_END)):
        line = bore_line(bore, wagner, film, mouth)
        assert found.mean_share.estimate.low <= line.mean <= found.mean_share.estimate.high
        assert found.least_share.estimate.low <= line.least <= found.least_share.estimate.high


def test_the_slope_is_from_memory_until_readings_give_it():
    recalled = Polarisation()
    assert recalled.evening.source.kind is Kind.FROM_MEMORY
    assert recalled.evening.low < recalled.volts_per_e_fold.low < recalled.volts_per_e_fold.high < recalled.evening.high
    one = calibrated([Seen(17.0, 1.5, 20.0, 180.0)])
    assert one.evening == recalled.evening
    own = calibrated([Seen(15.0, 1.0, 20.0, 180.0), Seen(19.0, 2.0, 20.0, 180.0)])
    assert own.evening.source.kind is Kind.ENTERED
    assert own.evening.value == pytest.approx(4.0 / 0.6931, rel=1e-3)


def test_the_bounds_of_the_slope_are_what_the_recalled_volts_allow():
    """6 V between 1.0 and 2.0 A/dm2: 8.66 V an e-fold; 26.5 V at 0 C and 3.23 A/dm2 through the law: 4.86 V."""
    law = Polarisation()
    assert law.evening.high == pytest.approx(6.0 / 0.693147, abs=0.05)
    steps = (law.volts_v(3.229, 0.0, 172.5) - 15.0) / law.volts_per_e_fold.value
    assert law.evening.low == pytest.approx((26.5 - 15.0) / steps, abs=0.05)


def test_the_chain_names_the_slope_the_bath_and_the_mouths():
    found = down_the_bore(plain_bore(8.0, 110.0), BARE, OUTSIDE)
    names = {each.name for _, each in found.least.chain()}
    assert {
        "reach of the current down the bores (Wagner length)",
        "more volts for 2.72 times the current, at any density",
        "conductivity",
        "depth of the bore",
        "mouth in a face",
    } <= names


def test_a_thick_cold_film_evens_the_bore_and_widens_what_is_known():
    """0.47 V/um x 50 um / 2 = 11.75 V against a V0 of 6.5 V: the film counts for more than the law."""
    cold = Evening(KAPPA, Polarisation(), given("film", 50.0, "um"), rise_per_um(0.0))
    assert cold.film_length(OUTSIDE).estimate.value == pytest.approx(10.0 * 60.0 * 11.75 / 1.5)
    bare, filmed = (down_the_bore(plain_bore(8.0, 110.0), bath, OUTSIDE).least_share.estimate for bath in (BARE, cold))
    assert filmed.low > bare.low
    assert filmed.value > 1.2 * bare.value
    assert filmed.width > bare.width
