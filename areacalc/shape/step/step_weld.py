"""One mesh from one mesh a face: equal points become one, and near points where an edge would stay open."""

from __future__ import annotations

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import near
from areacalc.shape.step.step_mesh import FaceMesh

NEAR = 1e-6  # of the part's diagonal: the kernel's own points of one edge differ by rounding only


def welded(meshes: list[FaceMesh], group_of: Ints, diagonal_mm: float) -> tuple[Floats, Ints, int]:
    """Vertices (n, 3), triangles (m, 3) in the order given, and how many groups stay open."""
    starts = np.cumsum([0, *(len(m.vertices) for m in meshes)])
    vertices = np.concatenate([m.vertices for m in meshes])
    triangles = np.concatenate([m.triangles + s for m, s in zip(meshes, starts[:-1], strict=True)]).astype(np.int64)
    group = np.repeat(group_of, [len(m.triangles) for m in meshes])
    # a group keeps its own points, so that bodies that touch do not grow together
    point_group = np.repeat(group_of, [len(m.vertices) for m in meshes])
    keyed = np.column_stack([point_group.astype(np.float64), vertices + 0.0])
    unique, index = np.unique(keyed, axis=0, return_inverse=True)
    index = index.reshape(-1)
    corners: Ints = index[triangles]
    points = unique[:, 1:]
    loose = _open_edges(corners)
    if len(loose):
        corners = _snapped(points, unique[:, 0], np.unique(loose), NEAR * diagonal_mm)[corners]
        loose = _open_edges(corners)
    still = np.unique(unique[loose[:, 0], 0]) if len(loose) else np.empty(0)
    return points, corners.astype(np.int32), len(np.intersect1d(still, group))


def _open_edges(corners: Ints) -> Ints:
    """Edges (e, 2) that only one triangle uses; triangles that have lost a corner do not count."""
    a, b, c = corners.T
    sound = corners[(a != b) & (b != c) & (c != a)]
    ends = np.sort(np.concatenate([sound[:, [0, 1]], sound[:, [1, 2]], sound[:, [2, 0]]]), axis=1)
    edges, uses = np.unique(ends, axis=0, return_counts=True)
    lone: Ints = edges[uses == 1]
    return lone


def _snapped(points: Floats, group: Floats, loose: Ints, near_mm: float) -> Ints:
    """For each point the point it becomes: loose points of one group that lie near each other become the first."""
    target = np.arange(len(points))
    pairs = near(points[loose], near_mm)
    pairs = pairs[group[loose[pairs[:, 0]]] == group[loose[pairs[:, 1]]]]
    for one, two in sorted(pairs.tolist()):
        root = target[loose[one]]
        target[loose[two]] = min(root, target[loose[two]])
    return target
