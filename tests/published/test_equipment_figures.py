"""Published figures of racks, bars, leads and air, each as its source gives it."""

import pytest

from areacalc.estimate import Estimate
from areacalc.plant.air import air_for
from areacalc.plant.metal import METALS, resistance_ohm, round_section_mm2


def test_drop_along_thin_wires():
    # derived: 0.01 rho[microohm cm] I / A[mm2] a metre; titanium grade 2 of 2 mm at 5 A 0.89 V, aluminium 6063 0.053 V
    section = round_section_mm2(2.0)
    titanium, aluminium = (
        5.0 * resistance_ohm(METALS[n], 1000.0, section).value for n in ("titanium grade 2", "aluminium 6063")
    )
    assert titanium == pytest.approx(0.89, abs=0.005)
    assert aluminium == pytest.approx(0.053, abs=0.0005)
    assert 13.0 < titanium / aluminium < 17.0


def test_thirty_amperes_want_one_and_a_half_cubic_metres_an_hour():
    # EN 50272-3: Q = 0.05 I with one cell and a factor of 5; IEEE 1635: 0.042 I for 1 %; openings 28 Q
    air = air_for(Estimate.exact(30.0))
    assert air.by_factor.estimate.value == pytest.approx(0.05 * 30.0, abs=0.015)
    assert air.by_share.estimate.value == pytest.approx(0.042 * 30.0 * 293.15 / 273.15, rel=0.005)  # theirs at 0 C
    assert air.opening.estimate.value == pytest.approx(28.0 * air.by_factor.estimate.value, rel=1e-12)
    assert air.for_hydrogen is air.by_factor


@pytest.mark.parametrize(("section_mm2", "ohm_per_km"), [(5.26, 3.277), (13.3, 1.296), (33.6, 0.513), (107.0, 0.161)])
def test_copper_by_the_wire_gauge(section_mm2, ohm_per_km):
    # American wire gauge tables, second-hand (a book of engineering tables on the web): 10, 6, 2 and 4/0 at 20 C
    assert resistance_ohm(METALS["copper"], 1e6, section_mm2).value == pytest.approx(ohm_per_km, rel=0.004)


def test_cables_of_the_standard_lose_no_less_than_ours():
    # IEC 60228 class 5, the most that a stranded cable may have: 13.3, 3.30, 0.780 ohm/km for 1.5, 6, 25 mm2; strands
    # are up to a sixth worse than solid copper of the nominal section
    for section, most in ((1.5, 13.3), (6.0, 3.30), (25.0, 0.780)):
        ours = resistance_ohm(METALS["copper"], 1e6, section).value
        assert most / 1.17 < ours < most
