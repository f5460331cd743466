"""Whether liquid takes the place of the air in a narrow bore by itself: surface tension against weight."""

import functools
import math
from enum import StrEnum

from areacalc.sources import Constant, Kind, Source
from areacalc.surface.air.compressed import STANDARD_GRAVITY

CONTACT_ANGLE = Constant(
    20.0, "deg", Source(Kind.FROM_MEMORY, "aluminium on which water does not break; 60 where it was only degreased"),
    20.0, 60.0,
)  # fmt: skip
BRETHERTON = Constant(0.842, "", Source(Kind.PUBLISHED, "F. P. Bretherton, J. Fluid Mech. 10 (1961) 166"))
SLOSHING = Constant(1.841, "", Source(Kind.DERIVED, "liquid over air in a round bore, the lowest sideways wave"))


class Fill(StrEnum):
    """What becomes of the air in a narrow bore, or in a chamber behind one."""

    FILLS = "fills by itself"
    IN_DOUBT = "in doubt"
    HOLDS = "holds air"
    BY_HAND = "filled by hand"


def capillary_length_mm(tension_mn_per_m: float, density_kg_per_m3: float) -> float:
    """How far surface tension holds a liquid's surface up against its weight: sqrt(tension / (density g)) [mm].

    >>> round(capillary_length_mm(73.71, 1101.8), 2)
    2.61
    """
    return math.sqrt(tension_mn_per_m * 1e-3 / (density_kg_per_m3 * STANDARD_GRAVITY.value)) * 1e3


CAPILLARY_LENGTH = Constant(
    capillary_length_mm(73.71, 1101.8), "mm", Source(Kind.DERIVED, "acid of 15 wt% at 20 C, 73.7 mN/m (H. Vehkamaki et "
    "al., J. Geophys. Res. 107 (2002) 4622) and 1102 kg/m3 (International Critical Tables); 10 to 20 wt%, 0 to 25 C"),
    2.57, 2.69,
)  # fmt: skip


def stuck_mm(capillary_mm: float) -> float:
    """The bore in which a long bubble does not rise [mm]: density g r2 / tension under 0.842 (Bretherton 1961).

    >>> round(stuck_mm(2.61), 2), round(stuck_mm(2.72), 2)
    (4.79, 4.99)
    """
    return 2.0 * math.sqrt(BRETHERTON.value) * capillary_mm


def free_mm(capillary_mm: float) -> float:
    """The bore over which liquid above air changes places with it [mm]: r over 1.841 capillary lengths. Derived.

    >>> round(free_mm(2.61), 1)
    9.6
    """
    return 2.0 * SLOSHING.value * capillary_mm


def head_mm(diameter_mm: float, capillary_mm: float) -> float:
    """The head of liquid that the surface across a round mouth withstands at most [mm]: 4 tension / (density g d).

    Young and Laplace's law with the angle that withstands most.

    >>> round(head_mm(1.5, 2.61), 1)
    18.2
    """
    return 4.0 * capillary_mm**2 / diameter_mm


def reach_mm(diameter_mm: float, contact_deg: float) -> float:
    """How deep a blind bore may be for a front that runs over its mouth to touch the floor first [mm]: d / tan(angle).

    Derived: the front leaves the wall it has run down at the contact angle, and shuts the air in once it comes to the
    far lip. In two dimensions, the surface flat.

    >>> round(reach_mm(3.0, 20.0), 1), round(reach_mm(3.0, 60.0), 1)
    (8.2, 1.7)
    """
    return diameter_mm / math.tan(math.radians(contact_deg))


_LEAST_MM, _MOST_MM = CAPILLARY_LENGTH.low, CAPILLARY_LENGTH.high
STUCK_MM, FREE_MM = stuck_mm(CAPILLARY_LENGTH.value), free_mm(_MOST_MM)
"""A bubble does not rise in a bore under the first; over the second, in every bath, liquid and air change places."""
HOLDS_MM = stuck_mm(_LEAST_MM)
"""A bubble rises in no bath in a bore under this: between it and FREE_MM a blind bore may keep its air or fill."""


@functools.lru_cache
def blind(diameter_mm: float, depth_mm: float) -> tuple[Fill, bool]:
    """What becomes of the air behind one mouth that does not look down, and whether it more likely stays.

    depth_mm: from the mouth to the farthest point behind it. Shallow ones fill as the front runs over them.

    >>> blind(3.0, 20.0), blind(3.0, 1.5), blind(6.0, 20.0)[0].value
    ((<Fill.HOLDS: 'holds air'>, True), (<Fill.FILLS: 'fills by itself'>, False), 'in doubt')
    """
    if diameter_mm >= FREE_MM or depth_mm <= reach_mm(diameter_mm, CONTACT_ANGLE.high):
        return Fill.FILLS, False
    stays = diameter_mm < STUCK_MM and depth_mm > reach_mm(diameter_mm, CONTACT_ANGLE.value)
    return Fill.HOLDS if stays and diameter_mm < HOLDS_MM else Fill.IN_DOUBT, stays


def vented(diameter_mm: float, rise_mm: float) -> tuple[Fill, bool]:
    """What becomes of the air in a chamber with two mouths or more, and whether it more likely stays.

    diameter_mm: of the lowest mouth, which opens out into the chamber; rise_mm: from there to the highest mouth.
    The chamber fills while its highest mouth is still in the air if the head breaks the surface pinned at the inner end
    of the lowest: tension 4 sin(contact angle) / d, at most 4 / d. Derived.

    >>> vented(1.5, 40.0), vented(1.5, 0.0), vented(1.5, 10.0)[1]
    ((<Fill.FILLS: 'fills by itself'>, False), (<Fill.IN_DOUBT: 'in doubt'>, True), False)
    """
    most = head_mm(diameter_mm, _MOST_MM)
    if rise_mm >= most:
        return Fill.FILLS, False
    return Fill.IN_DOUBT, rise_mm < math.sin(math.radians(CONTACT_ANGLE.value)) * most
