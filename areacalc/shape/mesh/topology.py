"""How the triangles hang together: welded corners, neighbours across edges, shells, and what is open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Body, Floats, Ints

COMPILED_FROM = 400_000  # triangles; below, sorting is quicker than loading the compiler


@dataclass(frozen=True, eq=False)
class Topology:
    """The mesh welded at exactly equal points, triangles without area dropped, nothing else changed.

    points (p, 3) float64 mm; corners (k, 3) int32 rows of points; triangle_of (k,) int32, the row of Body.triangles
    each came from. across (k, 3) int32: the welded triangle across the edge from corner j to j+1, -1 where the edge
    is open; where more than two share it, the one on the other side of the same material (see crowded), -1 if none.
    shell_of (k,) int32 in 0 .. shell_count-1, numbered by the first triangle. open_edges and crowded_edges (e, 2) int32
    rows of points: used once, and used more than twice.
    oriented: every edge of two triangles is run in opposite directions by them.
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


def weld(points: Floats) -> tuple[Floats, Ints]:
    """The distinct rows of points (n, 3), in no order that means anything, and which of them each row is (n,)."""
    if len(points) > 3 * COMPILED_FROM:
        from areacalc.shape.mesh.topology_loops import weld_rows

        index, first = weld_rows(np.ascontiguousarray(points))
        return points[first] + 0.0, index
    points = np.ascontiguousarray(points + 0.0)  # -0.0 is 0.0
    mixed = _mixed(points)
    order = np.argsort(mixed, kind="stable")
    ranked, rows = mixed[order], points[order]
    new = np.r_[True, ranked[1:] != ranked[:-1]]
    if (~new[1:] & (rows[1:] != rows[:-1]).any(axis=1)).any():  # two points mixed to one number
        unique, index = np.unique(points, axis=0, return_inverse=True)
        return unique, index.reshape(-1).astype(np.int32)
    index = np.empty(len(points), np.int32)
    index[order] = np.cumsum(new, dtype=np.int32) - 1
    return rows[new], index


def _mixed(points: Floats) -> NDArray[np.uint64]:
    """A number for each row (n,), the same for equal rows and hardly ever for others; to multiply and shift in turn
    carries every bit everywhere, also of numbers that came in single precision and end in noughts."""
    mixed = np.zeros(len(points), np.uint64)
    for word in points.view(np.uint64).T:
        mixed = (mixed ^ word ^ (word >> np.uint64(29))) * np.uint64(0x9E3779B97F4A7C15)
        mixed = (mixed ^ (mixed >> np.uint64(32))) * np.uint64(0xD6E8FEB86659FD93)
        mixed ^= mixed >> np.uint64(29)
    return mixed


def topology(body: Body) -> Topology:
    """Weld and connect a Body's triangles."""
    points, index = weld(body.vertices)
    corners = index[body.triangles]
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0].astype(np.int32)
    if len(sound) < len(corners):
        corners = corners[sound]
    across, lone, crowded, oriented = _edges(corners, len(points))
    ends = _ends(corners, crowded)
    if len(crowded):
        from areacalc.shape.mesh.crowded import settle

        solid_of = body.solid_of_triangle[sound] if len(body.solid_of_triangle) else body.solid_of_triangle
        settle(points, corners, across, ends, solid_of)
    label, count = _shells(across)
    return Topology(points, corners, sound, across, label, count, _ends(corners, lone), ends,
                    oriented, len(body.triangles) - len(sound))  # fmt: skip


def _ends(corners: Ints, half: NDArray[np.int64]) -> Ints:
    """The two points of each half-edge (edge h % 3 of triangle h // 3): (e, 2)."""
    return np.stack([corners[half // 3, half % 3], corners[half // 3, (half + 1) % 3]], axis=1)


def _edges(corners: Ints, point_count: int) -> tuple[Ints, NDArray[np.int64], NDArray[np.int64], bool]:
    """Who is across each edge; the half-edges used once; one of each used more than twice; whether pairs agree."""
    if len(corners) > COMPILED_FROM:
        from areacalc.shape.mesh.topology_loops import pair_edges

        return pair_edges(corners, point_count)
    start = corners.ravel().astype(np.int64)
    end = corners[:, [1, 2, 0]].ravel().astype(np.int64)
    key = np.minimum(start, end) * point_count + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    ranked = key[order]
    first = np.nonzero(np.r_[True, ranked[1:] != ranked[:-1]])[0] if len(key) else np.empty(0, np.int64)
    uses = np.diff(np.r_[first, len(ranked)])
    pair = first[uses == 2]
    one, two = order[pair], order[pair + 1]
    across = np.full(len(key), -1, np.int32)
    across[one], across[two] = two // 3, one // 3
    agree = bool((start[one] != start[two]).all())
    return across.reshape(-1, 3), order[first[uses == 1]], order[first[uses > 2]], agree


def _shells(across: Ints) -> tuple[Ints, int]:
    if len(across) > COMPILED_FROM:
        from areacalc.shape.mesh.topology_loops import join

        return join(across)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    linked = across >= 0
    rows, cols = np.nonzero(linked)[0], across[linked]
    graph = coo_array((np.ones(len(rows), np.int8), (rows, cols)), shape=(len(across), len(across)))
    count, label = connected_components(graph, directed=False)
    return label.astype(np.int32), int(count)
