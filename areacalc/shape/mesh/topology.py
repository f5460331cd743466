"""How the triangles hang together: welded corners, neighbours across edges, shells, and what is open."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.topology_loops import join, pair_edges, weld_rows


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


def weld(points: Floats) -> tuple[Floats, Ints]:
    """The distinct rows of points (n, 3), in the order they first come, and which of them each row is (n,)."""
    index, first = weld_rows(np.ascontiguousarray(points))
    return points[first] + 0.0, index  # -0.0 is 0.0


def topology(vertices: Floats, triangles: Ints, solid_of_triangle: Ints) -> Topology:
    """Weld and connect triangles (m, 3), rows of vertices (n, 3) in mm.

    solid_of_triangle (m,): the solid each belongs to, which settles edges that more than two share; may be empty.
    """
    points, index = weld(vertices)
    corners = index[triangles]
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0].astype(np.int32)
    if len(sound) < len(corners):
        corners = corners[sound]
    across, lone, crowded, oriented = pair_edges(corners, len(points))
    ends = _ends(corners, crowded)
    if len(crowded):
        from areacalc.shape.mesh.crowded import settle

        solid_of = solid_of_triangle[sound] if len(solid_of_triangle) else solid_of_triangle
        settle(points, corners, across, ends, solid_of)
    label, count = join(across)
    return Topology(points, corners, sound, across, label, count, _ends(corners, lone), ends,
                    oriented, len(triangles) - len(sound))  # fmt: skip


def on_crowded_edges(mesh: Topology, corners: Ints) -> NDArray[np.bool_]:
    """Which edges of triangles (k, 3), rows of the mesh's points, more than two triangles share (k, 3)."""
    if not len(mesh.crowded_edges):
        return np.zeros(corners.shape, bool)
    width = np.array([len(mesh.points), 1])
    ends = np.sort(np.stack([corners, np.roll(corners, -1, axis=1)], axis=2), axis=2).astype(np.int64) @ width
    return np.isin(ends, np.sort(mesh.crowded_edges, axis=1).astype(np.int64) @ width)


def _ends(corners: Ints, half: NDArray[np.int64]) -> Ints:
    """The two points of each half-edge (edge h % 3 of triangle h // 3): (e, 2)."""
    return np.stack([corners[half // 3, half % 3], corners[half // 3, (half + 1) % 3]], axis=1)
