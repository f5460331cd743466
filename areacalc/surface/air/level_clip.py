"""Triangles cut at a level: the area above it and the volume between it and them, in closed form."""

import numpy as np

from areacalc.shape.kinds import Floats


def above(height_mm: Floats, rounding_mm: float = 0.0) -> tuple[Floats, Floats]:
    """For triangles with corner heights (k, 3) over a level: the share above it, and the mean height times that share.

    Corners within rounding_mm of the level lie on it, and a triangle that lies on it wholly is not above it. The
    second, times a triangle's area seen from above, is the volume between the level and the part above it.

    >>> share, mean = above(np.array([[1.0, 1.0, 1.0], [1.0, -1.0, -1.0], [1.0, 1.0, -1.0], [-1.0, -1.0, -2.0]]))
    >>> share.tolist(), mean.round(6).tolist()
    ([1.0, 0.25, 0.75, 0.0], [1.0, 0.083333, 0.416667, 0.0])
    """
    height_mm = np.where(np.abs(height_mm) <= rounding_mm, 0.0, height_mm)
    low, middle, high = np.sort(height_mm, axis=1).T
    share, mean = np.zeros(len(high)), np.zeros(len(high))
    whole = (low >= 0.0) & (high > 0.0)
    share[whole], mean[whole] = 1.0, height_mm[whole].mean(axis=1)
    tip = (high > 0.0) & (middle <= 0.0) & ~whole
    part = high[tip] / (high[tip] - low[tip]) * (high[tip] / (high[tip] - middle[tip]))
    share[tip], mean[tip] = part, part * high[tip] / 3.0
    rest = (middle > 0.0) & (low < 0.0)
    part = low[rest] / (low[rest] - high[rest]) * (low[rest] / (low[rest] - middle[rest]))
    share[rest], mean[rest] = 1.0 - part, height_mm[rest].mean(axis=1) - part * low[rest] / 3.0
    return share, mean
