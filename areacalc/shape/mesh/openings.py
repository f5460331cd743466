"""The holes in a mesh: where its open edges are, how long, what it would take to close them, and lids over them."""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.topology import Topology, connected

LOST_FACET_EDGES = 4  # a hole of so many edges is one lost triangle, or two


@dataclass(frozen=True, slots=True)
class OpenEdges:
    """Open edges that hang together: how many, how long, round which point, and the area of a skin stretched over them.

    crack says that they lie on one another to within the file's rounding, as where corners meet the middle of edges.
    """

    edges: int
    length_mm: float
    centre_mm: tuple[float, float, float]
    cap_mm2: float
    shell: int
    crack: bool


def resolution_mm(mesh: Topology) -> float:
    """Four steps of single precision at the largest coordinate: what a float32 file cannot tell apart."""
    return float(np.abs(mesh.points).max()) * 2.0**-22


def loops(points: Floats, edges: Ints) -> tuple[Ints, Floats, Floats]:
    """Which edges (e, 2), rows of points, hang together: the loop of each (e,), and how long each loop is [mm] and
    where its middle lies."""
    used, index = np.unique(edges, return_inverse=True)
    ends = index.reshape(-1, 2)
    count, label = connected(len(used), *ends.T)
    loop = label[ends[:, 0]]
    a, b = points[edges].swapaxes(0, 1)
    length = np.linalg.norm(b - a, axis=1)
    total = summed(length, loop, count)
    sums = summed(length[:, None] * ((a + b) / 2), loop, count)
    return loop, total, sums / np.maximum(total, 1e-300)[:, None]


def openings(mesh: Topology) -> tuple[OpenEdges, ...]:
    """The openings of a mesh, the longest first. The cap is the cone from the middle of the edges."""
    if mesh.closed:
        return ()
    loop, total, middle = loops(mesh.points, mesh.open_edges)
    count = len(total)
    a, b = mesh.points[mesh.open_edges].swapaxes(0, 1)
    cone = 0.5 * np.linalg.norm(np.cross(a - middle[loop], b - middle[loop]), axis=1)
    cap = np.bincount(loop, weights=cone, minlength=count)
    edges = np.bincount(loop, minlength=count)
    shell, shell_of_point = np.full(count, -1), np.full(len(mesh.points), -1)
    shell_of_point[mesh.corners.ravel()] = np.repeat(mesh.shell_of, 3)
    shell[loop] = shell_of_point[mesh.open_edges[:, 0]]
    crack = cap <= total * resolution_mm(mesh)
    return tuple(
        OpenEdges(int(edges[i]), float(total[i]), (float(middle[i, 0]), float(middle[i, 1]), float(middle[i, 2])),
                float(cap[i]), int(shell[i]), bool(crack[i]))
        for i in np.argsort(-total, kind="stable")
    )  # fmt: skip


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
