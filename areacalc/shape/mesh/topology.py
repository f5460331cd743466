"""How the triangles hang together: welded corners, neighbours across edges, shells, and what is open."""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.topology_loops import join_some, pair_edges, weld_rows

_SLANT = np.array((0.8137246810397521, 0.4951603278914637, 0.3049268175390842))  # no two points lie as high along it
_SPREAD = np.array([int(f"{cell:b}", 8) for cell in range(256)])  # the bits of a number, three places apart


@dataclass(frozen=True, eq=False)
class Topology:
    """The mesh welded at exactly equal points, triangles without area dropped, nothing else changed.

    Points and triangles stand in an order of their own, so that nothing depends on theirs in the file.

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
        return len(self.open_edges) == 0


def _order(points: Floats) -> Ints:
    """Distinct points (p, 3) in an order of their own, near ones near each other: by cells along a curve that fills
    space (G. M. Morton, "A computer oriented geodetic data base", IBM 1966), and in a cell along a slant."""
    if not len(points):
        return np.empty(0, np.int64)
    low = points.min(axis=0)
    size = max(float((points.max(axis=0) - low).max()), 1e-300)
    x, y, z = ((points - low) / size).T
    cell = _SPREAD[(255.0 * np.stack([x, y, z])).astype(np.int64)]
    slant = _SLANT[0] * x + _SLANT[1] * y + _SLANT[2] * z
    return np.argsort(cell[0] + 2 * cell[1] + 4 * cell[2] + 0.6 * slant, kind="stable")


def weld(points: Floats) -> tuple[Floats, Ints]:
    """The distinct rows of points (n, 3), in an order of their own, and which of them each row is (n,)."""
    index, first = weld_rows(np.ascontiguousarray(points))
    order = _order(points[first])
    place = np.empty(len(order), np.int32)
    place[order] = np.arange(len(order), dtype=np.int32)
    return points[first[order]] + 0.0, place[index]  # -0.0 is 0.0


def topology(vertices: Floats, triangles: Ints, solid_of_triangle: Ints) -> Topology:
    """Weld and connect triangles (m, 3), rows of vertices (n, 3) in mm.

    solid_of_triangle (m,): the solid each belongs to, which settles edges that more than two share; may be empty.
    """
    points, index = weld(vertices)
    corners = index[triangles]
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0].astype(np.int32)
    corners = corners[sound]
    first = corners.argmin(axis=1)
    a, b, c = (corners[np.arange(len(corners)), (first + turn) % 3] for turn in range(3))
    order = np.argsort((a.astype(np.int64) * len(points) + b) * len(points) + c, kind="stable")
    sound, corners = sound[order], np.stack([a[order], b[order], c[order]], axis=1)
    across, lone, crowded, oriented = pair_edges(corners, len(points))
    ends = _ends(corners, crowded)
    if len(crowded):
        from areacalc.shape.mesh.crowded import settle

        solid_of = solid_of_triangle[sound] if len(solid_of_triangle) else solid_of_triangle
        settle(points, corners, across, ends, solid_of)
    label, count = join_some(across, across >= 0)
    return Topology(points, corners, sound, across, label, count, _ends(corners, lone), ends,
                    oriented, len(triangles) - len(sound))  # fmt: skip


def on_crowded_edges(mesh: Topology, corners: Ints) -> Truths:
    """Which edges of triangles (k, 3), rows of the mesh's points, more than two triangles share (k, 3)."""
    if not len(mesh.crowded_edges):
        return np.zeros(corners.shape, bool)
    width = np.array([len(mesh.points), 1])
    ends = np.sort(np.stack([corners, np.roll(corners, -1, axis=1)], axis=2), axis=2).astype(np.int64) @ width
    return np.isin(ends, np.sort(mesh.crowded_edges, axis=1).astype(np.int64) @ width)


def _ends(corners: Ints, half: Ints) -> Ints:
    """The two points of each half-edge (edge h % 3 of triangle h // 3): (e, 2)."""
    return np.stack([corners[half // 3, half % 3], corners[half // 3, (half + 1) % 3]], axis=1)
