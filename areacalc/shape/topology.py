"""How the triangles hang together: welded corners, neighbours across edges, shells, and what is open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from areacalc.shape.body import Body, Floats, Ints


@dataclass(frozen=True, eq=False)
class Topology:
    """The mesh welded at exactly equal points, triangles without area dropped, nothing else changed.

    points (p, 3) float64 mm; corners (k, 3) int32 rows of points; triangle_of (k,) int32, the row of Body.triangles
    each came from. across (k, 3) int32: the welded triangle across the edge from corner j to j+1, -1 where the edge
    is open or shared by more than two. shell_of (k,) int32 in 0 .. shell_count-1, numbered by the first triangle.
    open_edges and crowded_edges (e, 2) int32 rows of points: used once, and used more than twice.
    oriented: every shared edge is run in opposite directions by its two triangles.
    """

    points: Floats
    corners: Ints
    triangle_of: Ints
    across: Ints
    shell_of: Ints
    shell_count: int
    open_edges: Ints
    crowded_edges: Ints
    oriented: bool
    dropped: int

    @property
    def closed(self) -> bool:
        """No edge is open."""
        return len(self.open_edges) == 0

    def open_length_mm(self) -> float:
        """The total length of the open edges [mm]."""
        ends = self.points[self.open_edges]
        return float(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum())


def weld(points: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """The distinct rows of points (n, 3) and, for each row given, which of them it is (n,)."""
    unique, index = np.unique(points + 0.0, axis=0, return_inverse=True)
    return unique, index.reshape(-1)


def topology(body: Body) -> Topology:
    """Weld and connect a Body's triangles."""
    points, index = weld(body.vertices)
    corners = index[body.triangles].astype(np.int32)
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0].astype(np.int32)
    corners = corners[sound]
    across, open_edges, crowded_edges, oriented = _edges(corners, len(points))
    linked = across >= 0
    rows, cols = np.repeat(np.arange(len(corners)), 3)[linked.ravel()], across[linked]
    graph = coo_array((np.ones(len(rows), np.int8), (rows, cols)), shape=(len(corners), len(corners)))
    count, label = connected_components(graph, directed=False)
    return Topology(points, corners, sound, across, label.astype(np.int32), int(count), open_edges, crowded_edges,
                    oriented, len(body.triangles) - len(sound))  # fmt: skip


def _edges(corners: Ints, point_count: int) -> tuple[Ints, Ints, Ints, bool]:
    start = corners.ravel().astype(np.int64)
    end = corners[:, [1, 2, 0]].ravel().astype(np.int64)
    key = np.minimum(start, end) * point_count + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    ranked = key[order]
    first = np.nonzero(np.r_[True, ranked[1:] != ranked[:-1]])[0]
    uses = np.diff(np.r_[first, len(ranked)])
    pair = first[uses == 2]
    one, two = order[pair], order[pair + 1]
    across = np.full(len(key), -1, np.int32)
    across[one], across[two] = two // 3, one // 3
    ends = np.stack([start, end], axis=1).astype(np.int32)
    return (
        across.reshape(-1, 3),
        ends[order[first[uses == 1]]],
        ends[order[first[uses > 2]]],
        bool((start[one] != start[two]).all()),
    )
