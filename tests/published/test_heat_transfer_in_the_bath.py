"""Heat transfer in still and in pumped acid: Churchill & Chu and the laminar plate as held in ht, with acid put in."""

import pytest
from ht.conv_free_immersed import Nu_vertical_plate_Churchill
from scipy.constants import g

from areacalc.bath.heat import COLD, STILL_POWER, TRANSFER, Agitation, surface_rise_k

ACID = {
    20.0: (1124.7, 3576.0, 1.504e-3, 0.57),  # 18 wt%: kg/m3, J/(kg K), Pa s by thermo (Laliberte); W/(m K) recalled
    0.0: (1136.8, 3540.0, 2.55e-3, 0.53),
}
EXPANSION = 5.3e-4  # 1/K, the slope of the density in the International Critical Tables
PLATE_M = 0.1


def by_churchill_chu(rise_k, bath_c):
    rho, cp, viscosity, k = ACID[bath_c]
    prandtl = cp * viscosity / k
    grashof = g * EXPANSION * rise_k * PLATE_M**3 / (viscosity / rho) ** 2
    return Nu_vertical_plate_Churchill(prandtl, grashof) * k / PLATE_M


@pytest.mark.parametrize("rise_k", [2.0, 5.0, 10.0, 20.0, 30.0])
def test_still_acid_by_churchill_and_chu(rise_k):
    ours = TRANSFER[Agitation.STILL].value * rise_k**STILL_POWER
    assert ours == pytest.approx(by_churchill_chu(rise_k, 20.0), rel=0.03)
    cold = ours * (1.0 - 20.0 * COLD.value)
    assert cold == pytest.approx(by_churchill_chu(rise_k, 0.0), rel=0.03)


@pytest.mark.parametrize("rise_k", [3.0, 10.0])
def test_the_rise_and_the_heat_belong_together(rise_k):
    flux = by_churchill_chu(rise_k, 20.0) * rise_k
    assert surface_rise_k(flux / 100.0, 20.0, Agitation.STILL) == pytest.approx(rise_k, rel=0.03)


@pytest.mark.parametrize("speed_m_per_s", [0.1, 0.3, 1.0])
def test_pumped_acid_along_a_plate_lies_within_the_bounds(speed_m_per_s):
    # laminar, 0.664 Re^0.5 Pr^(1/3), from memory of any textbook of heat transfer
    rho, cp, viscosity, k = ACID[20.0]
    nusselt = 0.664 * (rho * speed_m_per_s * PLATE_M / viscosity) ** 0.5 * (cp * viscosity / k) ** (1.0 / 3.0)
    held = TRANSFER[Agitation.PUMP]
    assert held.low * 0.98 <= nusselt * k / PLATE_M <= held.high
