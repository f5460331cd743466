"""Metals of racks, cathodes and buses: resistivity, its rise with temperature, density."""

from dataclasses import dataclass

from areacalc.errors import BadInput, UnknownName
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
        """The resistivity at a temperature [ohm mm].

        >>> round(METALS["copper"].resistivity_ohm_mm() * 1e5, 4)
        1.7241
        """
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
    """The metal of that name. Raises UnknownName; BadInput for one that may not be used there.

    >>> metal("titanium").name
    'titanium grade 2'
    """
    word = name.strip().lower().replace("aluminum", "aluminium")
    word = _SPOKEN.get(word, word)
    eaten = ("steel", "brass", "copper", "bronze", "iron", "zinc", "magnesium", "nickel")
    if allowed and word not in allowed and any(bad in word for bad in eaten):
        raise BadInput(where, f"{name} is eaten by the acid and spoils the bath", f"use {' or '.join(allowed)}")
    if word not in (allowed or METALS):
        raise UnknownName.among(where, name, allowed or METALS)
    return METALS[word]
