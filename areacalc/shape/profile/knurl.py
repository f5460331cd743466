"""Knurled lengths: the least and the most that a knurl can add to a smooth cylinder."""

from __future__ import annotations

import math

from areacalc.estimate import Estimate

KNURL_MOST = 1.0 / math.sin(math.pi / 4)
"""Area of a sharp, full-form 90 degree knurl (DIN 82) over the smooth cylinder's; rolled knurls stay below it."""


def knurled(smooth_area_mm2: float) -> Estimate:
    """The area of a knurled length from its smooth area [mm2]: between smooth and sharp full form, the middle taken.

    >>> round(knurled(100.0).high, 2)
    141.42
    """
    low, high = smooth_area_mm2, smooth_area_mm2 * KNURL_MOST
    return Estimate(0.5 * (low + high), low, high, "knurl, from smooth to sharp full form")
