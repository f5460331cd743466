"""How even the current is over the outsides of the parts in a tank: what the acid drops against what the wall drops.

Where the current shares itself out by V0, the density differs by the drop in the acid over V0. In the tank that is
Ohm's law along the ways to the parts: half the width, half a gap between strips, what lies below them. At the parts the
current gathers as on balls of their area.
"""

import math
from dataclasses import dataclass

from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

SEEN = Constant(
    0.35, "", Source(Kind.DERIVED, "finite volumes of 50 rows of 1 to 12 boxes between two walls of strips, 20 to 135 "
                     "mm from them: 0.12 to 0.88 of that"),
    low=0.1, high=1.0,
)  # fmt: skip
"""How far the density strays from its mean, over what all drops together would make of it."""
MATTERS = Constant(3.0, "%", Source(Kind.COMMON_PRACTICE, "less is not seen in a dyed coating"))
_DROPS = Source(Kind.DERIVED, "Ohm's law in the acid: less reaches far parts; a part shades itself as a ball does")


@dataclass(frozen=True, slots=True)
class BetweenStrips:
    """The liquid between two walls of strips [mm], along the row, across it and down, and what no strip covers.

    open_mm is half the gap between two strips, below_mm from their lower ends to the floor.
    """

    length_mm: float
    width_mm: float
    depth_mm: float
    open_mm: float = 0.0
    below_mm: float = 0.0

    @property
    def per_area_per_mm(self) -> float:
        """What the drops add up to for each area that takes current [1/mm]."""
        volume_mm3 = self.length_mm * self.width_mm * self.depth_mm
        return (0.25 * self.width_mm**2 + 0.5 * self.open_mm**2 + 0.5 * self.below_mm**2) / volume_mm3


def unevenness(area: Figure, part_mm2: float, ways: BetweenStrips, wagner_length: Figure) -> Figure:
    """How far the density on the outside strays from its mean, either way, in per cent of it.

    area [mm2] takes the current of the load, part_mm2 is that of its largest part. wagner_length [mm] is at the density
    on the outside.

    >>> gaps = BetweenStrips(320.0, 125.0, 250.0)
    >>> made = unevenness(given("area", 13000.0, "mm2"), 7000.0, gaps, given("l", 1500.0, "mm"))
    >>> round(made.estimate.value, 2), round(made.estimate.high, 2)
    (0.67, 1.91)
    """
    part = given("area of the largest part", part_mm2, "mm2", Source(Kind.DERIVED, "from the parts"))
    lost, source = "volts lost on the way, for an area", Source(Kind.DERIVED, "from the tank")
    across = given(lost, ways.per_area_per_mm, "1/mm", source)

    def formula(a: float, one: float, drop: float, wagner_mm: float, seen: float) -> float:
        return 100.0 * seen * (a * drop + math.sqrt(one / (4.0 * math.pi))) / wagner_mm

    return worked(
        "density on the outside varies by", "%",
        "share x (area x volts lost for an area + radius of a ball of the largest part's area) / reach of the current",
        _DROPS, formula, area, part, across, wagner_length, constant("how much of that shows", SEEN),
    )  # fmt: skip
