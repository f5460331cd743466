"""Density of sulphuric acid, from the International Critical Tables (1928), against correlations by other hands."""

import pytest
from chemicals.iapws import iapws95_rho
from thermo.electrochem import Laliberte_density

from areacalc.bath.electrolyte import (
    SIXTY_F_C,
    WATER_AT_25_C,
    WATER_AT_60_F,
    density_kg_per_m3,
    relative_density,
    relative_density_at_baume,
    wt_pct_at_density,
    wt_pct_at_relative_density,
)
from areacalc.bath.mixing import battery_acid


@pytest.mark.parametrize("wt_pct", [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
def test_laliberte_2009_agrees(wt_pct):
    # Laliberte, J. Chem. Eng. Data 54 (2009) 1725, as coded in thermo: the two sources differ by up to 1.6 kg/m3 at
    # 20 C and up to 3.1 at 40 C, where the straight lines in T of the tables bend least well
    for t_c, apart in ((20.0, 1.6), (30.0, 2.5), (40.0, 3.1)):
        theirs = Laliberte_density(t_c + 273.15, [wt_pct / 100.0], ["7664-93-9"])
        assert density_kg_per_m3(wt_pct, t_c) == pytest.approx(theirs, abs=apart)


def test_15_per_cent_at_20_celsius_as_handbooks_recall_it():
    # from memory, CRC and Perry at 20 C: 1102.0 kg/m3; a band of 1 kg/m3, not a limit
    assert density_kg_per_m3(15.0, 20.0) == pytest.approx(1102.0, abs=1.0)


@pytest.mark.parametrize(("water", "t_c"), [(WATER_AT_60_F, SIXTY_F_C), (WATER_AT_25_C, 25.0)])
def test_water_that_relative_densities_are_told_against(water, t_c):
    # IAPWS-95 by chemicals, at 1 atm
    assert water.value == pytest.approx(iapws95_rho(t_c + 273.15, 101325.0) * 1e-3, abs=1e-5)


@pytest.mark.parametrize(("wt_pct", "sg"), [
    (5, 1.0343), (10, 1.0692), (20, 1.1433), (25, 1.1824), (30, 1.2228), (35, 1.2643), (40, 1.3073),
])  # fmt: skip
def test_relative_density_at_60_fahrenheit(wt_pct, sg):
    # International Critical Tables over water at 60 F, worked out by hand at its own rows
    assert relative_density(float(wt_pct)) == pytest.approx(sg, abs=1.1e-4)


@pytest.mark.parametrize(("degrees", "wt_pct"), [
    (5, 5.28), (10, 10.77), (15, 16.38), (18, 19.89), (20, 22.25), (25, 28.28), (30, 34.63),
])  # fmt: skip
def test_degrees_baume_of_ferguson_and_talbot(degrees, wt_pct):
    # from memory, Ferguson & Talbot's table; sg = 145 / (145 - Be): within 0.15 wt% of it
    ours = wt_pct_at_relative_density(relative_density_at_baume(float(degrees)))
    assert ours == pytest.approx(wt_pct, abs=0.15)


def test_battery_acid_of_1_265_is_not_1_265_grams_a_cubic_centimetre():
    # Laliberte (2009) by thermo: the strength whose density over that of water is 1.265, both at 25 C
    water = iapws95_rho(298.15, 101325.0)
    low, high = 30.0, 40.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        sg = Laliberte_density(298.15, [middle / 100.0], ["7664-93-9"]) / water
        low, high = (middle, high) if sg < 1.265 else (low, middle)
    assert battery_acid(1.265).wt_pct == pytest.approx(low, abs=0.17)  # 1.6 kg/m3 apart, as above
    assert wt_pct_at_density(1.265, 25.0) - low > 0.35
