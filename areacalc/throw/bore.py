"""A bore as the current meets it: lengths of free section and skin between its mouths."""

import math
from dataclasses import dataclass

from areacalc.errors import BadInput


@dataclass(frozen=True, slots=True)
class Stretch:
    """One length of a bore: the section that the bath fills, the skin along it, and the flat skin at its inner end.

    end_mm2 is a shoulder, or the floor of the last one. An insulating rod in the bore takes its own section off
    section_mm2. Raises BadInput for a length or a section that is not above zero.
    """

    length_mm: float
    section_mm2: float
    wall_mm2: float
    end_mm2: float = 0.0

    def __post_init__(self) -> None:
        if not (self.length_mm > 0.0 and self.section_mm2 > 0.0 and self.wall_mm2 >= 0.0 and self.end_mm2 >= 0.0):
            raise BadInput("bore", f"is {self.length_mm:g} mm long and {self.section_mm2:g} mm2 across",
                           "give both above zero")  # fmt: skip

    @property
    def diameter_mm(self) -> float:
        """Of the round section of the same area."""
        return math.sqrt(4.0 * self.section_mm2 / math.pi)


@dataclass(frozen=True, slots=True)
class Bore:
    """A bore from its first mouth inward; a mouth that is shut (blind or plugged) is False.

    side: what openings along its length conduct, for each mm of it, over kappa; 0 where its wall is closed.
    Raises BadInput where no mouth is open or no skin is left.
    """

    stretches: tuple[Stretch, ...]
    first_open: bool = True
    last_open: bool = False
    side: float = 0.0

    def __post_init__(self) -> None:
        if not self.stretches or not (self.first_open or self.last_open) or self.skin_mm2 <= 0.0:
            raise BadInput("bore", "no surface of it meets the bath", "open a mouth, or leave the bore out")

    @property
    def depth_mm(self) -> float:
        return math.fsum(s.length_mm for s in self.stretches)

    @property
    def skin_mm2(self) -> float:
        """All that takes current: walls, shoulders, floor."""
        return math.fsum(s.wall_mm2 + s.end_mm2 for s in self.stretches)


def plain_bore(diameter_mm: float, depth_mm: float, through: bool = False, floor: bool = True) -> Bore:
    """A round bore of one diameter; blind unless it is through, its floor wet unless told.

    >>> bore = plain_bore(8.0, 110.0)
    >>> round(bore.skin_mm2, 1), bore.depth_mm
    (2814.9, 110.0)
    """
    section = 0.25 * math.pi * diameter_mm**2
    end = section if floor and not through else 0.0
    return Bore((Stretch(depth_mm, section, math.pi * diameter_mm * depth_mm, end),), last_open=through)


def slit_conducts(width_mm: float, bore_mm: float, wall_mm: float) -> float:
    """What a slit along a bore conducts, for each mm of its length, over kappa.

    Derived: the slit as a strip of bath, and on either side of it the half-plane up to a bore's radius and a wall
    beyond, each ln(4 distance / width) / pi.

    >>> round(slit_conducts(1.0, 10.0, 5.0), 3)
    0.14
    """
    inside, outside = 0.5 * bore_mm, 0.5 * bore_mm + wall_mm
    spread = sum(max(math.log(4.0 * away / width_mm), 0.0) for away in (inside, outside)) / math.pi
    return 1.0 / (wall_mm / width_mm + spread)
