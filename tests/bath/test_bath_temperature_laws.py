"""Growth, dissolution and etching follow the activation energies they are given, with R by scipy."""

import math

import pytest
from scipy.constants import R

from areacalc.bath.ceiling import STRENGTH_ORDER, WALL_ENERGY, ceiling, dissolution_ratio
from areacalc.bath.etch import ENERGY, rate
from areacalc.bath.film import factor_figure
from areacalc.bath.voltage import GROWTH_ENERGY, ORDER, Polarisation
from areacalc.figure import given


def ratio(energy_kj, t_c, reference_c):
    return math.exp(-1e3 * energy_kj / R * (1.0 / (t_c + 273.15) - 1.0 / (reference_c + 273.15)))


def density_at_15_volts(t_c):
    law = Polarisation()
    v0 = law.volts_per_e_fold.value
    return math.exp((15.0 - law.offset_v(t_c, 196.0, law.volts.value, v0, GROWTH_ENERGY.value, ORDER.value)) / v0)


def etch_rate(t_c):
    return rate(given("caustic", 40.0, "g/L"), given("etch", float(t_c), "C")).estimate.value


@pytest.mark.parametrize(("t_c", "share"), [
    (0.0, 0.202), (30.0, 2.054),
])  # fmt: skip
def test_current_at_fixed_volts(t_c, share):
    # Russ. J. Inorg. Chem. 66 (2021) 258: 53.2 +/- 1.8 kJ/mol in 2.0 mol/L acid from 0 to 30 C
    ours = density_at_15_volts(t_c) / density_at_15_volts(20.0)
    assert ours == pytest.approx(share, abs=6e-4)
    assert ours == pytest.approx(ratio(53.2, t_c, 20.0), rel=1e-9)
    assert (GROWTH_ENERGY.low, GROWTH_ENERGY.high) == pytest.approx((51.4, 55.0))


@pytest.mark.parametrize(("t_c", "share"), [
    (0.0, 0.082), (30.0, 3.087),
])  # fmt: skip
def test_thinning_of_pore_walls(t_c, share):
    # the same paper: 83.3 +/- 2.1 kJ/mol
    assert dissolution_ratio(t_c) == pytest.approx(share, abs=6e-4)
    assert (WALL_ENERGY.low, WALL_ENERGY.high) == pytest.approx((81.2, 85.4))


def test_dissolution_follows_strength():
    # Eguchi, J. Met. Fin. Soc. Japan 20 (1969) 207: rate as c^0.81
    assert STRENGTH_ORDER.value == 0.81
    weak, strong = (
        ceiling(given("i", 1.5, "A/dm2"), given("c", c, "g/L"), given("t", 20.0, "C"), factor_figure()).estimate.value
        for c in (100.0, 200.0)
    )
    assert weak / strong == pytest.approx(2.0**0.81, rel=1e-9)


@pytest.mark.parametrize(("t_c", "share"), [(20, 0.104), (70, 1.62)])
def test_etching_against_60_celsius(t_c, share):
    # Trans. Inst. Met. Finish. 54 (1976), doi 10.1080/00202967.1976.11870366: 46 kJ/mol for all etchants tried
    assert ENERGY.value == 46.0
    assert etch_rate(t_c) / etch_rate(60.0) == pytest.approx(share, abs=0.005)
    assert etch_rate(t_c) / etch_rate(60.0) == pytest.approx(ratio(46.0, t_c, 60.0), rel=1e-9)


def test_cooling_to_freezing_adds_ten_volts():
    # derived: 1.6 V0 from 20 to 0 C; with V0 of 6 to 7 V, which is from memory, 10 to 11 V
    law = Polarisation()
    added = law.volts_v(1.5, 0.0, 180.0) - law.volts_v(1.5, 20.0, 180.0)
    assert added / law.volts_per_e_fold.value == pytest.approx(1.6, abs=0.01)
    assert 9.5 < added < 11.2
