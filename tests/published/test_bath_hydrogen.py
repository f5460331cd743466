"""Hydrogen and the air that thins it: Faraday with the ideal gas, EN 50272-3, IEEE 1635."""

import pytest
from scipy.constants import R, atm, physical_constants

from areacalc.bath.gas import air_flow, hydrogen_l_per_ah, hydrogen_l_per_g_aluminium
from areacalc.figure import given

F = physical_constants["Faraday constant"][0]


@pytest.mark.parametrize(("t_c", "l_per_ah"), [(0.0, 0.4181480), (20.0, 0.4487647), (25.0, 0.4564189)])
def test_hydrogen_of_an_ampere_hour(t_c, l_per_ah):
    # derived: 3600 / (2 F) R T / p with scipy.constants
    assert hydrogen_l_per_ah(t_c) == pytest.approx(3600.0 / (2.0 * F) * R * (t_c + 273.15) / atm * 1e3, rel=1e-9)
    assert hydrogen_l_per_ah(t_c) == pytest.approx(l_per_ah, abs=5.1e-7)


def test_the_figure_of_the_battery_standards():
    # EN 50272-3 and IEC 62485 round 0 C and 1 atm to 0.42e-3 m3/Ah
    assert hydrogen_l_per_ah(0.0) == pytest.approx(0.42, abs=0.005)


def test_thirty_amperes():
    # derived: 13.5 L/h at 20 C; IEEE 1635: at most 1 % by volume, so 1.35 m3/h; at 0.42e-3 m3/Ah 0.042 I = 1.26
    air = air_flow(given("current", 30.0, "A")).estimate.value
    assert 30.0 * hydrogen_l_per_ah(20.0) == pytest.approx(13.5, abs=0.05)
    assert air == pytest.approx(1.346, abs=0.001)
    assert air_flow(given("current", 30.0, "A"), 0.0).estimate.value == pytest.approx(0.042 * 30.0, rel=0.005)
    assert air < 0.05 * 30.0  # EN 50272-3 with 4 % and a factor of 5: 0.8 % by volume, so a little more air


@pytest.mark.parametrize(("t_c", "l_per_g"), [(0.0, 1.2460725), (20.0, 1.3373097)])
def test_hydrogen_of_a_gram_of_etched_aluminium(t_c, l_per_g):
    # derived: 2 Al give 3 H2, ideal gas at 1 atm
    assert hydrogen_l_per_g_aluminium(t_c) == pytest.approx(l_per_g, abs=5.1e-7)
