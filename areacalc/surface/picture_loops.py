"""The compiled loop that finds which triangle is seen at each pixel of a picture."""

from __future__ import annotations

import numpy as np

from areacalc.compiled import compiled
from areacalc.shape.kinds import Floats, Ints


@compiled
def nearest(spots: Floats, corners: Ints, width: int, height: int, keep: Floats) -> tuple[Ints, Floats]:
    """The nearest triangle (height, width) int32, -1 for none, and its height toward the eye (height, width).

    spots (p, 3): points as pixels right, pixels down and height toward the eye. keep (4,): only where
    keep . (right, down, toward, 1) >= 0 is drawn.
    """
    seen = np.full((height, width), -1, np.int32)
    toward = np.full((height, width), -np.inf)
    for row in range(len(corners)):
        ax, ay, az = spots[corners[row, 0]]
        bx, by, bz = spots[corners[row, 1]]
        cx, cy, cz = spots[corners[row, 2]]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if twice == 0.0:
            continue
        left = max(0, int(np.ceil(min(ax, bx, cx) - 0.5)))
        right = min(width - 1, int(np.floor(max(ax, bx, cx) - 0.5)))
        top = max(0, int(np.ceil(min(ay, by, cy) - 0.5)))
        bottom = min(height - 1, int(np.floor(max(ay, by, cy) - 0.5)))
        for j in range(top, bottom + 1):
            y = j + 0.5
            for i in range(left, right + 1):
                x = i + 0.5
                u = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / twice
                v = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / twice
                w = 1.0 - u - v
                if u < 0.0 or v < 0.0 or w < 0.0:
                    continue
                z = u * az + v * bz + w * cz
                if z > toward[j, i] and keep[0] * x + keep[1] * y + keep[2] * z + keep[3] >= 0.0:
                    toward[j, i] = z
                    seen[j, i] = row
    return seen, toward
