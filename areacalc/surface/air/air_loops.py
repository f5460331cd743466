"""The compiled loops of trapped air: the first thing above, and how far off the skin across is."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh import boxes_loops

_ENDLESS, _LEAF, _EDGE_ON = float("inf"), boxes_loops.LEAF, 1e-9


def _crossing(points: Floats, corners: Ints, t: int, p: Floats, d: Floats, e: Floats, f: Floats) -> float:
    """How far along d from p triangle t is met, -1.0 if not; e and f span the plane across d.

    A ray through the border of two triangles meets at least one: both see the same rounded number for their edge.
    """
    a, b, c = corners[t, 0], corners[t, 1], corners[t, 2]
    a0, a1, a2 = points[a, 0] - p[0], points[a, 1] - p[1], points[a, 2] - p[2]
    b0, b1, b2 = points[b, 0] - p[0], points[b, 1] - p[1], points[b, 2] - p[2]
    c0, c1, c2 = points[c, 0] - p[0], points[c, 1] - p[1], points[c, 2] - p[2]
    ax, ay = a0 * e[0] + a1 * e[1] + a2 * e[2], a0 * f[0] + a1 * f[1] + a2 * f[2]
    bx, by = b0 * e[0] + b1 * e[1] + b2 * e[2], b0 * f[0] + b1 * f[1] + b2 * f[2]
    cx, cy = c0 * e[0] + c1 * e[1] + c2 * e[2], c0 * f[0] + c1 * f[1] + c2 * f[2]
    u, v, w = bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx
    if (u < 0.0 or v < 0.0 or w < 0.0) and (u > 0.0 or v > 0.0 or w > 0.0):
        return -1.0
    whole = u + v + w
    if whole == 0.0:
        return -1.0
    ah, bh = a0 * d[0] + a1 * d[1] + a2 * d[2], b0 * d[0] + b1 * d[1] + b2 * d[2]
    ch = c0 * d[0] + c1 * d[1] + c2 * d[2]
    return float((u * ah + v * bh + w * ch) / whole)


def _enters(low: Floats, high: Floats, node: int, p: Floats, d: Floats, far: float) -> bool:
    """Whether a ray from p along d meets the node's box before `far`."""
    near = 0.0
    for k in range(3):
        if d[k] == 0.0:
            if p[k] < low[node, k] or p[k] > high[node, k]:
                return False
        else:
            one, two = (low[node, k] - p[k]) / d[k], (high[node, k] - p[k]) / d[k]
            near, far = max(near, min(one, two)), min(far, max(one, two))
    return near <= far


def first_hit(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints,
    p: Floats, apart: int, d: Floats, e: Floats, f: Floats, reach: float,
) -> tuple[float, int]:  # fmt: skip
    """How far along d and which triangle a ray from p meets first within reach, through the tree; (inf, -1) for none.

    Triangles with the corner `apart` are passed over.
    """
    leaf, leaves = _LEAF, len(node_low) // 2
    best, hit, node = reach, -1, 1
    while node > 0:
        if _enters(node_low, node_high, node, p, d, best):
            if node < leaves:
                node = 2 * node + 1
                continue
            first = (node - leaves) * leaf
            for i in range(first, min(first + leaf, len(order))):
                t = order[i]
                if corners[t, 0] == apart or corners[t, 1] == apart or corners[t, 2] == apart:
                    continue
                s = _crossing(points, corners, t, p, d, e, f)
                if 0.0 < s < best:
                    best, hit = s, t
        node = boxes_loops.next_node(node)
    if hit < 0:
        return _ENDLESS, -1
    return best, hit


def first_above(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints,
    origins: Floats, apart: Ints, d: Floats, e: Floats, f: Floats,
) -> Ints:  # fmt: skip
    """The first triangle that a ray along d meets from each origin, -1 for none; those with corner `apart` are not."""
    hit, p = np.empty(len(origins), np.int32), np.empty(3)
    with nogil:
        for i in range(len(origins)):
            p[0], p[1], p[2] = origins[i, 0], origins[i, 1], origins[i, 2]
            _, hit[i] = first_hit(points, corners, node_low, node_high, order, p, apart[i], d, e, f, _ENDLESS)
    return np.asarray(hit)


def _unit_normal(points: Floats, corners: Ints, t: int, n: Floats) -> None:
    """That of a triangle into n, nought where it has no area."""
    o, a, b = corners[t, 0], corners[t, 1], corners[t, 2]
    a0, a1, a2 = points[a, 0] - points[o, 0], points[a, 1] - points[o, 1], points[a, 2] - points[o, 2]
    b0, b1, b2 = points[b, 0] - points[o, 0], points[b, 1] - points[o, 1], points[b, 2] - points[o, 2]
    n[0], n[1], n[2] = a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0
    length = math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2])
    if length > 0.0:
        n[0], n[1], n[2] = n[0] / length, n[1] / length, n[2] / length


def _frame(d: Floats, e: Floats, f: Floats) -> None:
    """Two unit vectors square to the unit vector d and to one another, into e and f."""
    least = 0
    for k in range(1, 3):
        if abs(d[k]) < abs(d[least]):
            least = k
    for k in range(3):
        e[k] = (1.0 if k == least else 0.0) - d[least] * d[k]
    length = math.sqrt(e[0] * e[0] + e[1] * e[1] + e[2] * e[2])
    e[0], e[1], e[2] = e[0] / length, e[1] / length, e[2] / length
    f[0], f[1], f[2] = d[1] * e[2] - d[2] * e[1], d[2] * e[0] - d[0] * e[2], d[0] * e[1] - d[1] * e[0]


def _may_face(
    low: Floats, high: Floats, turned_low: Floats, turned_high: Floats, p: Floats, d: Floats, reach: float
) -> bool:
    """Whether a ray from p along d comes within reach into a leaf that may hold skin turned towards it."""
    node, leaves = 1, len(low) // 2
    while node > 0:
        least = 0.0
        for k in range(3):
            least += min(turned_low[node, k] * d[k], turned_high[node, k] * d[k])
        if least < _EDGE_ON and _enters(low, high, node, p, d, reach):
            if node >= leaves:
                return True
            node = 2 * node + 1
        else:
            node = boxes_loops.next_node(node)
    return False


def clearances(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, turned_low: Floats, turned_high: Floats,
    order: Ints, chosen: Ints, weights: Floats, reach: float,
) -> tuple[Floats, Ints]:  # fmt: skip
    """How far from the chosen triangles the skin across from them is, and the triangle met from the first sample.

    The samples are at the weights (s, 3) of the corners; the farthest counts, inf where one meets nothing in reach.
    turned: the boxes of the normals in each node, so that what turns no skin towards the ray is passed over.
    """
    far, facing = np.zeros(len(chosen)), np.full(len(chosen), -1, np.int32)
    p, d, e, f, n = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    with nogil:
        for i in range(len(chosen)):
            t = chosen[i]
            a, b, c = corners[t, 0], corners[t, 1], corners[t, 2]
            _unit_normal(points, corners, t, d)
            if d[0] == 0.0 and d[1] == 0.0 and d[2] == 0.0:
                far[i] = _ENDLESS
                continue
            _frame(d, e, f)
            for k in range(len(weights)):
                for j in range(3):  # a step off the plane, so that rounding does not find the triangle itself
                    p[j] = weights[k, 0] * points[a, j] + weights[k, 1] * points[b, j] + weights[k, 2] * points[c, j]
                    p[j] += 1e-9 * reach * d[j]
                if not _may_face(node_low, node_high, turned_low, turned_high, p, d, reach):
                    far[i] = _ENDLESS
                    break
                distance, hit = first_hit(points, corners, node_low, node_high, order, p, -1, d, e, f, reach)
                if hit >= 0:
                    _unit_normal(points, corners, hit, n)
                    if n[0] * d[0] + n[1] * d[1] + n[2] * d[2] >= 0.0:
                        hit, distance = -1, _ENDLESS
                if k == 0:
                    facing[i] = hit
                far[i] = max(far[i], distance)
                if hit < 0:
                    break
    return np.asarray(far), np.asarray(facing)


def chords(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints, chosen: Ints, reach: float
) -> Floats:
    """The least free length along the skin of each chosen triangle, through its middle: across and along each side."""
    least = np.full(len(chosen), np.inf)
    p, d, e, f, n = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    with nogil:
        for i in range(len(chosen)):
            t = chosen[i]
            _unit_normal(points, corners, t, n)
            for j in range(3):
                p[j] = (points[corners[t, 0], j] + points[corners[t, 1], j] + points[corners[t, 2], j]) / 3.0
                p[j] += 1e-3 * reach * n[j]
            for k in range(6):
                a, b = corners[t, k % 3], corners[t, (k + 1) % 3]
                x, y, z = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
                length = math.sqrt(x * x + y * y + z * z)
                if length == 0.0:
                    continue
                x, y, z = x / length, y / length, z / length
                if k >= 3:
                    x, y, z = n[1] * z - n[2] * y, n[2] * x - n[0] * z, n[0] * y - n[1] * x
                one = 0.0
                for _ in range(2):  # to and fro
                    d[0], d[1], d[2] = x, y, z
                    x, y, z = -x, -y, -z
                    if one < least[i]:
                        one += _way(points, corners, node_low, node_high, order, p, d, e, f, reach)
                least[i] = min(least[i], one)
    return np.asarray(least)


def _way(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints, p: Floats, d: Floats, e: Floats,
    f: Floats, reach: float,
) -> float:  # fmt: skip
    """How far along d from p the skin across is, inf where none is in reach; e and f are overwritten."""
    _frame(d, e, f)
    distance, hit = first_hit(points, corners, node_low, node_high, order, p, -1, d, e, f, reach)
    if hit < 0:
        return _ENDLESS
    _unit_normal(points, corners, hit, e)
    return distance if e[0] * d[0] + e[1] * d[1] + e[2] * d[2] < 0.0 else _ENDLESS
