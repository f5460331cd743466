"""The compiled walk through a tree of boxes."""

import numpy as np

try:
    from cython import gil, nogil
except ImportError:
    from areacalc.loops import gil, nogil

from areacalc.shape.kinds import Floats, Ints

LEAF = 8  # boxes a leaf


def wider(pairs: Ints) -> Ints:
    """The same pairs (n, 2) with room for as many again."""
    more = np.zeros((2 * len(pairs), 2), np.int32)
    with nogil:
        for i in range(len(pairs)):
            more[i, 0], more[i, 1] = pairs[i, 0], pairs[i, 1]
    return np.asarray(more)


def find(
    low: Floats, high: Floats, node_low: Floats, node_high: Floats, order: Ints, other_low: Floats, other_high: Floats
) -> Ints:
    """All pairs (p, 2) of a box and a box of the tree that overlap or touch."""
    leaf, leaves = LEAF, len(node_low) // 2
    pairs: Ints = np.empty((max(64, 8 * len(low)), 2), np.int32)
    count = 0
    with nogil:
        for row in range(len(low)):
            x0, y0, z0 = low[row, 0], low[row, 1], low[row, 2]
            x1, y1, z1 = high[row, 0], high[row, 1], high[row, 2]
            node = 1
            while node > 0:
                if _apart(node_low, node_high, node, x0, y0, z0, x1, y1, z1):
                    node = next_node(node)
                    continue
                if node < leaves:
                    node = 2 * node + 1
                    continue
                start = (node - leaves) * leaf
                for i in range(start, min(start + leaf, len(order))):
                    if not _apart(other_low, other_high, order[i], x0, y0, z0, x1, y1, z1):
                        if count == len(pairs):
                            with gil:
                                pairs = wider(pairs)
                        pairs[count, 0], pairs[count, 1] = row, order[i]
                        count += 1
                node = next_node(node)
    return np.array(pairs[:count])


def _apart(
    low: Floats, high: Floats, row: int, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float
) -> bool:
    """Whether the box in a row lies clear of another."""
    return bool(
        low[row, 0] > x1 or high[row, 0] < x0
        or low[row, 1] > y1 or high[row, 1] < y0
        or low[row, 2] > z1 or high[row, 2] < z0
    )  # fmt: skip


def next_node(node: int) -> int:
    """The node of a tree that comes after this one and all below it, of two children the higher first; 0 at the end."""
    while node % 2 == 0:
        node //= 2
    return node - 1


def triangle_boxes(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """The lowest and the highest corner of each triangle's box, (k, 3) each."""
    low, high = np.empty((len(corners), 3)), np.empty((len(corners), 3))
    with nogil:
        for t in range(len(corners)):
            for i in range(3):
                a, b, c = points[corners[t, 0], i], points[corners[t, 1], i], points[corners[t, 2], i]
                low[t, i], high[t, i] = min(a, b, c), max(a, b, c)
    return np.asarray(low), np.asarray(high)


def edge_spread(points: Floats, corners: Ints) -> Floats:
    """The sum over all edges e of e e^T (3, 3): along which directions most of their length runs."""
    spread = np.zeros((3, 3))
    with nogil:
        for t in range(len(corners)):
            for j in range(3):
                one, two = corners[t, j], corners[t, (j + 1) % 3]
                for i in range(3):
                    for k in range(3):
                        spread[i, k] += (points[two, i] - points[one, i]) * (points[two, k] - points[one, k])
    return np.asarray(spread)


def winding_codes(places: Floats) -> tuple[Ints, Ints]:
    """The upper and lower 15 bits of each place's (n, 3) number along a curve that winds through space.

    That number is the bits of x, y and z in turn (G. M. Morton, 1966).
    """
    low = np.full(3, np.inf)
    upper, lower = np.empty(len(places), np.int32), np.empty(len(places), np.int32)
    span = 1e-300
    with nogil:
        for p in range(len(places)):
            for i in range(3):
                low[i] = min(low[i], places[p, i])
        for p in range(len(places)):
            for i in range(3):
                span = max(span, places[p, i] - low[i])
        for p in range(len(places)):
            code = 0
            for i in range(3):
                cell = int((places[p, i] - low[i]) / span * 1023.0)
                for bit in range(10):
                    code |= ((cell >> bit) & 1) << (3 * bit + i)
            upper[p], lower[p] = code >> 15, code & 0x7FFF
    return np.asarray(upper), np.asarray(lower)
