"""How growth, dissolution and etching follow temperature: activation energies from papers."""

from __future__ import annotations

import math

import pytest
from scipy.constants import R

from areacalc.bath.ceiling import STRENGTH_ORDER, WALL_ENERGY, ceiling, dissolution_ratio
from areacalc.bath.etch import ENERGY, rate
from areacalc.bath.voltage import GROWTH_ENERGY, Polarisation, implied_density
from areacalc.figure import given


def ratio(energy_kj, t_c, reference_c):
    return math.exp(-1e3 * energy_kj / R * (1.0 / (t_c + 273.15) - 1.0 / (reference_c + 273.15)))


def density_at_15_volts(t_c):
    read = given("volts", 15.0, "V"), given("bath", t_c, "C"), given("acid", 196.0, "g/L")
    return implied_density(*read).estimate.value


def etch_rate(t_c):
    return rate(given("caustic", 40.0, "g/L"), given("etch", float(t_c), "C")).estimate.value


@pytest.mark.parametrize(("t_c", "share"), [
    (0.0, 0.202), (5.0, 0.308), (10.0, 0.463), (15.0, 0.685), (18.0, 0.861), (25.0, 1.442), (30.0, 2.054),
])  # fmt: skip
def test_current_at_fixed_volts(t_c, share):
    # Russ. J. Inorg. Chem. 66 (2021) 258: 53.2 +/- 1.8 kJ/mol in 2.0 mol/L acid from 0 to 30 C
    ours = density_at_15_volts(t_c) / density_at_15_volts(20.0)
    assert ours == pytest.approx(share, abs=6e-4)
    assert ours == pytest.approx(ratio(53.2, t_c, 20.0), rel=1e-9)
    assert (GROWTH_ENERGY.low, GROWTH_ENERGY.high) == pytest.approx((51.4, 55.0))


@pytest.mark.parametrize(("t_c", "share"), [
    (0.0, 0.082), (5.0, 0.158), (10.0, 0.299), (15.0, 0.553), (18.0, 0.791), (25.0, 1.774), (30.0, 3.087),
])  # fmt: skip
def test_thinning_of_pore_walls(t_c, share):
    # the same paper: 83.3 +/- 2.1 kJ/mol
    assert dissolution_ratio(t_c) == pytest.approx(share, abs=6e-4)
    assert (WALL_ENERGY.low, WALL_ENERGY.high) == pytest.approx((81.2, 85.4))


def test_dissolution_follows_strength():
    # Eguchi, J. Met. Fin. Soc. Japan 20 (1969) 207: rate as c^0.81
    assert STRENGTH_ORDER.value == 0.81
    weak, strong = (
        ceiling(given("i", 1.5, "A/dm2"), given("c", c, "g/L"), given("t", 20.0, "C")).estimate.value
        for c in (100.0, 200.0)
    )
    assert weak / strong == pytest.approx(2.0**0.81, rel=1e-9)


@pytest.mark.parametrize(("t_c", "share"), [(20, 0.104), (30, 0.193), (40, 0.346), (50, 0.598), (70, 1.62)])
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


@pytest.mark.parametrize(("density", "least", "most"), [(1.0, 12.0, 13.0), (1.5, 14.0, 16.0), (2.0, 17.0, 18.0)])
def test_volts_as_recalled(density, least, most):
    # from memory, curves after Wernick & Pinner at 165 to 180 g/L and 20 C; a band half a volt wider than recalled
    assert least - 0.5 <= Polarisation().volts_v(density, 20.0, 172.5) <= most + 0.5


def test_ordinary_work_lies_in_the_volts_of_depots():
    # Metal Finishing Guidebook 2011-12, p. 280: 12 to 22 V; p. 405: 1.08 to 2.58 A/dm2 at 68 to 72 F
    law = Polarisation()
    assert 12.0 < law.volts_v(1.08, 20.0, 165.0) < law.volts_v(2.58, 20.0, 165.0) < 22.0


def test_the_ceiling_of_ordinary_films():
    # from memory: ordinary baths stop at 25 to 30 um
    top = ceiling(given("i", 1.35, "A/dm2"), given("c", 175.0, "g/L"), given("t", 20.0, "C")).estimate
    assert top.low < 25.0 < top.value < 30.0 < top.high
