"""Sizes as they are sold, metric and in inches: wire and rod, flat bar, cable, sheet, tubs by volume."""

import math
from dataclasses import dataclass

from areacalc.sources import Kind, Source

_IN, _GAL = 25.4, 3.785411784
IEC_60228 = Source(Kind.PUBLISHED, "IEC 60228: sections of copper conductors")
AWG = Source(Kind.PUBLISHED, "ASTM B258: the diameter of n AWG is 0.005 in x 92^((36 - n)/39)")
AS_SOLD = Source(Kind.COMMON_PRACTICE, "sizes that shops for metal and for tubs keep")


@dataclass(frozen=True, slots=True)
class Sold:
    """What is sold in one system: diameters of wire, width and thickness of bar, thickness of sheet [mm], cables by
    name and section [mm2], tubs to the brim [L], each the smallest first. step_mm, fine_mm: what sizes of a tank go by,
    and of what is sawn; wall_mm, strip_mm: its wall and the width of a cathode strip.
    """

    wires_mm: tuple[float, ...]
    bars_mm: tuple[tuple[float, float], ...]
    cables: tuple[tuple[str, float], ...]
    cable_source: Source
    sheet_mm: float
    tubs_l: tuple[float, ...]
    step_mm: float
    fine_mm: float
    wall_mm: float
    strip_mm: float

    def up(self, size_mm: float, fine: bool = False) -> float:
        """Up to the next whole step.

        >>> METRIC.up(331.0), INCHES.up(331.0) / 25.4, round(INCHES.up(75.0, fine=True), 3)
        (340.0, 13.5, 76.2)
        """
        mm = self.fine_mm if fine else self.step_mm
        return mm * math.ceil(size_mm / mm - 1e-9)

    def tub_l(self, least_l: float) -> float | None:
        """The smallest tub that holds so much [L]; None where none does.

        >>> METRIC.tub_l(21.5), METRIC.tub_l(500.0)
        (25.0, None)
        """
        return next((tub for tub in self.tubs_l if tub >= least_l), None)


def sold(inch: bool = False) -> Sold:
    """What is sold where sizes are told in mm, or in inches."""
    return INCHES if inch else METRIC


def awg_mm2(number: int) -> float:
    """The section of a wire by its American gauge [mm2]; 1/0 is 0, 2/0 is -1.

    >>> round(awg_mm2(10), 2), round(awg_mm2(-3), 1)
    (5.26, 107.2)
    """
    across_mm = 0.127 * math.pow(92.0, (36.0 - number) / 39.0)
    return 0.25 * math.pi * across_mm**2


def _gauges() -> tuple[tuple[str, float], ...]:
    named = [(f"{n} AWG", n) for n in (16, 14, 12, 10, 8, 6, 4, 2, 1)]
    return tuple((name, awg_mm2(n)) for name, n in (*named, *((f"{k}/0 AWG", 1 - k) for k in (1, 2, 3, 4))))


METRIC = Sold(
    wires_mm=(1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0),
    bars_mm=(
        (10.0, 3.0), (15.0, 3.0), (20.0, 3.0), (25.0, 3.0), (20.0, 5.0), (25.0, 5.0), (30.0, 5.0), (40.0, 5.0),
        (50.0, 5.0), (40.0, 10.0), (50.0, 10.0), (60.0, 10.0), (80.0, 10.0), (100.0, 10.0), (120.0, 10.0),
        (160.0, 10.0), (200.0, 10.0),
    ),
    cables=tuple((f"{mm2:g} mm2", mm2) for mm2 in (1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.)),
    cable_source=IEC_60228, sheet_mm=3.0,
    tubs_l=(5.0, 10.0, 12.0, 20.0, 25.0, 30.0, 32.0, 45.0, 60.0, 64.0, 84.0, 120.0, 200.0), step_mm=10.0, fine_mm=1.0,
    wall_mm=10.0, strip_mm=50.0,
)  # fmt: skip
INCHES = Sold(
    wires_mm=tuple(_IN * n / 32.0 for n in (2, 3, 4, 5, 6, 8, 10, 12, 16)),
    bars_mm=tuple(
        (_IN * wide, _IN * thick)
        for wide, thick in (
            (0.5, 0.125), (0.75, 0.125), (1.0, 0.125), (0.75, 0.25), (1.0, 0.25), (1.5, 0.25), (2.0, 0.25),
            (1.5, 0.375), (2.0, 0.375), (3.0, 0.375), (4.0, 0.375), (4.0, 0.5), (6.0, 0.375), (6.0, 0.5), (8.0, 0.5),
        )
    ),
    cables=_gauges(), cable_source=AWG, sheet_mm=_IN / 8.0,
    tubs_l=tuple(_GAL * gallons for gallons in (1.0, 2.0, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0, 30.0, 55.0)),
    step_mm=_IN / 2.0, fine_mm=_IN / 8.0, wall_mm=_IN * 3.0 / 8.0, strip_mm=2.0 * _IN,
)  # fmt: skip
