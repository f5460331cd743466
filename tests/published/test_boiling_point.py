"""Where the bath is taken to boil, against the vapour pressure of water as IAPWS publishes it.

W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783 (IAPWS SR1-86(1992)), equation 1: ln(p / pc) = (Tc / T) sum
a_i theta^n_i, with theta = 1 - T / Tc, Tc = 647.096 K, pc = 22.064 MPa.
"""

import math

import pytest

from areacalc.bath.electrolyte import BOILING, kelvin

TERMS = ((-7.85951783, 1.0), (1.84408259, 1.5), (-11.7866497, 3.0), (22.6807411, 3.5), (-15.9618719, 4.0),
         (1.80122502, 7.5))  # fmt: skip


def test_water_at_the_boiling_point_has_the_pressure_of_the_air():
    t_k = kelvin(BOILING.value)
    theta = 1.0 - t_k / 647.096
    pressure_pa = 22.064e6 * math.exp(647.096 / t_k * sum(a * theta**n for a, n in TERMS))
    assert pressure_pa == pytest.approx(101_325.0, rel=5e-4)
