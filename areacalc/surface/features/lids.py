"""Lids over the open loops of a mesh: a fan from the middle of each."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.connected import connected


def lids(points: Floats, corners: Ints) -> tuple[Floats, Ints]:
    """More points (p + loops, 3) and the triangles (l, 3) that shut every open loop, facing as their neighbours do.

    >>> p = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> more, lid = lids(p, np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2]], np.int32))  # a tetrahedron without one face
    >>> len(more), sorted(lid[:, :2].tolist())
    (5, [[1, 2], [2, 3], [3, 1]])
    """
    start = corners.ravel().astype(np.int64)
    end = corners[:, [1, 2, 0]].ravel().astype(np.int64)
    forth, back = start * len(points) + end, end * len(points) + start
    order, among = np.argsort(forth), np.sort(back)  # sorted, for a table of so many takes seconds
    keys = forth[order]
    lone = np.sort(order[among[np.searchsorted(among, keys).clip(max=len(among) - 1)] != keys])
    if not len(lone):
        return points, np.empty((0, 3), np.int32)
    one, two = end[lone], start[lone]  # a lid runs against its neighbour
    label = _loops(one, two, len(points))
    count = int(label.max()) + 1
    weight = np.linalg.norm(points[one] - points[two], axis=1)
    total = np.maximum(np.bincount(label, weights=weight, minlength=count), 1e-300)
    middle = 0.5 * (points[one] + points[two])
    centre = np.stack([np.bincount(label, weights=weight * middle[:, i], minlength=count) / total for i in range(3)], 1)
    fan = np.stack([one, two, len(points) + label], axis=1).astype(np.int32)
    return np.concatenate([points, centre]), fan


def _loops(one: Ints, two: Ints, count: int) -> Ints:
    _, label = connected(count, one, two)
    _, label = np.unique(label[one], return_inverse=True)
    return np.asarray(label.reshape(-1), np.int64)
