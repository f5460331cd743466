"""Plugged bores as the bath meets them: their walls taken away, their mouths shut."""

from __future__ import annotations

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.features.lids import lids
from areacalc.surface.shut_in import merged
from areacalc.surface.split import Pieces


def shut(bare: Pieces) -> tuple[Floats, Ints, Ints]:
    """The skin that plugs leave: points, corners, parents, with a lid over every mouth (parent -1)."""
    points, corners, kept = merged(bare)
    more, lid = lids(points, corners)
    parent = np.r_[bare.parent[kept], np.full(len(lid), -1)].astype(np.int32)
    return more, np.concatenate([corners, lid]), parent
