"""Connected components of a graph given as pairs."""

import numpy as np

from areacalc.shape.kinds import Ints
from areacalc.shape.mesh.topology_loops import label_pairs


def connected(count: int, one: Ints, two: Ints) -> tuple[int, Ints]:
    """How many groups `count` things make up, and (count,) which one each is in, numbered by first member.

    one, two (p,): the rows of the things that hang directly together.

    >>> groups, label = connected(4, np.array([3]), np.array([0]))
    >>> groups, label.tolist()
    (3, [0, 1, 2, 0])
    """
    label, groups = label_pairs(count, np.asarray(one, np.int64), np.asarray(two, np.int64))
    return groups, label
