"""The compiled walk through a tree of boxes."""

from __future__ import annotations

import numpy as np

from areacalc.compiled import compiled
from areacalc.shape.kinds import Floats, Ints

LEAF = 8  # boxes a leaf


@compiled
def wider(pairs: Ints) -> Ints:
    """The same pairs (n, 2) with room for as many again."""
    more = np.empty((2 * len(pairs), 2), np.int32)
    for i in range(len(pairs)):
        more[i, 0], more[i, 1] = pairs[i, 0], pairs[i, 1]
    return more


@compiled
def find(
    low: Floats, high: Floats, node_low: Floats, node_high: Floats, order: Ints, other_low: Floats, other_high: Floats
) -> Ints:
    """All pairs (p, 2) of a box and a box of the tree that overlap or touch."""
    leaves = len(node_low) // 2
    pairs: Ints = np.empty((max(64, 8 * len(low)), 2), np.int32)
    count = 0
    stack = np.empty(128, np.int64)
    for row in range(len(low)):
        x0, y0, z0 = low[row]
        x1, y1, z1 = high[row]
        stack[0], depth = 1, 1
        while depth:
            depth -= 1
            node = stack[depth]
            if (
                node_low[node, 0] > x1 or node_high[node, 0] < x0
                or node_low[node, 1] > y1 or node_high[node, 1] < y0
                or node_low[node, 2] > z1 or node_high[node, 2] < z0
            ):  # fmt: skip
                continue
            if node < leaves:
                stack[depth], stack[depth + 1] = 2 * node, 2 * node + 1
                depth += 2
                continue
            start = (node - leaves) * LEAF
            for i in range(start, min(start + LEAF, len(order))):
                other = order[i]
                if (
                    other_low[other, 0] <= x1 and other_high[other, 0] >= x0
                    and other_low[other, 1] <= y1 and other_high[other, 1] >= y0
                    and other_low[other, 2] <= z1 and other_high[other, 2] >= z0
                ):  # fmt: skip
                    if count == len(pairs):
                        pairs = wider(pairs)
                    pairs[count, 0], pairs[count, 1] = row, other
                    count += 1
    return pairs[:count].copy()


@compiled
def triangle_boxes(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """The lowest and the highest corner of each triangle's box, (k, 3) each."""
    low, high = np.empty((len(corners), 3)), np.empty((len(corners), 3))
    for t in range(len(corners)):
        for i in range(3):
            a, b, c = points[corners[t, 0], i], points[corners[t, 1], i], points[corners[t, 2], i]
            low[t, i], high[t, i] = min(a, b, c), max(a, b, c)
    return low, high


@compiled
def edge_spread(points: Floats, corners: Ints) -> Floats:
    """The sum over all edges e of e e^T (3, 3): along which directions most of their length runs."""
    spread = np.zeros((3, 3))
    for t in range(len(corners)):
        for j in range(3):
            one, two = corners[t, j], corners[t, (j + 1) % 3]
            for i in range(3):
                for k in range(3):
                    spread[i, k] += (points[two, i] - points[one, i]) * (points[two, k] - points[one, k])
    return spread


@compiled
def winding_codes(places: Floats) -> tuple[Ints, Ints]:
    """The upper and lower 15 bits of each place's (n, 3) number along a curve that winds through space.

    That number is the bits of x, y and z in turn (G. M. Morton, 1966).
    """
    low = np.full(3, np.inf)
    span = 1e-300
    for p in range(len(places)):
        for i in range(3):
            low[i] = min(low[i], places[p, i])
    for p in range(len(places)):
        for i in range(3):
            span = max(span, places[p, i] - low[i])
    upper, lower = np.empty(len(places), np.int32), np.empty(len(places), np.int32)
    for p in range(len(places)):
        code = 0
        for i in range(3):
            cell = int((places[p, i] - low[i]) / span * 1023.0)
            for bit in range(10):
                code |= ((cell >> bit) & 1) << (3 * bit + i)
        upper[p], lower[p] = code >> 15, code & 0x7FFF
    return upper, lower
