"""Heats of reaction from enthalpies of formation: CRC Handbook tables as held in chemicals."""

import pytest
from chemicals.reaction import Hfl, Hfs
from scipy.constants import physical_constants

from areacalc.bath.electrolyte import acid_g_per_l
from areacalc.bath.etch import HEAT_PER_ALUMINIUM
from areacalc.bath.film import MOLAR_MASS_ALUMINIUM
from areacalc.bath.heat import CHEMICAL_TERM, DISSOLVED_TERM, ICE_HEAT, heat_held
from areacalc.bath.mixing import heat_of_solution_kj_per_mol, mixing_rise_k
from areacalc.figure import given

F = physical_constants["Faraday constant"][0]
WATER, ACID, ALUMINA = "7732-18-5", "7664-93-9", "1344-28-1"


def test_the_heat_of_the_oxide():
    # 2 Al + 3 H2O -> Al2O3 + 3 H2, 6 electrons: 1.413 V on top of the tank's volts
    kj = -(Hfs(ALUMINA) - 3.0 * Hfl(WATER)) / 1e3
    assert kj == pytest.approx(818.2, abs=0.3)
    assert CHEMICAL_TERM.value == pytest.approx(kj * 1e3 / (6.0 * F), rel=5e-4)


def test_the_heat_of_metal_that_dissolves():
    # 2 Al + 6 H+ -> 2 Al3+ + 3 H2, Al3+(aq) -531 kJ/mol (CRC aqueous ions): 1.834 V
    assert DISSOLVED_TERM.value == pytest.approx(2.0 * 531e3 / (6.0 * F), rel=1e-6)
    assert CHEMICAL_TERM.high == DISSOLVED_TERM.value


def test_the_heat_of_the_etch():
    # 2 Al + 2 OH- + 6 H2O -> 2 Al(OH)4- + 3 H2; Al(OH)4- -1502.5, OH- -230.0 (CRC), water by chemicals: 15.4 kJ/g
    kj = 2.0 * 1502.5 - 2.0 * 230.0 + 6.0 * Hfl(WATER) / 1e3
    assert kj == pytest.approx(830.0, abs=0.5)
    assert HEAT_PER_ALUMINIUM.value == pytest.approx(kj / (2.0 * MOLAR_MASS_ALUMINIUM.value), rel=1e-3)
    assert HEAT_PER_ALUMINIUM.value == pytest.approx(15.4, abs=0.05)


def test_the_heat_of_solution_lies_between_one_proton_and_two():
    # H2SO4(l) -814.0 by chemicals; HSO4-(aq) -887.3, SO4--(aq) -909.3 (CRC): 73.3 and 95.3 kJ/mol
    one, two = (Hfl(ACID) / 1e3 - ion for ion in (-887.3, -909.3))
    assert (one, two) == pytest.approx((73.3, 95.3), abs=0.2)
    assert heat_of_solution_kj_per_mol(50.0) == pytest.approx(one, abs=0.5)
    assert one < heat_of_solution_kj_per_mol(1e9) < two + 1.0


def test_ice_takes_the_heat_of_fusion():
    # heat of fusion of water 6.010 kJ/mol (chemicals) over 18.015 g/mol
    from chemicals.phase_change import Hfus

    assert ICE_HEAT.value == pytest.approx(Hfus(WATER) / 18.015, rel=1e-3)


def heat_w(current_a, voltage_v):
    return current_a * (voltage_v + CHEMICAL_TERM.value)


def warms_k(heat_in_w, volume_l, seconds):
    bath = given("bath", volume_l, "L"), given("acid", acid_g_per_l(18.0), "g/L"), given("t", 20.0, "C")
    return heat_in_w * seconds * 1e-3 / heat_held(*bath).estimate.value


@pytest.mark.parametrize(("volts", "w_per_a_per_l", "k_per_h"), [
    (12.0, 13.4, 12.0), (15.0, 16.4, 14.7), (18.0, 19.4, 17.4), (30.0, 31.4, 28.1), (50.0, 51.4, 46.0),
])  # fmt: skip
def test_warming_of_a_litre_by_an_ampere(volts, w_per_a_per_l, k_per_h):
    # derived: I (V + 1.413) over 1.13 kg/L x 3.56 kJ/(kg K)
    assert heat_w(1.0, volts) == pytest.approx(w_per_a_per_l, abs=0.051)
    assert warms_k(heat_w(1.0, volts), 1.0, 3600.0) == pytest.approx(k_per_h, rel=0.005)


def test_fifteen_amperes_in_thirty_litres():
    # derived: 15 A at 15 V for 40 min warm 30 L by 4.9 K; 1 m2 at 1.5 A/dm2 and 15 V gives 2.46 kW
    assert warms_k(heat_w(15.0, 15.0), 30.0, 2400.0) == pytest.approx(4.9, abs=0.05)
    assert heat_w(150.0, 15.0) == pytest.approx(2460.0, abs=5.0)


@pytest.mark.parametrize(("stock", "bath", "table", "thomsen"), [
    (98.0, 10.0, 18.4, 17.9), (98.0, 20.0, 39.7, 37.7), (96.0, 15.0, 27.1, 25.9), (96.0, 18.0, 33.3, 31.5),
    (93.0, 20.0, 34.2, 32.2), (37.0, 18.0, 3.6, 3.6), (33.5, 20.0, 2.5, 2.9),
])  # fmt: skip
def test_rise_on_mixing(stock, bath, table, thomsen):
    # from memory, Felder & Rousseau table B.11 and Thomsen's form: a band of half a degree for the
    # lines between rows, no limit
    rise = mixing_rise_k(stock, bath)
    assert rise.value == pytest.approx(table, abs=0.55)
    assert rise.low - 0.55 <= min(table, thomsen)
    assert max(table, thomsen) <= rise.high + 0.55
