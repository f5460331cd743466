"""How the bath is stirred, and how far the surface of the parts stands above it for that.

The heat of the run is made at the part's surface and leaves through the acid beside it, so the surface is warmer than
the bath: by the heat over the coefficient of heat transfer. The coefficients are worked out from correlations of other
fields; no measured one of an anodising bath was found.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from areacalc.arrays import Number
from areacalc.bath.electrolyte import ROOM_C
from areacalc.sources import Constant, Kind, Source


class Agitation(StrEnum):
    """What moves the bath past the parts during the run."""

    STILL = "still"
    AIR = "air"
    PUMP = "pump"


DEFAULT_AGITATION = Agitation.AIR
_PLATE = "Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323, from memory: a plate 100 mm high in 17 wt% acid"
STILL_POWER = 0.305
TRANSFER: dict[Agitation, Constant] = {
    Agitation.STILL: Constant(
        293.0, "W/(m2 K)", Source(
            Kind.DERIVED, f"{_PLATE} at 20 C, at a rise of 1 K; it grows as the rise to the {STILL_POWER}, within 1 % "
            "from 2 to 30 K; the width is that of the correlation and of other sizes"), 220.0, 380.0),
    Agitation.AIR: Constant(
        1000.0, "W/(m2 K)", Source(
            Kind.DERIVED, "20 C; between still acid and a fully bubbled column, 1520 to 2490 for 5 to 36 m3/h of air a "
            "m2 of bath by Deckwer's correlation, from memory"), 500.0, 2000.0),
    Agitation.PUMP: Constant(
        2000.0, "W/(m2 K)", Source(
            Kind.DERIVED, "20 C; laminar flow along 100 mm, 0.664 Re^0.5 Pr^(1/3), from memory: 690 at 0.1 m/s, 2180 "
            "at 1 m/s"), 700.0, 2500.0),
}  # fmt: skip
"""Heat transfer from surface to bath; of still acid at a rise of 1 K."""
COLD = Constant(
    0.008, "1/K", Source(Kind.DERIVED, "cold acid is thicker: all three correlations give 13 to 17 % less at 0 C")
)


def surface_rise_k(
    heat_w_per_dm2: Number, bath_c: Number, agitation: Agitation, transfer_w_per_m2_k: Number | None = None
) -> Number:
    """How far the surface stands above the bath [K] for the heat made on it; arrays as well. Derived.

    Moved acid carries off at least as much as still acid does.

    >>> [round(float(surface_rise_k(24.6, 20.0, way)), 1) for way in Agitation]
    [5.1, 2.5, 1.2]
    """
    still = TRANSFER[Agitation.STILL].value
    own = TRANSFER[agitation].value if transfer_w_per_m2_k is None else transfer_w_per_m2_k
    flux = 100.0 * heat_w_per_dm2 / (1.0 + COLD.value * (bath_c - ROOM_C))
    power = 1.0 / (1.0 + STILL_POWER)
    if agitation is Agitation.STILL:
        return (flux / own) ** power  # type: ignore[no-any-return]
    moved: Number = np.minimum(flux / own, (flux / still) ** power)
    return moved
