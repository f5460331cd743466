"""Heat capacity of the bath: our table is still what it was made from, and lines between its rows cost little."""

import pytest
from thermo.electrochem import Laliberte_heat_capacity

from areacalc.bath.heat import heat_capacity_j_per_kg_k, heat_capacity_kj_per_l_k

ACID = ["7664-93-9"]


@pytest.mark.parametrize("wt_pct", [7.0, 15.0, 38.0])
@pytest.mark.parametrize("t_c", [0.0, 20.0, 22.5])
def test_heat_capacity_between_the_rows_of_our_table(wt_pct, t_c):
    # Laliberte, J. Chem. Eng. Data 54 (2009) 1725; straight lines over 5 wt% and 5 K cost less than 0.1 %
    theirs = Laliberte_heat_capacity(t_c + 273.15, [wt_pct / 100.0], ACID)
    assert heat_capacity_j_per_kg_k(wt_pct, t_c) == pytest.approx(theirs, rel=1e-3)


def test_a_litre_of_bath_holds_four_kilojoules_a_degree():
    # derived: 1.13 kg/L x 3.56 kJ/(kg K) = 4.02 kJ/(L K) at 18 wt%
    assert heat_capacity_kj_per_l_k(18.0, 20.0) == pytest.approx(4.02, abs=0.01)
