"""A part's picture in few triangles, to be drawn while it is being turned."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.picture import Picture

LARGE = 60_000  # triangles: fewer are drawn as they are
_CELLS = 96  # along the longest side
StateRun = dict[str, str | int]


def gathered(points: Floats, corners: Ints) -> tuple[Floats, Ints, Ints]:
    """Points (p, 3), corners (k, 3) rows of them, and which triangles are left (k,).

    Points of one small cube become one of them; triangles with less than three cubes go.
    """
    low = points.min(axis=0)
    side = max(float((points.max(axis=0) - low).max()) / _CELLS, 1e-9)
    cell = ((points - low) / side).astype(np.int64)
    across = cell.max(axis=0) + 1
    key = (cell[:, 0] * across[1] + cell[:, 1]) * across[2] + cell[:, 2]
    one = np.zeros(int(across.prod()), np.int64)
    one[key] = np.arange(len(points))
    found = key[corners]
    apart = (found[:, 0] != found[:, 1]) & (found[:, 1] != found[:, 2]) & (found[:, 2] != found[:, 0])
    kept = np.nonzero(apart)[0]
    used, rows = np.unique(one[found[kept]], return_inverse=True)
    return points[used], rows.reshape(-1, 3).astype(np.int32), kept


def coarse(drawn: Picture) -> tuple[Floats, Ints, list[StateRun]]:
    """Points (p, 3), corners (k, 3) rows of them, and where each state starts in the corners and how many it has."""
    points, corners, kept = gathered(drawn.points, drawn.corners)
    states = sorted({g.state for g in drawn.groups}, key=lambda s: s.value)
    state = np.repeat([states.index(g.state) for g in drawn.groups], [g.count for g in drawn.groups])[kept]
    order = np.argsort(state, kind="stable")
    starts = np.searchsorted(state[order], np.arange(len(states) + 1))
    runs: list[StateRun] = [
        {"state": s.value, "start": int(a), "count": int(b - a)}
        for s, a, b in zip(states, starts[:-1], starts[1:], strict=True)
    ]
    return points, corners[order], runs
