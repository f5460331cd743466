"""The compiled sieve before triangles are held against each other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.compiled import compiled
from areacalc.shape.body import Floats, Ints


@compiled
def spanning(points: Floats, corners: Ints, pairs: Ints, slack_mm: float) -> NDArray[np.bool_]:
    """The pairs (p,) without a common corner in which each triangle has corners on both sides of the other's plane."""
    out = np.zeros(len(pairs), np.bool_)
    for p in range(len(pairs)):
        if pairs[p, 0] >= pairs[p, 1]:
            continue
        shared = False
        for i in range(3):
            for j in range(3):
                shared = shared or corners[pairs[p, 0], i] == corners[pairs[p, 1], j]
        if shared:
            continue
        both = True
        for side in range(2):
            one, two = corners[pairs[p, side]], corners[pairs[p, 1 - side]]
            ax, ay, az = points[one[0], 0], points[one[0], 1], points[one[0], 2]
            ux, uy, uz = points[one[1], 0] - ax, points[one[1], 1] - ay, points[one[1], 2] - az
            vx, vy, vz = points[one[2], 0] - ax, points[one[2], 1] - ay, points[one[2], 2] - az
            nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
            limit = slack_mm * np.sqrt(nx * nx + ny * ny + nz * nz)
            low, high = np.inf, -np.inf
            for j in range(3):
                q = two[j]
                height = (points[q, 0] - ax) * nx + (points[q, 1] - ay) * ny + (points[q, 2] - az) * nz
                low, high = min(low, height), max(high, height)
            if low >= -limit or high <= limit:
                both = False
                break
        out[p] = both
    return out
