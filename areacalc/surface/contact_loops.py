"""The compiled loop that lays triangles on each other and finds what they share."""

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints

_MOST = 24  # corners: each of three cuts leaves two a side at most, whatever rounding does


def overlaps(one: Floats, two: Floats) -> tuple[Floats, Ints, Floats]:
    """What each triangle shares with its mate, both (p, 3, 2): places of its corners (p, 24, 2), how many of them count
    (p,), and its area (p,).

    The first is cut along each side of the second (Sutherland and Hodgman 1974, Reentrant polygon clipping).
    """
    places, counts, area = np.zeros((len(one), _MOST, 2)), np.zeros(len(one), np.int32), np.zeros(len(one))
    before = np.zeros((_MOST, 2))
    with nogil:
        for row in range(len(one)):
            turn = 1.0 if _twice(two[row], 3) > 0.0 else -1.0
            count = 3
            for j in range(3):
                places[row, j, 0], places[row, j, 1] = one[row, j, 0], one[row, j, 1]
            for side in range(3):
                ax, ay = two[row, side, 0], two[row, side, 1]
                sx, sy = turn * (two[row, (side + 1) % 3, 0] - ax), turn * (two[row, (side + 1) % 3, 1] - ay)
                held = count
                for j in range(held):
                    before[j, 0], before[j, 1] = places[row, j, 0], places[row, j, 1]
                count = 0
                for j in range(held):
                    k = (j + 1) % held
                    here = sx * (before[j, 1] - ay) - sy * (before[j, 0] - ax)
                    there = sx * (before[k, 1] - ay) - sy * (before[k, 0] - ax)
                    if here >= 0.0:
                        places[row, count, 0], places[row, count, 1] = before[j, 0], before[j, 1]
                        count += 1
                    if (here >= 0.0) != (there >= 0.0):
                        share = here / (here - there)
                        places[row, count, 0] = before[j, 0] + share * (before[k, 0] - before[j, 0])
                        places[row, count, 1] = before[j, 1] + share * (before[k, 1] - before[j, 1])
                        count += 1
            area[row] = 0.5 * abs(_twice(places[row], count))
            counts[row] = count
    return np.asarray(places), np.asarray(counts), np.asarray(area)


def _twice(ring: Floats, count: int) -> float:
    """Twice the area within a ring of corners, positive where they run to the left."""
    total = 0.0
    for j in range(1, count - 1):
        total += (ring[j, 0] - ring[0, 0]) * (ring[j + 1, 1] - ring[0, 1])
        total -= (ring[j + 1, 0] - ring[0, 0]) * (ring[j, 1] - ring[0, 1])
    return total
