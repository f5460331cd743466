"""What a charge can do at most: aluminium oxidised, oxide formed, and the depth of metal it takes."""

from __future__ import annotations

from areacalc.sources import Constant, Kind, Source

FARADAY = Constant(96485.33212, "C/mol", Source(Kind.PUBLISHED, "CODATA 2018; exact in the SI of 2019"))
_MASSES = Source(Kind.PUBLISHED, "IUPAC atomic masses 2021, as in periodictable 2.1.0")
MOLAR_MASS_ALUMINIUM = Constant(26.9815384, "g/mol", _MASSES)
MOLAR_MASS_OXYGEN = Constant(15.999, "g/mol", _MASSES)
ALUMINIUM_DENSITY = Constant(
    2.699, "g/cm3", Source(Kind.PUBLISHED, "density of pure aluminium at 20 C, as in handbooks of the elements")
)
FILM_DENSITY = Constant(
    2.5, "g/cm3", Source(Kind.FROM_MEMORY, "apparent density of porous coating, 2.3 to 2.7 typical"), low=2.3, high=2.7
)
SECONDS_PER_HOUR, SECONDS_PER_MINUTE = 3600.0, 60.0
MG_PER_C_ALUMINIUM = 1e3 * MOLAR_MASS_ALUMINIUM.value / (3.0 * FARADAY.value)
MG_PER_C_OXIDE = 1e3 * (2.0 * MOLAR_MASS_ALUMINIUM.value + 3.0 * MOLAR_MASS_OXYGEN.value) / (6.0 * FARADAY.value)
BY_FARADAY = Source(Kind.DERIVED, "Faraday's law, 3 electrons an atom: M / (3 F), Al2O3 of 6 F")


def aluminium_oxidised_g(charge_ah: float) -> float:
    """Aluminium that a charge oxidises [g]: M t I / (3 F).

    >>> round(aluminium_oxidised_g(1.0), 5)
    0.33557
    """
    return charge_ah * SECONDS_PER_HOUR * MG_PER_C_ALUMINIUM * 1e-3


def metal_depth_um(charge_a_min_per_dm2: float) -> float:
    """Depth of aluminium that becomes oxide or dissolves [um].

    >>> round(metal_depth_um(1.0), 5)
    0.20722
    """
    grams_per_cm2 = charge_a_min_per_dm2 * SECONDS_PER_MINUTE * 1e-2 * MG_PER_C_ALUMINIUM * 1e-3
    return grams_per_cm2 / ALUMINIUM_DENSITY.value * 1e4


def film_um(charge_a_min_per_dm2: float, film_density_g_per_cm3: float, efficiency: float = 1.0) -> float:
    """Film of a density that a charge forms at a mass efficiency from 0 to 1 [um].

    >>> round(film_um(1.0, 2.5), 4)
    0.4227
    """
    grams_per_cm2 = charge_a_min_per_dm2 * SECONDS_PER_MINUTE * 1e-2 * MG_PER_C_OXIDE * 1e-3
    return efficiency * grams_per_cm2 / film_density_g_per_cm3 * 1e4


def film_g(charge_ah: float, um_per_a_min_per_dm2: float, film_density_g_per_cm3: float) -> float:
    """Mass of the film [g] that a charge makes at a thickness per charge and a density.

    >>> round(film_g(1.0, 0.3277, 2.5), 4)
    0.4916
    """
    return charge_ah * 60.0 * um_per_a_min_per_dm2 * film_density_g_per_cm3 * 1e-2
