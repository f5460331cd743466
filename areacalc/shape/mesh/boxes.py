"""Which boxes overlap which: all at once for a few, through a tree of boxes for many."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes_loops import LEAF, find, winding_codes
from areacalc.shape.mesh.topology_loops import by_label

_FEW = 2_000_000  # comparisons that plain arrays do at once


def overlaps(low: Floats, high: Floats, other_low: Floats, other_high: Floats) -> Ints:
    """The pairs (p, 2) of rows of the first and of the other boxes that overlap or touch.

    >>> one, two = np.zeros((1, 3)), np.ones((1, 3))
    >>> overlaps(one, two, two, two + 1.0).tolist(), len(overlaps(one, two, two + 0.1, two + 1.0))
    ([[0, 0]], 0)
    """
    if not len(low) or not len(other_low):
        return np.empty((0, 2), np.int32)
    if len(low) * len(other_low) <= _FEW:
        hit = np.ones((len(low), len(other_low)), bool)
        for axis in range(3):
            hit &= low[:, None, axis] <= other_high[None, :, axis]
            hit &= high[:, None, axis] >= other_low[None, :, axis]
        return np.argwhere(hit).astype(np.int32)
    return BoxTree(other_low, other_high).overlaps(low, high)


def within(low: Floats, high: Floats, slack_mm: float = 0.0) -> Ints:
    """The pairs (p, 2) of rows of boxes of which the first lies in the second, but for that much; none in itself.

    >>> within(np.array([[0.0, 0, 0], [1, 1, 1]]), np.array([[3.0, 3, 3], [2, 2, 2]])).tolist()
    [[1, 0]]
    """
    pairs = overlaps(low - slack_mm, high + slack_mm, low, high)
    one, two = pairs[pairs[:, 0] != pairs[:, 1]].T
    inside = (low[two] <= low[one] + slack_mm).all(axis=1) & (high[two] >= high[one] - slack_mm).all(axis=1)
    return np.stack([one[inside], two[inside]], axis=1)


def near(points: Floats, reach_mm: float) -> Ints:
    """The pairs (p, 2) of rows of points (n, 3) that lie no further apart than that, the first row the lesser.

    >>> near(np.array([[0.0, 0, 0], [9, 0, 0], [0, 1, 0]]), 1.0).tolist()
    [[0, 2]]
    """
    low, high = points - 0.5 * reach_mm, points + 0.5 * reach_mm
    pairs = overlaps(low, high, low, high)
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    apart = points[pairs[:, 0]] - points[pairs[:, 1]]
    return np.asarray(pairs[np.einsum("pk,pk->p", apart, apart) <= reach_mm * reach_mm])


class BoxTree:
    """Boxes (n, 3) to (n, 3) in a heap of boxes around them: node i holds 2i and 2i+1, the root is 1.

    The leaves lie along a curve that winds through space, so that neighbours in the heap are neighbours there.
    """

    def __init__(self, low: Floats, high: Floats) -> None:
        upper, lower = winding_codes(low + high)
        order, _ = by_label(lower, 1 << 15)  # by the lower bits first, then by the upper: each keeps what it finds
        self.low, self.high = low, high
        self.order = np.asarray(order[by_label(upper[order], 1 << 15)[0]], np.int32)
        self.node_low, self.node_high = self.around(low, high)

    def around(self, low: Floats, high: Floats) -> tuple[Floats, Floats]:
        """The boxes of the heap around other boxes of what the tree holds, such as those of its normals."""
        leaves = 1 << max(0, int(np.ceil(np.log2(max(1, -(-len(low) // LEAF))))))
        node_low, node_high = np.full((2 * leaves, 3), np.inf), np.full((2 * leaves, 3), -np.inf)
        starts = np.arange(0, len(low), LEAF)
        node_low[leaves : leaves + len(starts)] = np.minimum.reduceat(low[self.order], starts)
        node_high[leaves : leaves + len(starts)] = np.maximum.reduceat(high[self.order], starts)
        while leaves > 1:
            leaves //= 2
            rows = slice(2 * leaves, 4 * leaves)
            node_low[leaves : 2 * leaves] = node_low[rows].reshape(-1, 2, 3).min(axis=1)
            node_high[leaves : 2 * leaves] = node_high[rows].reshape(-1, 2, 3).max(axis=1)
        return node_low, node_high

    def overlaps(self, low: Floats, high: Floats) -> Ints:
        """The pairs (p, 2) of rows of the boxes given and of the tree's that overlap or touch."""
        return find(low, high, self.node_low, self.node_high, self.order, self.low, self.high)
