"""One mesh from one mesh a face: equal points become one, and near points where an edge would stay open."""

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
    unique, index = _distinct(np.column_stack([point_group.astype(np.float64), vertices + 0.0]))
    corners: Ints = index[triangles]
    points = unique[:, 1:]
    loose = _open_edges(corners)
    if len(loose):
        corners = _snapped(points, unique[:, 0], np.unique(loose), NEAR * diagonal_mm)[corners]
        loose = _open_edges(corners)
    still = np.unique(unique[loose[:, 0], 0]) if len(loose) else np.empty(0)
    return points, corners.astype(np.int32), len(np.intersect1d(still, group))


def _distinct(rows: Floats) -> tuple[Floats, Ints]:
    """The distinct rows in order, and which of them each row is: numpy's unique of rows takes five times as long."""
    order = np.lexsort(rows.T[::-1])
    sorted_rows = rows[order]
    first = np.ones(len(rows), bool)
    np.any(sorted_rows[1:] != sorted_rows[:-1], axis=1, out=first[1:])
    index = np.empty(len(rows), np.int64)
    index[order] = np.cumsum(first) - 1
    return sorted_rows[first], index


def _open_edges(corners: Ints) -> Ints:
    """Edges (e, 2) that only one triangle uses; triangles that have lost a corner do not count."""
    a, b, c = corners.T
    sound = corners[(a != b) & (b != c) & (c != a)]
    from_, to = sound.ravel(), sound[:, [1, 2, 0]].ravel()
    count = int(corners.max()) + 1 if len(corners) else 1
    edges, uses = np.unique(np.minimum(from_, to) * count + np.maximum(from_, to), return_counts=True)
    return np.column_stack(np.divmod(edges[uses == 1], count))


def _snapped(points: Floats, group: Floats, loose: Ints, near_mm: float) -> Ints:
    """For each point the point it becomes: loose points of one group that lie near each other become the first."""
    target = np.arange(len(points))
    pairs = near(points[loose], near_mm)
    pairs = pairs[group[loose[pairs[:, 0]]] == group[loose[pairs[:, 1]]]]
    for one, two in sorted(pairs.tolist()):
        root = target[loose[one]]
        target[loose[two]] = min(root, target[loose[two]])
    return target
