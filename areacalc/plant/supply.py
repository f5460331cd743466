"""The power supply: what it holds steady and what it can give; and how far the meters at the tank may be off."""

import math
from dataclasses import dataclass
from enum import StrEnum

from areacalc.bath.voltage import METER_V
from areacalc.errors import BadInput, OutOfRange
from areacalc.sources import Constant, Kind, Source

LONG_RUN_SHARE = Constant(
    0.8, "", Source(Kind.COMMON_PRACTICE, "a supply that runs for hours is loaded to at most 80 % of its rating")
)


MOST_SHOWN = 1.1
"""Chosen: of its limit. A power supply sold for 30 V may go to 32, and a meter reads a little high; more is a slip."""


class Mode(StrEnum):
    CURRENT = "constant current"
    VOLTAGE = "constant voltage"


@dataclass(frozen=True, slots=True)
class Supply:
    """A direct-current supply with its limits. Raises BadInput: a limit that is missing or not above zero.

    ramp_s: time over which the setting is brought up from nothing.
    """

    limit_a: float
    limit_v: float
    mode: Mode = Mode.CURRENT
    ramp_s: float = 0.0

    @property
    def holds_volts(self) -> bool:
        return self.mode is Mode.VOLTAGE

    def __post_init__(self) -> None:
        for name, limit, unit in (("current", self.limit_a, "A"), ("voltage", self.limit_v, "V")):
            if not 0.0 < limit < math.inf:
                raise BadInput("supply", f"its {name} limit is {limit:g} {unit}", f"give its largest {unit}")
        if not 0.0 <= self.ramp_s < math.inf:
            raise BadInput("supply", "the ramp must be 0 min or longer", "give a time such as '5 min'")


def refuse_more(value: float | None, most: float | None, unit: str, where: str, remedy: str = "read it again") -> None:
    """Refuse more volts or amperes than a power supply of a known limit shows. Raises OutOfRange."""
    if value is not None and most is not None and value > MOST_SHOWN * most:
        raise OutOfRange(where, f"{value:g} {unit} cannot be: the power supply gives {most:g} {unit}", remedy)


def with_ramp_s(full_s: float, ramp_s: float) -> float:
    """The time of a run [s] from the time its charge takes at full current and the ramp, which gives half the charge.

    A run whose charge is there before the ramp is over ends in it.

    >>> with_ramp_s(600.0, 300.0), with_ramp_s(37.5, 300.0)
    (750.0, 150.0)
    """
    return full_s + 0.5 * ramp_s if full_s >= 0.5 * ramp_s else math.sqrt(2.0 * full_s * ramp_s)


AMPS = Constant(0.01, "", Source(Kind.COMMON_PRACTICE, "panel meters are sold to 1 % of what they read"))
TEMPERATURE = Constant(0.5, "K", Source(Kind.COMMON_PRACTICE, "a bath thermometer is read to half a degree"))
EVEN = Source(
    Kind.PUBLISHED, "JCGM 100:2008, 4.3.7: what lies anywhere within +/- a has a standard uncertainty of a / sqrt(3)"
)
_LOOSEST_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class Meters:
    """The most that each meter is off: volts [V], amperes as a share of what is read, the bath [K].

    Raises BadInput for an ammeter that tells nothing.
    """

    volts_v: float = METER_V.value
    amps_share: float = AMPS.value
    temperature_k: float = TEMPERATURE.value

    def __post_init__(self) -> None:
        if not 0.0 <= self.amps_share <= _LOOSEST_SHARE:
            raise BadInput("ammeter", f"{100.0 * self.amps_share:g} % off tells nothing", "give a share such as '1 %'")


SHOP_METERS = Meters()
"""Meters of a small shop, where the load says nothing else."""


def standard(tolerance: float) -> float:
    """The standard uncertainty of a reading that is off by at most so much, in its unit (`EVEN`)."""
    return tolerance / math.sqrt(3.0)
