"""Compiled loops for large meshes: weld points through a hash table, pair half-edges, join shells; linear in time."""

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints, Truths

_NOUGHT, _ODD = np.uint64(0), np.uint64(0xD6E8FEB86659FD93)


def weld_rows(points: Floats) -> tuple[Ints, Ints]:
    """For each row (n, 3) the number of its distinct point, and for each distinct point its first row."""
    count = len(points)
    size = 16
    while size < 2 * count:
        size *= 2
    table = np.full(size, -1, np.int32)
    index = np.empty(count, np.int32)
    first = np.empty(count, np.int32)
    bits = np.asarray(points).view(np.uint64)
    known = 0
    with nogil:
        for row in range(count):
            mixed = _NOUGHT
            for axis in range(3):
                if points[row, axis] != 0.0:  # -0.0 is 0.0
                    mixed ^= bits[row, axis]
                mixed *= _ODD
                mixed ^= mixed >> 32
            slot = int(mixed & (size - 1))
            while True:
                held = table[slot]
                if held < 0:
                    table[slot] = known
                    first[known] = row
                    index[row] = known
                    known += 1
                    break
                other = first[held]
                if (
                    points[other, 0] == points[row, 0]
                    and points[other, 1] == points[row, 1]
                    and points[other, 2] == points[row, 2]
                ):
                    index[row] = held
                    break
                slot = (slot + 1) & (size - 1)
    return np.asarray(index), np.array(first[:known])


def pair_edges(corners: Ints, point_count: int) -> tuple[Ints, Ints, Ints, bool]:
    """Triangles (k, 3) across each edge, the half-edges used once, one of each used more than twice, and whether all
    pairs run in opposite directions. Half-edge h is edge h % 3 of triangle h // 3."""
    count = 3 * len(corners)
    start, at, half = np.zeros(point_count + 1, np.int64), np.empty(point_count, np.int64), np.empty(count, np.int32)
    with nogil:
        most = 0
        for t in range(len(corners)):
            for j in range(3):
                start[min(corners[t, j], corners[t, (j + 1) % 3]) + 1] += 1
        for p in range(point_count):
            most = max(most, start[p + 1])
            start[p + 1] += start[p]
            at[p] = start[p]
        for t in range(len(corners)):
            for j in range(3):
                p = min(corners[t, j], corners[t, (j + 1) % 3])
                half[at[p]] = 3 * t + j
                at[p] += 1
    far, across = np.empty(most, np.int32), np.full((len(corners), 3), -1, np.int32)
    lone, crowded = np.empty(count, np.int64), np.empty(count, np.int64)
    lone_count, crowded_count, oriented = 0, 0, True
    with nogil:
        for p in range(point_count):
            low, high = start[p], start[p + 1]
            for i in range(low, high):
                h = half[i]
                far[i - low] = max(corners[h // 3, h % 3], corners[h // 3, (h % 3 + 1) % 3])
            _sort(far, half, low, high - low)
            i = 0
            while i < high - low:
                j = i + 1
                while j < high - low and far[j] == far[i]:
                    j += 1
                one = half[low + i]
                if j - i == 1:
                    lone[lone_count] = one
                    lone_count += 1
                elif j - i == 2:
                    two = half[low + i + 1]
                    across[one // 3, one % 3], across[two // 3, two % 3] = two // 3, one // 3
                    oriented = oriented and corners[one // 3, one % 3] != corners[two // 3, two % 3]
                else:
                    crowded[crowded_count] = one
                    crowded_count += 1
                i = j
    return np.asarray(across), np.array(lone[:lone_count]), np.array(crowded[:crowded_count]), bool(oriented)


def _sort(key: Ints, beside: Ints, low: int, count: int) -> None:
    """Sort the first `count` keys (Shell's way, gaps of Knuth), and what stands beside them from `low` on with them.

    Half-edges of equal keys keep their order: they stand in order before, and the lesser goes first.
    """
    gap = 1
    while gap < count // 3:
        gap = 3 * gap + 1
    while gap > 0:
        for i in range(gap, count):
            k, h, j = key[i], beside[low + i], i - gap
            while j >= 0 and (key[j] > k or (key[j] == k and beside[low + j] > h)):
                key[j + gap], beside[low + j + gap] = key[j], beside[low + j]
                j -= gap
            key[j + gap], beside[low + j + gap] = k, h
        gap //= 3


def label_pairs(count: int, one: Ints, two: Ints) -> tuple[Ints, int]:
    """The group of each of `count` things of which pairs (p,) hang together, by first member; how many there are."""
    parent = np.empty(count, np.int32)
    with nogil:
        for i in range(count):
            parent[i] = i
        for i in range(len(one)):
            _tie(parent, one[i], two[i])
    return _labels(parent)


def join_some(across: Ints, linked: Truths) -> tuple[Ints, int]:
    """The group of each triangle over the linked edges (k, 3), by first member, and how many there are; an edge linked
    from one side is linked."""
    parent = np.empty(len(across), np.int32)
    with nogil:
        for t in range(len(across)):
            parent[t] = t
        for t in range(len(across)):
            for j in range(3):
                if linked[t, j] and across[t, j] >= 0:
                    _tie(parent, t, across[t, j])
    return _labels(parent)


def _tie(parent: Ints, one: int, two: int) -> None:
    """Make two groups one; a group's root is its first member."""
    a, b = root_of(parent, one), root_of(parent, two)
    parent[max(a, b)] = min(a, b)


def root_of(parent: Ints, of: int) -> int:
    """The member that stands for a thing's group; the way there is halved for the next who asks."""
    while parent[of] != of:
        parent[of] = parent[parent[of]]
        of = parent[of]
    return of


def _labels(parent: Ints) -> tuple[Ints, int]:
    label = np.empty(len(parent), np.int32)
    groups = 0
    with nogil:
        for i in range(len(parent)):
            if parent[i] == i:
                label[i] = groups
                groups += 1
            else:
                label[i] = label[parent[i]]
    return np.asarray(label), groups


def by_label(label: Ints, count: int) -> tuple[Ints, Ints]:
    """The rows of each label 0 .. count-1, in order, together: (n,), and where each label's begin: (count + 1,)."""
    first, at = np.zeros(count + 1, np.int64), np.empty(count, np.int64)
    order = np.empty(len(label), np.int64)
    with nogil:
        for i in range(len(label)):
            first[label[i] + 1] += 1
        for g in range(count):
            first[g + 1] += first[g]
            at[g] = first[g]
        for i in range(len(label)):
            order[at[label[i]]] = i
            at[label[i]] += 1
    return np.asarray(order), np.asarray(first)
