"""Compiled: which triangles pass through one another."""

import math

import numpy as np

try:
    from cython import gil, nogil
except ImportError:
    from areacalc.loops import gil, nogil

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh import boxes_loops


def passing(
    corners: Ints, places: Floats, low: Floats, high: Floats, node_low: Floats, node_high: Floats,
    slack_mm: float, most: int,
) -> tuple[Ints, bool]:  # fmt: skip
    """The pairs (p, 2) of triangles without a common corner that pass through one another by more than slack_mm.

    Triangles are in the order of a tree's leaves: corners (n, 3), places (n, 3, 3), boxes low and high (n, 3). Gives up
    after holding `most` pairs against each other; whether it came to the end is the second part.
    """
    count, held = len(corners), 0
    leaf_size, leaves = boxes_loops.LEAF, len(node_low) // 2
    pairs: Ints = np.empty((1024, 2), np.int32)
    found = 0
    with nogil:
        for leaf in range((count + leaf_size - 1) // leaf_size):
            own, node = leaves + leaf, 1
            while node > 0:
                last = node
                while last < leaves:
                    last = 2 * last + 1
                if last < own or _apart(node_low, node_high, own, node):
                    node = boxes_loops.next_node(node)
                    continue
                if node < leaves:
                    node = 2 * node + 1
                    continue
                start = (node - leaves) * leaf_size
                for i in range(leaf * leaf_size, min(leaf * leaf_size + leaf_size, count)):
                    for j in range(max(start, i + 1), min(start + leaf_size, count)):
                        if _apart(low, high, i, j):
                            continue
                        shared = False
                        for a in range(3):
                            for b in range(3):
                                shared = shared or corners[i, a] == corners[j, b]
                        if shared:
                            continue
                        held += 1
                        if not (_spans(places, i, j, slack_mm) and _spans(places, j, i, slack_mm)):
                            continue
                        if not (_pierced(places, i, j, slack_mm) or _pierced(places, j, i, slack_mm)):
                            continue
                        if found == len(pairs):
                            with gil:
                                pairs = boxes_loops.wider(pairs)
                        pairs[found, 0], pairs[found, 1] = i, j
                        found += 1
                node = boxes_loops.next_node(node)
                if held > most:
                    break
            if held > most:
                break
    return np.array(pairs[:found]), held <= most


def _apart(low: Floats, high: Floats, one: int, two: int) -> bool:
    return bool(
        low[two, 0] > high[one, 0] or high[two, 0] < low[one, 0]
        or low[two, 1] > high[one, 1] or high[two, 1] < low[one, 1]
        or low[two, 2] > high[one, 2] or high[two, 2] < low[one, 2]
    )  # fmt: skip


def _spans(places: Floats, plane: int, other: int, slack_mm: float) -> bool:
    """Whether the other triangle has corners on both sides of the plane of the first."""
    nx, ny, nz = _square_to(places, plane)
    low, high = 0.0, 0.0
    for k in range(3):
        height = _height(places, plane, other, k, nx, ny, nz)
        low, high = min(low, height), max(high, height)
    limit = slack_mm * math.sqrt(nx * nx + ny * ny + nz * nz)
    return low < -limit and high > limit


def _pierced(places: Floats, plane: int, other: int, slack_mm: float) -> bool:
    """Whether an edge of the other triangle passes through the first; an edge that meets an edge counts."""
    nx, ny, nz = _square_to(places, plane)
    length = math.sqrt(nx * nx + ny * ny + nz * nz)
    if length == 0.0:
        return False
    nx, ny, nz = nx / length, ny / length, nz / length
    for j in range(3):
        k = (j + 1) % 3
        one, two = _height(places, plane, other, j, nx, ny, nz), _height(places, plane, other, k, nx, ny, nz)
        if not (min(one, two) < -slack_mm and max(one, two) > slack_mm):
            continue
        share = one / (one - two)
        hx = places[other, j, 0] + share * (places[other, k, 0] - places[other, j, 0])
        hy = places[other, j, 1] + share * (places[other, k, 1] - places[other, j, 1])
        hz = places[other, j, 2] + share * (places[other, k, 2] - places[other, j, 2])
        inside = True
        for side in range(3):
            ax, ay, az = places[plane, side, 0], places[plane, side, 1], places[plane, side, 2]
            end = (side + 1) % 3
            sx, sy, sz = places[plane, end, 0] - ax, places[plane, end, 1] - ay, places[plane, end, 2] - az
            px, py, pz = hx - ax, hy - ay, hz - az
            reach = (ny * sz - nz * sy) * px + (nz * sx - nx * sz) * py + (nx * sy - ny * sx) * pz
            inside = inside and reach > -slack_mm * math.sqrt(sx * sx + sy * sy + sz * sz)
        if inside:
            return True
    return False


def _height(places: Floats, plane: int, other: int, corner: int, nx: float, ny: float, nz: float) -> float:
    """How far along n a corner of the other triangle lies from the first."""
    x, y = places[other, corner, 0] - places[plane, 0, 0], places[other, corner, 1] - places[plane, 0, 1]
    return float(x * nx + y * ny + (places[other, corner, 2] - places[plane, 0, 2]) * nz)


def _square_to(places: Floats, t: int) -> tuple[float, float, float]:
    """A normal of a triangle, as long as twice its area."""
    ax, ay, az = places[t, 0, 0], places[t, 0, 1], places[t, 0, 2]
    ux, uy, uz = places[t, 1, 0] - ax, places[t, 1, 1] - ay, places[t, 1, 2] - az
    vx, vy, vz = places[t, 2, 0] - ax, places[t, 2, 1] - ay, places[t, 2, 2] - az
    return uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
