"""How even the current is over the outsides of the parts in a tank: what the acid drops against what the wall drops.

Where the current shares itself out by V0, the density differs by the drop in the acid over V0. In the tank that is
Ohm's law along the ways to the parts: half the width, half a gap between strips, what lies below them. At the parts the
current gathers as on balls of their area.
"""

import math

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


def drop_per_mm(
    length_mm: float, width_mm: float, depth_mm: float, open_mm: float = 0.0, below_mm: float = 0.0
) -> float:
    """What the drops between two walls of strips add up to for each area that takes current [1/mm].

    The liquid along the row, across it and down; open_mm is half the gap between two strips, below_mm from their lower
    ends to the floor.
    """
    return (0.25 * width_mm**2 + 0.5 * open_mm**2 + 0.5 * below_mm**2) / (length_mm * width_mm * depth_mm)


def unevenness(area: Figure, part_mm2: float, tank_per_mm: float, wagner_length: Figure) -> Figure:
    """How far the density on the outside strays from its mean, either way, in per cent of it.

    area [mm2] takes the current of the load, part_mm2 is that of its largest part; tank_per_mm is the drop_per_mm of
    the tank. wagner_length [mm] is at the density on the outside.

    >>> drop = drop_per_mm(320.0, 125.0, 250.0)
    >>> made = unevenness(given("area", 13000.0, "mm2"), 7000.0, drop, given("l", 1500.0, "mm"))
    >>> round(made.estimate.value, 2), round(made.estimate.high, 2)
    (0.67, 1.91)
    """
    part = given("area of the largest part", part_mm2, "mm2", Source(Kind.DERIVED, "from the parts"))
    source = Source(Kind.DERIVED, "from the tank")
    across = given("volts lost on the way, for an area", tank_per_mm, "1/mm", source)

    def formula(a: float, one: float, drop: float, wagner_mm: float, seen: float) -> float:
        return 100.0 * seen * (a * drop + math.sqrt(one / (4.0 * math.pi))) / wagner_mm

    return worked(
        "density on the outside varies by", "%",
        "share x (area x volts lost for an area + radius of a ball of the largest part's area) / reach of the current",
        _DROPS, formula, area, part, across, wagner_length, constant("how much of that shows", SEEN),
    )  # fmt: skip
