"""Current along a wire, bar or cable: resistance, drop, and how warm the dry part of it gets."""

import math

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plant.metal import Metal
from areacalc.sources import Constant, Kind, Source

CHURCHILL_CHU = Source(
    Kind.PUBLISHED, "S. W. Churchill & H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, horizontal cylinder"
)
EMISSIVITY = Constant(
    0.1, "", Source(Kind.FROM_MEMORY, "bright to oxidised metal; check before relying on it"), 0.03, 0.3
)
STEFAN_BOLTZMANN = Constant(5.670374419e-8, "W/m2 K4", Source(Kind.PUBLISHED, "CODATA 2018"))
_R_AIR, _CP_AIR, _PRESSURE_PA, _G = 287.053, 1004.68, 101325.0, 9.80665


def resistance_ohm(metal: Metal, length_mm: float, section_mm2: float, temperature_c: float = 20.0) -> Estimate:
    """Resistance of a conductor: R = rho l / A, with the bounds of the metal's resistivity.

    Raises BadInput for a section that is not above zero or a length below it. Titanium, 2 mm round, 1 m:
    >>> from areacalc.plant.metal import METALS
    >>> round(resistance_ohm(METALS["titanium grade 2"], 1000.0, round_section_mm2(2.0)).value, 4)
    0.1783
    """
    if section_mm2 <= 0.0 or length_mm < 0.0:
        raise BadInput("conductor", f"{length_mm:g} mm long, {section_mm2:g} mm2 thick", "give sizes above zero")
    value = metal.resistivity_ohm_mm(temperature_c) * length_mm / section_mm2
    rho = metal.resistivity
    low, high = (value * ((end or rho.value) / rho.value) for end in (rho.low, rho.high))
    return Estimate(value, low, high, (f"resistivity of {metal.name}",) if low < high else ())


def round_section_mm2(diameter_mm: float) -> float:
    """Cross-section of a round wire [mm2]."""
    return 0.25 * math.pi * diameter_mm**2


def loss_w_per_m(rise_k: float, perimeter_mm: float, air_c: float = 25.0, emissivity_value: float = 0.1) -> float:
    """Heat a horizontal conductor gives to still air and a room as warm as the air [W/m].

    Convection of a cylinder of the same perimeter by Churchill & Chu, radiation by Stefan and Boltzmann.
    """
    if rise_k <= 0.0:
        return 0.0
    diameter_m, air_k = perimeter_mm * 1e-3 / math.pi, air_c + 273.15
    film_k = air_k + 0.5 * rise_k
    viscosity: float = 1.458e-6 * film_k**1.5 / (film_k + 110.4)  # Pa s
    conductivity: float = 2.64638e-3 * film_k**1.5 / (film_k + 245.4 * math.pow(10.0, -12.0 / film_k))  # W/m K
    kinematic = viscosity * _R_AIR * film_k / _PRESSURE_PA
    prandtl = viscosity * _CP_AIR / conductivity
    rayleigh = _G * rise_k * diameter_m**3 * prandtl / (film_k * kinematic**2)
    shape: float = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    nusselt: float = (0.60 + 0.387 * rayleigh ** (1.0 / 6.0) / shape) ** 2
    radiated: float = emissivity_value * STEFAN_BOLTZMANN.value * ((air_k + rise_k) ** 4 - air_k**4)
    return perimeter_mm * 1e-3 * (nusselt * conductivity / diameter_m * rise_k + radiated)


def rise_k(metal: Metal, current_a: float, section_mm2: float, perimeter_mm: float, air_c: float = 25.0) -> Estimate:
    """How much warmer than the air the dry part of a conductor gets when it has had time to [K].

    The balance of I2 rho(T) / A against `loss_w_per_m`; bounds from the surface's emissivity. At most 500 K is told:
    a conductor that would go further is lost anyway.
    """
    if section_mm2 <= 0.0 or perimeter_mm <= 0.0 or current_a < 0.0:
        raise BadInput("conductor", f"{current_a:g} A in {section_mm2:g} mm2", "give sizes and currents above zero")

    def balance(emissivity: float) -> float:
        low, high = 0.0, 500.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            made = current_a**2 * metal.resistivity_ohm_mm(air_c + middle) / section_mm2 * 1e3
            low, high = (
                (middle, high) if made > loss_w_per_m(middle, perimeter_mm, air_c, emissivity) else (low, middle)
            )
        return 0.5 * (low + high)

    assert EMISSIVITY.low is not None
    assert EMISSIVITY.high is not None
    value, warm, cool = (balance(e) for e in (EMISSIVITY.value, EMISSIVITY.low, EMISSIVITY.high))
    return Estimate(value, min(cool, value), max(warm, value), ("how bright the metal is",))
