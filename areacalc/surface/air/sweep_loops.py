"""Compiled: the sweep from the top down that joins the points of pockets, and the points that it begins at."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh import topology_loops

OPEN, NOTHING = -1, -2
_OPEN, _NOTHING = OPEN, NOTHING


def peaks(corners: Ints, points: Floats, up: Floats, height: Floats, start: Ints, rows: Ints) -> Ints:
    """The points with no neighbour above them and the liquid's side of the skin over them.

    The side is told by the normals of the triangles around, weighted by their angles there.
    """
    found = np.empty(len(points), np.int32)
    count = 0
    with nogil:
        for v in range(len(points)):
            if start[v] == start[v + 1] or not _top(corners, height, start, rows, v):
                continue
            over = 0.0
            for i in range(start[v], start[v + 1]):
                t, j = rows[i] // 3, rows[i] % 3
                a, b = corners[t, (j + 1) % 3], corners[t, (j + 2) % 3]
                a0, a1, a2 = points[a, 0] - points[v, 0], points[a, 1] - points[v, 1], points[a, 2] - points[v, 2]
                b0, b1, b2 = points[b, 0] - points[v, 0], points[b, 1] - points[v, 1], points[b, 2] - points[v, 2]
                n0, n1, n2 = a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0
                length = math.sqrt(n0 * n0 + n1 * n1 + n2 * n2)
                if length > 0.0:
                    angle = math.atan2(length, a0 * b0 + a1 * b1 + a2 * b2)
                    over += angle * (n0 * up[0] + n1 * up[1] + n2 * up[2]) / length
            if over > 0.0:
                found[count] = v
                count += 1
    return np.array(found[:count])


def _over(height: Floats, one: int, two: int) -> bool:
    """Whether one point comes before another from the top down; of two as high the one with the lesser number."""
    return bool(height[one] > height[two] or (height[one] == height[two] and one < two))


def _put(heap: Ints, count: int, height: Floats, v: int) -> int:
    """Put a point in its place among the `count` that wait, the highest first; how many wait then."""
    at = count
    while at > 0 and _over(height, v, heap[(at - 1) // 2]):
        heap[at] = heap[(at - 1) // 2]
        at = (at - 1) // 2
    heap[at] = v
    return count + 1


def _take(heap: Ints, count: int, height: Floats) -> int:
    """The highest of the `count` points that wait, taken out."""
    first, last, at = heap[0], heap[count - 1], 0
    while 2 * at + 1 < count - 1:
        below = 2 * at + 1
        if below + 1 < count - 1 and _over(height, heap[below + 1], heap[below]):
            below += 1
        if not _over(height, heap[below], last):
            break
        heap[at] = heap[below]
        at = below
    heap[at] = last
    return int(first)


def _held(parent: Ints, gate: Ints, v: int) -> int:
    """The point that names what a point hangs together with, -1 where that has met open air."""
    if parent[v] == _NOTHING:
        return -1
    r = topology_loops.root_of(parent, v)
    return r if r < len(gate) and gate[r] == _NOTHING else -1


def sweep(corners: Ints, height: Floats, start: Ints, rows: Ints, shaft: Ints) -> tuple[Ints, Ints, Ints]:
    """Join the points from the top down; what meets open air is closed there. Returns pocket, gate and root of each.

    height: what the points are ordered by. shaft: the point that stands over each across liquid, OPEN for the open air,
    NOTHING where the sweep along the skin suffices.
    pocket (p,): a point that names the pocket, OPEN for what the liquid reaches, NOTHING for what is sealed off.
    gate (p,): for the point that names a pocket, the one at which it met open air. root (p,): a point that names all
    that hangs together with what is sealed off.

    Come to are only points that may lie in a pocket: tops that no open air stands over, and what lies below a point in
    a pocket. All others are open.
    """
    count, waiting = len(height), 0
    parent = np.full(count + 1, _NOTHING, np.int32)  # of points in pockets; the last stands for open air
    gate, pocket, root = np.full(count, _NOTHING, np.int32), np.empty(count, np.int32), np.empty(count, np.int32)
    heap, known = np.empty(count, np.int32), np.zeros(count, np.uint8)
    with nogil:
        parent[count] = count
        for v in range(count):
            if start[v] == start[v + 1] or shaft[v] == _OPEN:
                continue
            if shaft[v] >= 0 or _top(corners, height, start, rows, v):
                known[v] = 1
                waiting = _put(heap, waiting, height, v)
        while waiting > 0:
            v = _take(heap, waiting, height)
            waiting -= 1
            over = shaft[v]
            if over >= 0 and parent[over] == _NOTHING and (start[over] == start[over + 1] or _over(height, v, over)):
                parent[over] = over  # not come to before
                if known[over] == 0 and start[over] < start[over + 1]:
                    known[over] = 1
                    waiting = _put(heap, waiting, height, over)
            free = over == _OPEN
            for pass_ in range(2):  # first whether any neighbour is open, then join
                for i in range(start[v] - 1, start[v + 1]):
                    u = over if i < start[v] else corners[rows[i] // 3, (rows[i] + 1) % 3]
                    if u < 0 or (i >= start[v] and not _over(height, u, v)):
                        continue
                    r = _held(parent, gate, u)
                    if pass_ == 0:
                        free = free or r < 0
                    elif free and r >= 0:
                        gate[r] = v
                    elif not free:
                        mine = topology_loops.root_of(parent, v)
                        if mine != r:
                            parent[mine] = r
                if pass_ == 0 and free:
                    parent[v] = count
                elif pass_ == 0 and parent[v] == _NOTHING:
                    parent[v] = v
            if not free:
                for i in range(start[v], start[v + 1]):
                    for j in range(1, 3):
                        u = corners[rows[i] // 3, (rows[i] + j) % 3]
                        if known[u] == 0 and _over(height, v, u):
                            known[u] = 1
                            waiting = _put(heap, waiting, height, u)
        for v in range(count):
            root[v] = v if parent[v] == _NOTHING else topology_loops.root_of(parent, v)
            if parent[v] == _NOTHING:
                pocket[v] = _OPEN if start[v] < start[v + 1] else _NOTHING
            elif root[v] == count:
                pocket[v] = _OPEN
            else:
                pocket[v] = root[v] if gate[root[v]] != _NOTHING else _NOTHING
    return np.asarray(pocket), np.asarray(gate), np.asarray(root)


def _top(corners: Ints, height: Floats, start: Ints, rows: Ints, v: int) -> bool:
    """Whether no neighbour of a point lies above it."""
    for i in range(start[v], start[v + 1]):
        if _over(height, corners[rows[i] // 3, (rows[i] + 1) % 3], v):
            return False
    return True
