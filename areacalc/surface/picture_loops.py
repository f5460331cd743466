"""The compiled loop that finds which triangle is seen at each pixel of a picture."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints


def nearest(spots: Floats, corners: Ints, width: int, height: int, keep: Floats) -> tuple[Ints, Floats]:
    """The nearest triangle (height, width) int32, -1 for none, and its height toward the eye (height, width).

    spots (p, 3): points as pixels right, pixels down and height toward the eye. keep (4,): only where
    keep . (right, down, toward, 1) >= 0 is drawn.
    """
    seen = np.full((height, width), -1, np.int32)
    toward = np.full((height, width), -np.inf)
    with nogil:
        for row in range(len(corners)):
            a, b, c = corners[row, 0], corners[row, 1], corners[row, 2]
            ax, ay, az = spots[a, 0], spots[a, 1], spots[a, 2]
            bx, by, bz = spots[b, 0], spots[b, 1], spots[b, 2]
            cx, cy, cz = spots[c, 0], spots[c, 1], spots[c, 2]
            twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
            if twice == 0.0:
                continue
            left, right = int(math.ceil(min(ax, bx, cx) - 0.5)), int(math.floor(max(ax, bx, cx) - 0.5))
            top, bottom = int(math.ceil(min(ay, by, cy) - 0.5)), int(math.floor(max(ay, by, cy) - 0.5))
            for j in range(max(0, top), min(height, bottom + 1)):
                y = j + 0.5
                for i in range(max(0, left), min(width, right + 1)):
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
    return np.asarray(seen), np.asarray(toward)
