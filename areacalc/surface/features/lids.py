"""Lids over the open loops of a mesh: a fan from the middle of each."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.openings import loops


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
    edges = np.stack([end[lone], start[lone]], axis=1)  # a lid runs against its neighbour
    loop, _, middle = loops(points, edges)
    return np.concatenate([points, middle]), np.column_stack([edges, len(points) + loop]).astype(np.int32)
