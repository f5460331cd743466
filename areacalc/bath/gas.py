"""Hydrogen of a run and of an etch, the air that keeps it thin, and the limits on acid mist."""

from __future__ import annotations

from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.electrolyte import ROOM_C, kelvin
from areacalc.bath.faraday import FARADAY, MOLAR_MASS_ALUMINIUM
from areacalc.errors import BadInput
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

ATMOSPHERE_PA = Constant(101325.0, "Pa", Source(Kind.PUBLISHED, "standard atmosphere, exact"))
BY_CHARGE = Source(Kind.DERIVED, "2 H+ + 2 e -> H2, ideal gas, dry, 101325 Pa")
THIN_SHARE = Constant(
    0.01, "", Source(Kind.PUBLISHED, "IEEE 1635: at most 1 % by volume, a quarter of the lower flammable limit of 4 %")
)
_NIOSH = "NIOSH IDLH page of sulphuric acid, 7664-93-9"
MIST_LIMITS: dict[str, Constant] = {
    "OSHA PEL": Constant(1.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "NIOSH REL": Constant(1.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "IDLH": Constant(15.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "ACGIH TLV, thoracic": Constant(0.2, "mg/m3", Source(
        Kind.PUBLISHED, "ACGIH TLV-TWA as reported in an abstract; strong-acid mist is classed A2")),
    "EU indicative, thoracic": Constant(0.05, "mg/m3", Source(
        Kind.PUBLISHED, "Directive 2009/161/EU; Breuer et al., J. Environ. Monit., doi 10.1039/c2em10659k")),
    "Ontario": Constant(0.2, "mg/m3", Source(Kind.PUBLISHED, "safety tables of chemicals 1.5.2")),
}  # fmt: skip


def hydrogen_l_per_ah(temperature_c: float = ROOM_C) -> float:
    """Hydrogen that a charge gives off at the cathode [L/Ah at 1 atm, dry]: R T / (2 F p). Derived.

    >>> round(hydrogen_l_per_ah(0.0), 4), round(hydrogen_l_per_ah(20.0), 4)
    (0.4181, 0.4488)
    """
    mol = 3600.0 / (2.0 * FARADAY.value)
    return mol * GAS_CONSTANT.value * kelvin(temperature_c) / ATMOSPHERE_PA.value * 1e3


def hydrogen_l_per_g_aluminium(temperature_c: float = ROOM_C) -> float:
    """Hydrogen that an etch gives off for each gram of aluminium [L/g]: 3 H2 for 2 Al.

    >>> round(hydrogen_l_per_g_aluminium(0.0), 3), round(hydrogen_l_per_g_aluminium(20.0), 3)
    (1.246, 1.337)
    """
    mol = 1.5 / MOLAR_MASS_ALUMINIUM.value
    return mol * GAS_CONSTANT.value * kelvin(temperature_c) / ATMOSPHERE_PA.value * 1e3


def hydrogen(charge: Figure, room_c: float = ROOM_C) -> Figure:
    """Hydrogen of a run [L] from its charge [Ah]."""
    return worked("hydrogen", "L", "charge x R T / (2 F p)", BY_CHARGE,
                  lambda q, t: q * hydrogen_l_per_ah(t), charge, given("air temperature", room_c, "C"))  # fmt: skip


def air_m3_per_h(hydrogen_l_per_h: float, hydrogen_share: float = THIN_SHARE.value) -> float:
    """Air that thins a flow of hydrogen to a share by volume [m3/h].

    >>> round(air_m3_per_h(13.46), 2)
    1.35
    """
    if not 0.0 < hydrogen_share <= 0.04:
        raise BadInput("share of hydrogen", f"{hydrogen_share:g} is not below the flammable 0.04", "give 0.01")
    return hydrogen_l_per_h * 1e-3 / hydrogen_share


def air_flow(current: Figure, room_c: float = ROOM_C) -> Figure:
    """Air that keeps a run's hydrogen at or under 1 % by volume [m3/h], from its current [A]."""
    return worked("air to stay under 1 % hydrogen", "m3/h", "current x hydrogen per Ah / share", THIN_SHARE.source,
                  lambda i, t, share: air_m3_per_h(i * hydrogen_l_per_ah(t), share), current,
                  given("air temperature", room_c, "C"), constant("share allowed", THIN_SHARE))  # fmt: skip


def air_changes_per_h(air_m3_per_h: float, room_m3: float) -> float:
    """How often an hour the air of a room must be changed for a flow of air, the room's volume in m3."""
    if room_m3 <= 0.0:
        raise BadInput("room", f"{room_m3:g} m3 is no room", "give its volume in m3")
    return air_m3_per_h / room_m3


def hydrogen_share_in_closed_room(hydrogen_l: float, room_m3: float) -> float:
    """Share by volume where all the hydrogen of a run stays in a room whose air is not changed.

    >>> hydrogen_share_in_closed_room(20.0, 40.0)
    0.0005
    """
    if room_m3 <= 0.0:
        raise BadInput("room", f"{room_m3:g} m3 is no room", "give its volume in m3")
    return hydrogen_l * 1e-3 / room_m3
