"""Heat capacity of the bath: Laliberte (2009), as coded in thermo."""

from __future__ import annotations

import pytest
from thermo.electrochem import Laliberte_heat_capacity

from areacalc.bath.heat_capacity import heat_capacity_j_per_kg_k, heat_capacity_kj_per_l_k

ACID = ["7664-93-9"]


@pytest.mark.parametrize("wt_pct", [7.0, 12.5, 15.0, 17.5, 20.0, 22.5, 30.0, 38.0])
@pytest.mark.parametrize("t_c", [0.0, 7.5, 20.0, 22.5, 35.0])
def test_heat_capacity_between_the_rows_of_our_table(wt_pct, t_c):
    # Laliberte, J. Chem. Eng. Data 54 (2009) 1725; straight lines over 5 wt% and 5 K cost less than 0.1 %
    theirs = Laliberte_heat_capacity(t_c + 273.15, [wt_pct / 100.0], ACID)
    assert heat_capacity_j_per_kg_k(wt_pct, t_c) == pytest.approx(theirs, rel=1e-3)


@pytest.mark.parametrize(("wt_pct", "t_c", "cp"), [
    (10, 0, 3843), (10, 25, 3857), (15, 20, 3682), (20, 20, 3505), (20, 40, 3484), (25, 25, 3335), (30, 20, 3155),
])  # fmt: skip
def test_heat_capacity_as_tabulated(wt_pct, t_c, cp):
    # values returned by thermo 0.6.1 for Laliberte (2009), to the digit printed
    assert heat_capacity_j_per_kg_k(float(wt_pct), float(t_c)) == pytest.approx(cp, abs=0.6)


def test_a_litre_of_bath_holds_four_kilojoules_a_degree():
    # derived: 1.13 kg/L x 3.56 kJ/(kg K) = 4.02 kJ/(L K) at 18 wt%
    assert heat_capacity_kj_per_l_k(18.0, 20.0) == pytest.approx(4.02, abs=0.01)
