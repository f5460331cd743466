"""Hydrogen of a run and of an etch, the air that keeps it thin, and the limits on acid mist."""

from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.electrolyte import IN_A_ROOM, ROOM_C, kelvin
from areacalc.bath.film import FARADAY, MOLAR_MASS_ALUMINIUM
from areacalc.errors import BadInput
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

ATMOSPHERE_PA = Constant(101325.0, "Pa", Source(Kind.PUBLISHED, "standard atmosphere, exact"))
BY_CHARGE = Source(Kind.DERIVED, "2 H+ + 2 e -> H2, ideal gas, dry, 101325 Pa")
BALANCE = Source(Kind.DERIVED, "volume over volume, well mixed")
THIN_SHARE = Constant(
    0.01, "",
    Source(Kind.REPORTED, "IEEE 1635 as a firm reports it: at most 1 % by volume, a quarter of what burns"),
)  # fmt: skip
_NIOSH = "NIOSH IDLH page of sulphuric acid, 7664-93-9"
MIST_LIMITS: dict[str, Constant] = {
    "OSHA PEL": Constant(1.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "NIOSH REL": Constant(1.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "IDLH": Constant(15.0, "mg/m3", Source(Kind.PUBLISHED, _NIOSH)),
    "ACGIH TLV, thoracic": Constant(0.2, "mg/m3", Source(
        Kind.REPORTED, "ACGIH TLV-TWA as reported in an abstract; strong-acid mist is classed A2")),
    "EU indicative, thoracic": Constant(0.05, "mg/m3", Source(
        Kind.PUBLISHED, "Directive 2009/161/EU; Breuer et al., J. Environ. Monit., doi 10.1039/c2em10659k")),
    "Ontario": Constant(0.2, "mg/m3", Source(Kind.PUBLISHED, "safety tables of chemicals 1.5.2")),
}  # fmt: skip


def hydrogen_l_per_ah(temperature_c: float = ROOM_C) -> float:
    """Hydrogen that a charge gives off at the cathode [L/Ah at 1 atm, dry]: R T / (2F p). Derived.

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


def hydrogen(charge: Figure) -> Figure:
    """Hydrogen of a run [L] from its charge [Ah]."""
    air = given("air temperature", ROOM_C, "C", IN_A_ROOM)
    return worked("hydrogen", "L", "charge x R T / (2F p)", BY_CHARGE, lambda q, t: q * hydrogen_l_per_ah(t), charge,
                  air)  # fmt: skip


def air_flow(current: Figure, room_c: float = ROOM_C) -> Figure:
    """Air that keeps a run's hydrogen at or under 1 % by volume [m3/h], from its current [A].

    >>> round(air_flow(given("current", 30.0, "A")).estimate.value, 2)
    1.35
    """
    return worked("air to stay under 1 % hydrogen", "m3/h", "current x hydrogen per Ah / share", THIN_SHARE.source,
                  lambda i, t, share: i * hydrogen_l_per_ah(t) * 1e-3 / share, current,
                  given("air temperature", room_c, "C", IN_A_ROOM), constant("share allowed", THIN_SHARE))  # fmt: skip


def air_changes(air: Figure, room_m3: float) -> Figure:
    """How often an hour the air of a room [m3] must be changed for a flow of air [m3/h]. Raises BadInput."""
    return worked("air changes", "1/h", "air / room", BALANCE, lambda q, v: q / v, air, _room(room_m3))


def hydrogen_in_closed_room(hydrogen: Figure, room_m3: float) -> Figure:
    """Share [%] where all the hydrogen of a run [L] stays in a room [m3] whose air is not changed. Raises BadInput.

    >>> hydrogen_in_closed_room(given("hydrogen", 20.0, "L"), 40.0).estimate.value
    0.05
    """
    return worked("hydrogen if no air is changed", "%", "hydrogen / room", BALANCE, lambda h, v: h * 1e-3 / v * 100.0,
                  hydrogen, _room(room_m3))  # fmt: skip


def _room(room_m3: float) -> Figure:
    if room_m3 <= 0.0:
        raise BadInput("room", f"{room_m3:g} m3 must be above zero", "give its volume, such as '30 m3'")
    return given("air of the room", room_m3, "m3")
