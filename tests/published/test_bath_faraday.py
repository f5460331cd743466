"""Faraday's law and what follows from it: CODATA in scipy.constants, atomic masses in periodictable."""

import periodictable
import pytest
from scipy.constants import physical_constants

from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.dissolved import ACID_PER_ALUMINIUM
from areacalc.bath.electrolyte import MOLAR_MASS_ACID
from areacalc.bath.etch import CAUSTIC_PER_ALUMINIUM, MOLAR_MASS_CAUSTIC
from areacalc.bath.film import (
    ALUMINIUM_DENSITY,
    FARADAY,
    MG_PER_C_OXIDE,
    MOLAR_MASS_ALUMINIUM,
    UM_312,
    UM_720,
    aluminium_oxidised_g,
    film_g,
    film_um,
    metal_depth_um,
)
from areacalc.bath.mixing import MOLAR_MASS_WATER

AL, OX, H, S, NA = (getattr(periodictable, name).mass for name in ("Al", "O", "H", "S", "Na"))
F = physical_constants["Faraday constant"][0]


def test_constants_of_nature():
    # CODATA 2018 by scipy.constants
    assert pytest.approx(F, rel=1e-10) == FARADAY.value
    assert pytest.approx(physical_constants["molar gas constant"][0], rel=1e-12) == GAS_CONSTANT.value


@pytest.mark.parametrize(("ours", "theirs"), [
    (MOLAR_MASS_ALUMINIUM, AL), (MOLAR_MASS_ACID, 2 * H + S + 4 * OX), (MOLAR_MASS_WATER, 2 * H + OX),
    (MOLAR_MASS_CAUSTIC, NA + OX + H),
])  # fmt: skip
def test_molar_masses(ours, theirs):
    # IUPAC atomic masses by periodictable; ours are rounded to the digits printed
    assert ours.value == pytest.approx(theirs, rel=1e-4)


def test_metal_and_oxide_by_the_ampere_hour():
    # Faraday's law: M / (3 F) and M / (6 F); 0.33557 and 0.63405 g/Ah
    assert aluminium_oxidised_g(1.0) == pytest.approx(3600.0 * AL / (3.0 * F), rel=1e-6)
    assert pytest.approx(3600.0 * (2 * AL + 3 * OX) / (6.0 * F), rel=1e-6) == MG_PER_C_OXIDE * 3.6
    assert MG_PER_C_OXIDE * 3.6 / aluminium_oxidised_g(1.0) == pytest.approx(1.8894415, abs=1e-5)


def test_depth_of_metal():
    # derived: 60 s x 1 A / 1 dm2, 2.699 g/cm3: 0.2072204 um
    grams_per_cm2 = 60.0 / 100.0 * AL / (3.0 * F)
    assert metal_depth_um(1.0) == pytest.approx(grams_per_cm2 / 2.699 * 1e4, rel=1e-6)
    assert ALUMINIUM_DENSITY.value == periodictable.Al.density or ALUMINIUM_DENSITY.value == pytest.approx(
        2.7, abs=0.002
    )


@pytest.mark.parametrize(("density", "um"), [(2.4, 0.4403), (2.5, 0.4227), (2.7, 0.3914), (3.1, 0.3409), (3.2, 0.3302)])
def test_film_at_full_efficiency(density, um):
    # derived: Al2O3 by Faraday over the film's density, um for one A min/dm2
    assert film_um(1.0, density) == pytest.approx(um, abs=5.1e-5)
    assert film_um(1.0, density) == pytest.approx(0.6 * (2 * AL + 3 * OX) / (6.0 * F) / density * 1e4, rel=1e-6)


@pytest.mark.parametrize(("density", "least", "most"), [
    (2.4, 0.728, 0.745), (2.5, 0.758, 0.776), (2.7, 0.818, 0.838), (3.1, 0.940, 0.962),
])  # fmt: skip
def test_the_efficiency_that_the_charge_rules_imply(density, least, most):
    # derived from the two forms of the rule (Products Finishing): 0.74-0.78 at 2.4-2.5, 0.82-0.84, 0.94-0.96 g/cm3
    oxide_g = 3600.0 * (2 * AL + 3 * OX) / (6.0 * F)
    assert film_g(1.0, UM_312, density) / oxide_g == pytest.approx(least, abs=0.001)
    assert film_g(1.0, UM_720, density) / oxide_g == pytest.approx(most, abs=0.002)


def test_acid_and_caustic_that_aluminium_binds():
    # derived from atomic masses: Al2(SO4)3 5.452 g acid, Na[Al(OH)4] 1.482 g caustic, for each gram of aluminium
    assert ACID_PER_ALUMINIUM.value == pytest.approx(1.5 * (2 * H + S + 4 * OX) / AL, rel=1e-4)
    assert ACID_PER_ALUMINIUM.value == pytest.approx(5.452, abs=5e-4)
    assert CAUSTIC_PER_ALUMINIUM.value == pytest.approx((NA + OX + H) / AL, rel=1e-4)
    assert CAUSTIC_PER_ALUMINIUM.value == pytest.approx(1.482, abs=5e-4)
