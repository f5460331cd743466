"""How a file's numbers were rounded, told from the numbers."""

from __future__ import annotations

import numpy as np

from areacalc.shape.kinds import Floats

SINGLE = 2.0**-23
"""The spacing of single-precision numbers near 1: what a binary STL rounds its corners to."""


def rounding_mm(points: Floats) -> float:
    """How far corners may lie from where they were meant: single precision, or the decimals of a text file [mm].

    >>> turn = np.arange(32.0)[:, None]
    >>> round(rounding_mm(np.round(9.0 * np.hstack([np.cos(turn), np.sin(turn), 0 * turn]), 3)), 6)
    0.0005
    """
    sample = points[:: max(1, len(points) // 2000)]
    least = float(np.abs(points).max(initial=0.0)) * SINGLE
    if len(np.unique(np.abs(sample))) < 24:  # few numbers, so a part drawn in round ones rather than rounded
        return least
    for decimals in range(2, 7):
        step = 10.0**-decimals
        if step < 8.0 * least:
            break
        if np.abs(sample - np.round(sample / step) * step).max() < least:
            return step / 2
    return least
