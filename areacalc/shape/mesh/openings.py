"""The holes in a mesh: where its open edges are, how long, and what it would take to close them."""

from dataclasses import dataclass

import numpy as np

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


def openings(mesh: Topology) -> tuple[OpenEdges, ...]:
    """The openings of a mesh, the longest first. The cap is the cone from the middle of the edges."""
    if mesh.closed:
        return ()
    used, index = np.unique(mesh.open_edges, return_inverse=True)
    ends = index.reshape(-1, 2)
    count, label = connected(len(used), *ends.T)
    loop = label[ends[:, 0]]
    a, b = mesh.points[mesh.open_edges[:, 0]], mesh.points[mesh.open_edges[:, 1]]
    length = np.linalg.norm(b - a, axis=1)
    total = np.bincount(loop, weights=length, minlength=count)
    sums = np.stack([np.bincount(loop, weights=length * x, minlength=count) for x in ((a + b) / 2).T], axis=1)
    middle = sums / total[:, None]
    cone = 0.5 * np.linalg.norm(np.cross(a - middle[loop], b - middle[loop]), axis=1)
    cap = np.bincount(loop, weights=cone, minlength=count)
    edges = np.bincount(loop, minlength=count)
    shell = np.full(count, -1)
    shell_of_point = np.full(len(mesh.points), -1)
    shell_of_point[mesh.corners.ravel()] = np.repeat(mesh.shell_of, 3)
    shell[label] = shell_of_point[used]
    crack = cap <= total * resolution_mm(mesh)
    return tuple(
        OpenEdges(int(edges[i]), float(total[i]), (float(middle[i, 0]), float(middle[i, 1]), float(middle[i, 2])),
                float(cap[i]), int(shell[i]), bool(crack[i]))
        for i in np.argsort(-total, kind="stable")
    )  # fmt: skip
