"""The compiled walk through a tree of boxes, and which of the triangles in it pass through one another."""

import math

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


def passing(
    corners: Ints, places: Floats, low: Floats, high: Floats, node_low: Floats, node_high: Floats,
    slack_mm: float, most: int,
) -> tuple[Ints, bool]:  # fmt: skip
    """The pairs (p, 2) of triangles without a common corner that pass through one another by more than slack_mm.

    Triangles are in the order of a tree's leaves: corners (n, 3), places (n, 3, 3), boxes low and high (n, 3). Gives up
    after holding `most` pairs against each other; whether it came to the end is the second part.
    """
    count, held = len(corners), 0
    leaf_size, leaves = LEAF, len(node_low) // 2
    pairs: Ints = np.empty((1024, 2), np.int32)
    found = 0
    with nogil:
        for leaf in range((count + leaf_size - 1) // leaf_size):
            own, node = leaves + leaf, 1
            while node > 0:
                last = node
                while last < leaves:
                    last = 2 * last + 1
                if last < own or _clear(node_low, node_high, own, node):
                    node = next_node(node)
                    continue
                if node < leaves:
                    node = 2 * node + 1
                    continue
                start = (node - leaves) * leaf_size
                for i in range(leaf * leaf_size, min(leaf * leaf_size + leaf_size, count)):
                    for j in range(max(start, i + 1), min(start + leaf_size, count)):
                        if _clear(low, high, i, j):
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
                                pairs = wider(pairs)
                        pairs[found, 0], pairs[found, 1] = i, j
                        found += 1
                node = next_node(node)
                if held > most:
                    break
            if held > most:
                break
    return np.array(pairs[:found]), held <= most


def _clear(low: Floats, high: Floats, one: int, two: int) -> bool:
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
