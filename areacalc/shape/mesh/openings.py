"""The holes in a mesh: where its open edges are, how long, and what it would take to close them."""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.connected import connected
from areacalc.shape.mesh.topology import Topology

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
