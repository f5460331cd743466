"""Triangles that pass through one another."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import BoxTree
from areacalc.shape.mesh.boxes_loops import edge_spread, triangle_boxes
from areacalc.shape.mesh.crossing_loops import passing

_MOST = 300_000_000  # pairs held against each other before giving up: a few seconds


def crossing_pairs(points: Floats, corners: Ints, slack_mm: float) -> Ints | None:
    """The pairs (p, 2) of triangles of one mesh that pass through one another by more than slack_mm.

    Triangles that share a corner are not compared, nor those that lie flat on each other. None where so many lie close
    to each other (strips as long as the part, in many directions) that the search would take minutes.
    """
    tree = BoxTree(*_slim_boxes(points, corners))
    order = tree.order
    mine = corners[order]
    pairs, finished = passing(mine, points[mine], tree.low[order], tree.high[order], tree.node_low, tree.node_high,
                              slack_mm, _MOST)  # fmt: skip
    return np.sort(order[pairs], axis=1) if finished else None


def _slim_boxes(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """The triangles' boxes, along the axes or along the directions in which most edges run, whichever are slimmer.

    The long strips of a turned part that lies askew have boxes as large as the part, but slim ones along its axis.
    """
    _, frame = np.linalg.eigh(edge_spread(points, corners))
    plain, turned = triangle_boxes(points, corners), triangle_boxes(points @ frame, corners)
    return turned if _faces_mm2(*turned) < 0.5 * _faces_mm2(*plain) else plain


def _faces_mm2(low: Floats, high: Floats) -> float:
    x, y, z = (high - low).T
    return float(x @ y + y @ z + z @ x)
