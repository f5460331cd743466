"""Compiled: which triangles pass through one another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.compiled import compiled
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes_loops import LEAF, wider


@compiled
def passing(
    corners: Ints, places: Floats, low: Floats, high: Floats, node_low: Floats, node_high: Floats,
    slack_mm: float, most: int,
) -> tuple[Ints, bool]:  # fmt: skip
    """The pairs (p, 2) of triangles without a common corner that pass through one another by more than slack_mm.

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
                    if not (_pierced(places[i], places[j], slack_mm) or _pierced(places[j], places[i], slack_mm)):
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
    nx, ny, nz = _square_to(plane)
    low, high = np.inf, -np.inf
    for k in range(3):
        height = (other[k, 0] - ax) * nx + (other[k, 1] - ay) * ny + (other[k, 2] - az) * nz
        low, high = min(low, height), max(high, height)
    limit = slack_mm * np.sqrt(nx * nx + ny * ny + nz * nz)
    return bool(low < -limit and high > limit)


@compiled
def _pierced(plane: NDArray[np.float64], other: NDArray[np.float64], slack_mm: float) -> bool:
    """Whether an edge of the other triangle (3, 3) passes through the first; an edge that meets an edge counts."""
    ax, ay, az = plane[0]
    nx, ny, nz = _square_to(plane)
    length = np.sqrt(nx * nx + ny * ny + nz * nz)
    if length == 0.0:
        return False
    nx, ny, nz = nx / length, ny / length, nz / length
    for j in range(3):
        k = (j + 1) % 3
        one = (other[j, 0] - ax) * nx + (other[j, 1] - ay) * ny + (other[j, 2] - az) * nz
        two = (other[k, 0] - ax) * nx + (other[k, 1] - ay) * ny + (other[k, 2] - az) * nz
        if not (min(one, two) < -slack_mm and max(one, two) > slack_mm):
            continue
        share = one / (one - two)
        hx = other[j, 0] + share * (other[k, 0] - other[j, 0])
        hy = other[j, 1] + share * (other[k, 1] - other[j, 1])
        hz = other[j, 2] + share * (other[k, 2] - other[j, 2])
        inside = True
        for side in range(3):
            end = (side + 1) % 3
            sx, sy, sz = plane[end, 0] - plane[side, 0], plane[end, 1] - plane[side, 1], plane[end, 2] - plane[side, 2]
            px, py, pz = hx - plane[side, 0], hy - plane[side, 1], hz - plane[side, 2]
            reach = (ny * sz - nz * sy) * px + (nz * sx - nx * sz) * py + (nx * sy - ny * sx) * pz
            inside = inside and reach > -slack_mm * np.sqrt(sx * sx + sy * sy + sz * sz)
        if inside:
            return True
    return False


@compiled
def _square_to(plane: NDArray[np.float64]) -> tuple[float, float, float]:
    """A normal of a triangle (3, 3), as long as twice its area."""
    ux, uy, uz = plane[1, 0] - plane[0, 0], plane[1, 1] - plane[0, 1], plane[1, 2] - plane[0, 2]
    vx, vy, vz = plane[2, 0] - plane[0, 0], plane[2, 1] - plane[0, 1], plane[2, 2] - plane[0, 2]
    return float(uy * vz - uz * vy), float(uz * vx - ux * vz), float(ux * vy - uy * vx)
