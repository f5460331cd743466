"""Warmth of conductors against other people's code and data.

Sources: Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, as the open library `ht` holds it; U.S. Standard
Atmosphere 1976, as the open library `fluids` holds it; densities of the elements from `periodictable`.
"""

import math

import fluids
import ht
import periodictable
import pytest
from fluids.constants import g

from areacalc.plant.metal import METALS, loss_w_per_m


@pytest.mark.parametrize("rise_k", [1.0, 10.0, 30.0, 100.0])
@pytest.mark.parametrize("diameter_mm", [1.0, 3.0, 12.0, 40.0])
def test_convection_from_a_cylinder(rise_k, diameter_mm):
    film_k = 298.15 + 0.5 * rise_k
    air = fluids.ATMOSPHERE_1976
    viscosity, conductivity = air.viscosity(film_k), air.thermal_conductivity(film_k)
    density = 101325.0 / (287.053 * film_k)
    prandtl = viscosity * 1004.68 / conductivity
    grashof = g * rise_k * (diameter_mm * 1e-3) ** 3 / film_k * (density / viscosity) ** 2
    nusselt = ht.Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=grashof)
    expected = nusselt * conductivity * math.pi * rise_k  # h pi D dT = Nu k pi dT
    bare = loss_w_per_m(rise_k, math.pi * diameter_mm, 25.0, emissivity_value=0.0)
    assert bare == pytest.approx(expected, rel=1e-4)


def test_radiation_from_a_black_surface():
    black = loss_w_per_m(30.0, 1000.0, 25.0, 1.0) - loss_w_per_m(30.0, 1000.0, 25.0, 0.0)
    assert black == pytest.approx(5.670374419e-8 * (328.15**4 - 298.15**4), rel=1e-9)


@pytest.mark.parametrize(("name", "element"), [
    ("copper", "Cu"), ("lead", "Pb"), ("titanium grade 2", "Ti"), ("aluminium 1100", "Al"),
])  # fmt: skip
def test_density_of_the_metals(name, element):
    # the sources differ in the third figure
    assert METALS[name].density.value == pytest.approx(getattr(periodictable, element).density, rel=0.008)
