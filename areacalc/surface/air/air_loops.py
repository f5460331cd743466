"""The compiled loops of trapped air: who is beside whom, the sweep from the top down, and the first thing above."""

from __future__ import annotations

import numpy as np

from areacalc.compiled import compiled
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.topology_loops import root_of

OPEN, NOTHING = -1, -2


@compiled
def outgoing(corners: Ints, count: int) -> tuple[Ints, Ints]:
    """The half-edges that leave each point: where its row starts (count + 1,), and the rows, one after another."""
    start = np.zeros(count + 1, np.int32)
    for t in range(len(corners)):
        for j in range(3):
            start[corners[t, j] + 1] += 1
    for v in range(count):
        start[v + 1] += start[v]
    rows = np.empty(3 * len(corners), np.int32)
    place = start[:-1].copy()
    for t in range(len(corners)):
        for j in range(3):
            v = corners[t, j]
            rows[place[v]] = 3 * t + j
            place[v] += 1
    return start, rows


@compiled
def peaks(corners: Ints, points: Floats, up: Floats, rank: Ints, start: Ints, rows: Ints) -> Ints:
    """The points with no neighbour above them and the liquid's side of the skin over them.

    The side is told by the normals of the triangles around, weighted by their angles there.
    """
    found = np.empty(len(points), np.int32)
    count = 0
    for v in range(len(points)):
        top = start[v] < start[v + 1]
        for i in range(start[v], start[v + 1]):
            t, j = rows[i] // 3, rows[i] % 3
            if rank[corners[t, (j + 1) % 3]] < rank[v] or rank[corners[t, (j + 2) % 3]] < rank[v]:
                top = False
                break
        if not top:
            continue
        over = 0.0
        for i in range(start[v], start[v + 1]):
            t, j = rows[i] // 3, rows[i] % 3
            a = points[corners[t, (j + 1) % 3]] - points[v]
            b = points[corners[t, (j + 2) % 3]] - points[v]
            n0, n1, n2 = a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
            length = np.sqrt(n0 * n0 + n1 * n1 + n2 * n2)
            if length > 0.0:
                angle = np.arctan2(length, a[0] * b[0] + a[1] * b[1] + a[2] * b[2])
                over += angle * (n0 * up[0] + n1 * up[1] + n2 * up[2]) / length
        if over > 0.0:
            found[count] = v
            count += 1
    return found[:count].copy()


@compiled
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


@compiled
def first_above_of_all(
    points: Floats, corners: Ints, origins: Floats, apart: Ints, d: Floats, e: Floats, f: Floats
) -> Ints:
    """The first triangle that a ray along d meets from each origin, -1 for none; those with corner `apart` are not."""
    hit = np.full(len(origins), -1, np.int32)
    for i in range(len(origins)):
        best = np.inf
        for t in range(len(corners)):
            if corners[t, 0] == apart[i] or corners[t, 1] == apart[i] or corners[t, 2] == apart[i]:
                continue
            s = _crossing(points, corners, t, origins[i], d, e, f)
            if 0.0 < s < best:
                best, hit[i] = s, t
    return hit


@compiled
def _enters(low: Floats, high: Floats, p: Floats, d: Floats, far: float) -> bool:
    near = 0.0
    for k in range(3):
        if d[k] == 0.0:
            if p[k] < low[k] or p[k] > high[k]:
                return False
        else:
            one, two = (low[k] - p[k]) / d[k], (high[k] - p[k]) / d[k]
            near, far = max(near, min(one, two)), min(far, max(one, two))
    return bool(near <= far)


@compiled
def first_hit(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints,
    p: Floats, apart: int, d: Floats, e: Floats, f: Floats, reach: float,
) -> tuple[float, int]:  # fmt: skip
    """How far along d and which triangle a ray from p meets first within reach, through the tree; (inf, -1) for none.

    Triangles with the corner `apart` are passed over.
    """
    leaves = len(node_low) // 2
    stack = np.empty(64, np.int64)
    stack[0], depth = 1, 1
    best, hit = reach, -1
    while depth:
        depth -= 1
        node = stack[depth]
        if not _enters(node_low[node], node_high[node], p, d, best):
            continue
        if node < leaves:
            stack[depth], stack[depth + 1] = 2 * node, 2 * node + 1
            depth += 2
            continue
        first = (node - leaves) * 8
        for i in range(first, min(first + 8, len(order))):
            t = order[i]
            if corners[t, 0] == apart or corners[t, 1] == apart or corners[t, 2] == apart:
                continue
            s = _crossing(points, corners, t, p, d, e, f)
            if 0.0 < s < best:
                best, hit = s, t
    if hit < 0:
        return np.inf, -1
    return best, hit


@compiled
def first_above(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints,
    origins: Floats, apart: Ints, d: Floats, e: Floats, f: Floats,
) -> Ints:  # fmt: skip
    """As first_above_of_all, through the tree of boxes."""
    hit = np.empty(len(origins), np.int32)
    for i in range(len(origins)):
        hit[i] = first_hit(
            points, corners, node_low, node_high, order, origins[i], apart[i], d, e, f, np.inf
        )[1]  # fmt: skip
    return hit


@compiled
def sweep(corners: Ints, order: Ints, rank: Ints, start: Ints, rows: Ints, shaft: Ints) -> tuple[Ints, Ints, Ints]:
    """Join the points from the top down; what meets open air is closed there. Returns pocket, gate and root of each.

    order: the points from the highest down, rank: the place of each in it. shaft: the point that stands over each
    across liquid, OPEN for the open air, NOTHING where the sweep along the skin suffices.
    pocket (p,): a point that names the pocket, OPEN for what the liquid reaches, NOTHING for what is sealed off.
    gate (p,): for the point that names a pocket, the one at which it met open air. root (p,): a point that names all
    that hangs together, met or not.
    """
    count = len(order)
    parent = np.arange(count + 1).astype(np.int32)  # the last stands for open air
    gate = np.full(count, NOTHING, np.int32)
    for v in order:
        if start[v] == start[v + 1]:
            continue
        free = shaft[v] == OPEN
        for pass_ in range(2):  # first whether any neighbour is open, then join
            for i in range(start[v] - 1, start[v + 1]):
                if i < start[v]:
                    u = shaft[v]
                    if u < 0:
                        continue
                else:
                    h = rows[i]
                    u = corners[h // 3, (h + 1) % 3]
                    if rank[u] > rank[v]:
                        continue
                r = root_of(parent, u)
                is_open = r == count or gate[r] != NOTHING
                if pass_ == 0:
                    free = free or is_open
                elif free and not is_open:
                    gate[r] = v
                elif not free:
                    mine = root_of(parent, v)
                    if mine != r:
                        parent[mine] = r
            if pass_ == 0 and free:
                parent[v] = count
    pocket, root = np.full(count, NOTHING, np.int32), np.empty(count, np.int32)
    for v in range(count):
        r = root_of(parent, v)
        root[v] = r
        if r == count:
            pocket[v] = OPEN
        elif gate[r] != NOTHING:
            pocket[v] = r
    return pocket, gate, root


@compiled
def wet_pieces(corners: Ints, label: Ints) -> Ints:
    """For each point that the liquid may reach (label OPEN) a point that names its piece of skin; -1 for the rest."""
    parent = np.arange(len(label)).astype(np.int32)
    for t in range(len(corners)):
        for j in range(3):
            u, v = corners[t, j], corners[t, (j + 1) % 3]
            if label[u] == OPEN and label[v] == OPEN:
                one, two = root_of(parent, u), root_of(parent, v)
                if one != two:
                    parent[one] = two
    piece = np.full(len(label), -1, np.int32)
    for v in range(len(label)):
        if label[v] == OPEN:
            piece[v] = root_of(parent, v)
    return piece


@compiled
def _unit_normal(points: Floats, corners: Ints, t: int) -> Floats:
    a = points[corners[t, 1]] - points[corners[t, 0]]
    b = points[corners[t, 2]] - points[corners[t, 0]]
    n = np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])
    length = np.sqrt(n[0] ** 2 + n[1] ** 2 + n[2] ** 2)
    return n / length if length > 0.0 else n


@compiled
def _frame(d: Floats) -> tuple[Floats, Floats]:
    e = np.zeros(3)
    i = np.argmin(np.abs(d))
    e[i] = 1.0
    e -= d[i] * d
    e /= np.sqrt(e[0] ** 2 + e[1] ** 2 + e[2] ** 2)
    return e, np.array([d[1] * e[2] - d[2] * e[1], d[2] * e[0] - d[0] * e[2], d[0] * e[1] - d[1] * e[0]])


@compiled
def clearances(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints,
    chosen: Ints, weights: Floats, reach: float,
) -> tuple[Floats, Ints]:  # fmt: skip
    """How far from the chosen triangles the skin across from them is, and the triangle met from the first sample.

    The samples are at the weights (s, 3) of the corners; the farthest counts, inf where one meets nothing in reach.
    """
    far, facing = np.zeros(len(chosen)), np.full(len(chosen), -1, np.int32)
    for i in range(len(chosen)):
        t = chosen[i]
        d = _unit_normal(points, corners, t)
        if d[0] == 0.0 and d[1] == 0.0 and d[2] == 0.0:
            far[i] = np.inf
            continue
        e, f = _frame(d)
        for k in range(len(weights)):
            p = np.zeros(3)
            for j in range(3):
                p += weights[k, j] * points[corners[t, j]]
            # a step off the plane, so that rounding does not find the triangle itself
            distance, hit = first_hit(
                points, corners, node_low, node_high, order, p + 1e-9 * reach * d, -1, d, e, f, reach
            )
            if hit >= 0:
                n = _unit_normal(points, corners, hit)
                if n[0] * d[0] + n[1] * d[1] + n[2] * d[2] >= 0.0:
                    hit, distance = -1, np.inf
            if k == 0:
                facing[i] = hit
            far[i] = max(far[i], distance)
            if hit < 0:
                break
    return far, facing


@compiled
def _way(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints, p: Floats, d: Floats, reach: float
) -> float:
    e, f = _frame(d)
    distance, hit = first_hit(points, corners, node_low, node_high, order, p, -1, d, e, f, reach)
    if hit < 0:
        return np.inf
    n = _unit_normal(points, corners, hit)
    return distance if n[0] * d[0] + n[1] * d[1] + n[2] * d[2] < 0.0 else np.inf


@compiled
def chords(
    points: Floats, corners: Ints, node_low: Floats, node_high: Floats, order: Ints, chosen: Ints, reach: float
) -> Floats:
    """The least free length along the skin of each chosen triangle, through its middle: across and along each side."""
    least = np.full(len(chosen), np.inf)
    for i in range(len(chosen)):
        t = chosen[i]
        n = _unit_normal(points, corners, t)
        p = (points[corners[t, 0]] + points[corners[t, 1]] + points[corners[t, 2]]) / 3.0 + 1e-3 * reach * n
        for k in range(6):
            d = points[corners[t, (k + 1) % 3]] - points[corners[t, k % 3]]
            length = np.sqrt(d[0] ** 2 + d[1] ** 2 + d[2] ** 2)
            if length == 0.0:
                continue
            d = d / length
            if k >= 3:
                d = np.array([n[1] * d[2] - n[2] * d[1], n[2] * d[0] - n[0] * d[2], n[0] * d[1] - n[1] * d[0]])
            one = _way(points, corners, node_low, node_high, order, p, d, reach)
            if one < least[i]:
                two = _way(points, corners, node_low, node_high, order, p, -d, reach)
                least[i] = min(least[i], one + two)
    return least
