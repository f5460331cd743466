"""Compiled flood over the flats of a large region: which of them a surface goes on into."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from areacalc.compiled import compiled
from areacalc.shape.body import Floats, Ints

CYLINDER, CONE, SPHERE, TORUS = range(4)


@compiled
def flood(
    kind: int,
    shape: Floats,
    points: Floats,
    corners: Ints,
    true: NDArray[np.bool_],
    start: Ints,
    count: Ints,
    first: Ints,
    beside: Ints,
    seen: NDArray[np.bool_],
    some: Ints,
    tolerance: float,
) -> Ints:
    """The flats that hang together with `some` and have every true corner within tolerance of the surface.

    shape: point (3), direction (3), radius, minor radius, cosine and sine of the half angle. The rest is as in Region;
    seen (f,) is overwritten: true for flats not to be entered.
    """
    reached = np.empty(len(seen), np.int64)
    size = 0
    for flat in some:
        if not seen[flat]:
            seen[flat] = True
            reached[size] = flat
            size += 1
    at = 0
    while at < size:
        own = reached[at]
        at += 1
        for k in range(first[own], first[own + 1]):
            flat = beside[k]
            if seen[flat]:
                continue
            seen[flat] = True
            on = True
            for row in range(start[flat], start[flat] + count[flat]):
                for j in range(3):
                    c = corners[row, j]
                    if true[c] and not abs(_off(kind, shape, points[c, 0], points[c, 1], points[c, 2])) <= tolerance:
                        on = False
                        break
                if not on:
                    break
            if on:
                reached[size] = flat
                size += 1
    return reached[:size]


@compiled
def _off(kind: int, shape: Floats, x: float, y: float, z: float) -> float:
    """As fit.distances, for one point."""
    x, y, z = x - shape[0], y - shape[1], z - shape[2]
    square = x * x + y * y + z * z
    if kind == SPHERE:
        return float(math.sqrt(square) - shape[6])
    h = x * shape[3] + y * shape[4] + z * shape[5]
    r = math.sqrt(max(square - h * h, 0.0))
    if kind == CYLINDER:
        return float(r - shape[6])
    if kind == CONE:
        return float((r - shape[6]) * shape[8] - h * shape[9])
    return float(math.hypot(r - shape[6], h) - shape[7])
