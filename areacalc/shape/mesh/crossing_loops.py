"""The compiled sieve before triangles are held against each other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.compiled import compiled
from areacalc.shape.body import Floats, Ints
from areacalc.shape.mesh.boxes_loops import LEAF, wider


@compiled
def spanning(
    corners: Ints, places: Floats, low: Floats, high: Floats, node_low: Floats, node_high: Floats,
    slack_mm: float, most: int,
) -> tuple[Ints, bool]:  # fmt: skip
    """The pairs (p, 2) of triangles without a common corner whose corners lie on both sides of each other's plane.

    Triangles are in the order of a tree's leaves: corners (n, 3), places (n, 3, 3), boxes low and high (n, 3). Gives up
    after holding `most` pairs against each other; whether it came to the end is the second part.
    """
    count, held = len(corners), 0
    leaves = len(node_low) // 2
    pairs: Ints = np.empty((1024, 2), np.int32)
    found = 0
    stack = np.empty(128, np.int64)
    for leaf in range((count + LEAF - 1) // LEAF):
        x0, y0, z0 = node_low[leaves + leaf]
        x1, y1, z1 = node_high[leaves + leaf]
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
                last = 2 * node + 1
                while last < leaves:
                    last = 2 * last + 1
                if last - leaves >= leaf:
                    stack[depth], stack[depth + 1] = 2 * node, 2 * node + 1
                    depth += 2
                continue
            start = (node - leaves) * LEAF
            if start < leaf * LEAF:
                continue
            for i in range(leaf * LEAF, min(leaf * LEAF + LEAF, count)):
                for j in range(max(start, i + 1), min(start + LEAF, count)):
                    if (
                        low[j, 0] > high[i, 0] or high[j, 0] < low[i, 0]
                        or low[j, 1] > high[i, 1] or high[j, 1] < low[i, 1]
                        or low[j, 2] > high[i, 2] or high[j, 2] < low[i, 2]
                    ):  # fmt: skip
                        continue
                    shared = False
                    for a in range(3):
                        for b in range(3):
                            shared = shared or corners[i, a] == corners[j, b]
                    if shared:
                        continue
                    held += 1
                    if not (_spans(places[i], places[j], slack_mm) and _spans(places[j], places[i], slack_mm)):
                        continue
                    if found == len(pairs):
                        pairs = wider(pairs)
                    pairs[found, 0], pairs[found, 1] = i, j
                    found += 1
            if held > most:
                return pairs[:found].copy(), False
    return pairs[:found].copy(), True


@compiled
def _spans(plane: NDArray[np.float64], other: NDArray[np.float64], slack_mm: float) -> bool:
    """Whether the other triangle (3, 3) has corners on both sides of the plane of the first."""
    ax, ay, az = plane[0]
    ux, uy, uz = plane[1, 0] - ax, plane[1, 1] - ay, plane[1, 2] - az
    vx, vy, vz = plane[2, 0] - ax, plane[2, 1] - ay, plane[2, 2] - az
    nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    low, high = np.inf, -np.inf
    for k in range(3):
        height = (other[k, 0] - ax) * nx + (other[k, 1] - ay) * ny + (other[k, 2] - az) * nz
        low, high = min(low, height), max(high, height)
    limit = slack_mm * np.sqrt(nx * nx + ny * ny + nz * nz)
    return bool(low < -limit and high > limit)
