"""Metals of racks, cathodes and buses, and current along a wire, bar or cable of them: drop, and how warm it gets."""

import math
from dataclasses import dataclass

from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.sources import Constant, Kind, Source

_MEMORY = Source(Kind.FROM_MEMORY, "handbook value, recalled; check before relying on it")
_CRC = Source(Kind.PUBLISHED, "CRC Handbook of Chemistry and Physics, physical constants, density near 20 C")
_IACS = Source(Kind.PUBLISHED, "International Annealed Copper Standard, 1.7241 microohm cm at 20 C")


@dataclass(frozen=True, slots=True)
class Metal:
    """A metal at 20 C; `stripped` says whether the film that grows on it in the bath must come off after each run."""

    name: str
    resistivity: Constant  # microohm cm
    rise_per_k: Constant  # of the resistivity, at 20 C
    density: Constant  # g/cm3
    stripped: bool = False
    note: str = ""

    def resistivity_ohm_mm(self, temperature_c: float = 20.0) -> float:
        """The resistivity at a temperature [ohm mm]."""
        rise = self.rise_per_k.value * (temperature_c - 20.0)
        return self.resistivity.value * 1e-5 * (1.0 + rise)


def _aluminium(name: str, resistivity: Constant, per_k: float, note: str = "") -> Metal:
    return Metal(
        name, resistivity, Constant(per_k, "1/K", _MEMORY), Constant(2.70, "g/cm3", _CRC), stripped=True, note=note
    )


METALS: dict[str, Metal] = {m.name: m for m in (
    Metal("copper", Constant(1.7241, "microohm cm", _IACS), Constant(0.00393, "1/K", _MEMORY),
          Constant(8.96, "g/cm3", _CRC), note="for bus and cable in the dry alone: the acid eats it"),
    _aluminium("aluminium 6063", Constant(
        3.35, "microohm cm", Source(Kind.REPORTED, "conductivity of 6063-T6, 51.5 % IACS, platers' forum 435/46"),
        low=3.1, high=3.6), 0.0035),
    _aluminium("aluminium 6061", Constant(
        4.01, "microohm cm", Source(Kind.REPORTED, "conductivity of 6061-T6, 43 % IACS, platers' forum 435/46")),
        0.003),
    _aluminium("aluminium 1100", Constant(2.95, "microohm cm", _MEMORY, low=2.9, high=3.0), 0.004),
    Metal("titanium grade 2", Constant(56.0, "microohm cm", _MEMORY, low=52.0, high=57.0),
          Constant(0.003, "1/K", _MEMORY), Constant(4.51, "g/cm3", _CRC),
          note="commercially pure; takes no coating that must be stripped; not for cold hard coating, it heats"),
    Metal("lead", Constant(20.8, "microohm cm", _MEMORY), Constant(0.0039, "1/K", _MEMORY),
          Constant(11.34, "g/cm3", _CRC), note="poisonous: gloves when handling it, its sludge is hazardous waste"),
)}  # fmt: skip

RACK_METALS = ("aluminium 6063", "aluminium 6061", "aluminium 1100", "titanium grade 2")
CATHODE_METALS = ("aluminium 6063", "aluminium 1100", "lead")
_SPOKEN = {
    "aluminium": "aluminium 6063", "aluminum": "aluminium 6063", "al": "aluminium 6063", "titanium": "titanium grade 2",
    "ti": "titanium grade 2", "grade 2": "titanium grade 2", "6063": "aluminium 6063", "6061": "aluminium 6061",
    "1100": "aluminium 1100", "cu": "copper", "pb": "lead",
}  # fmt: skip


def metal(name: str, allowed: tuple[str, ...] | None = None, where: str = "metal") -> Metal:
    """The metal of that name. Raises UnknownName; BadInput for one that may not be used there."""
    word = name.strip().lower().replace("aluminum", "aluminium")
    word = _SPOKEN.get(word, word)
    eaten = ("steel", "brass", "copper", "bronze", "iron", "zinc", "magnesium", "nickel")
    if allowed and word not in allowed and any(bad in word for bad in eaten):
        raise BadInput(where, f"{name} is eaten by the acid and spoils the bath", f"use {' or '.join(allowed)}")
    if word not in (allowed or METALS):
        raise UnknownName.among(where, name, allowed or METALS)
    return METALS[word]


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

    value, warm, cool = (balance(e) for e in (EMISSIVITY.value, EMISSIVITY.low, EMISSIVITY.high))
    return Estimate(value, min(cool, value), max(warm, value), ("how bright the metal is",))
