"""How far the meters at the tank may be off."""

import math
from dataclasses import dataclass

from areacalc.bath.voltage import METER_V
from areacalc.errors import BadInput
from areacalc.sources import Constant, Kind, Source

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
    """The standard uncertainty of a reading that is off by at most so much, in its unit (`EVEN`).

    >>> round(standard(0.3), 4)
    0.1732
    """
    return tolerance / math.sqrt(3.0)
