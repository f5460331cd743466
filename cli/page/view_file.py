"""A picture of a part as bytes for the browser: a head in JSON, then points, corners and lines as plain arrays.

A large one comes in few triangles too, to be drawn while it is being turned.
"""

import json

import numpy as np

from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.picture import Picture
from areacalc.surface.skin import SurfaceMap

_LARGE = 60_000  # triangles: fewer are drawn as they are
_CELLS = 96  # along the longest side
StateRun = dict[str, str | int]
Few = tuple[Floats, Ints, list[StateRun]]


def view_bytes(skin: SurfaceMap, drawn: Picture) -> bytes:
    """Little-endian: uint32 length of the head, the head (UTF-8, padded to 4 bytes), float32 points, uint32 corners,
    float32 lines; then the points and corners of the coarse part, where there is one. The head tells how many of each,
    every group's feature, state, start and count in corners, and every state's in the coarse ones.
    """
    few = _coarse(drawn) if len(drawn.corners) > _LARGE else (drawn.points[:0], drawn.corners[:0], [])
    groups: list[StateRun] = [
        {"feature": skin.features[g.feature].name, "state": g.state.value, "start": g.start, "count": g.count}
        for g in drawn.groups
    ]
    return _bytes(drawn.points, drawn.corners, drawn.lines, groups, few)


def look_bytes(body: Body) -> bytes:
    """The picture of a part whose features are not found yet: in few triangles where it has many."""
    points, corners = body.vertices, body.triangles
    if len(corners) > _LARGE:
        points, corners, _ = _gathered(points, corners)
    nothing: Few = (points[:0], corners[:0], [])
    group: StateRun = {"feature": "", "state": "", "start": 0, "count": len(corners)}
    return _bytes(points, corners, points[:0].reshape(0, 2, 3), [group], nothing)


def _bytes(points: Floats, corners: Ints, lines: Floats, groups: list[StateRun], few: Few) -> bytes:
    head = {
        "points": len(points),
        "triangles": len(corners),
        "lines": len(lines),
        "groups": groups,
        "few": {"points": len(few[0]), "triangles": len(few[1]), "runs": few[2]},
    }
    text = json.dumps(head, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    arrays = (points.astype("<f4"), corners.astype("<u4"), lines.astype("<f4"), few[0].astype("<f4"),
              few[1].astype("<u4"))  # fmt: skip
    return b"".join([np.uint32(len(text)).tobytes(), text, *(a.tobytes() for a in arrays)])


def _gathered(points: Floats, corners: Ints) -> tuple[Floats, Ints, Ints]:
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


def _coarse(drawn: Picture) -> tuple[Floats, Ints, list[StateRun]]:
    """Points (p, 3), corners (k, 3) rows of them, and where each state starts in the corners and how many it has."""
    points, corners, kept = _gathered(drawn.points, drawn.corners)
    states = sorted({g.state for g in drawn.groups}, key=lambda s: s.value)
    state = np.repeat([states.index(g.state) for g in drawn.groups], [g.count for g in drawn.groups])[kept]
    order = np.argsort(state, kind="stable")
    starts = np.searchsorted(state[order], np.arange(len(states) + 1))
    runs: list[StateRun] = [
        {"state": s.value, "start": int(a), "count": int(b - a)}
        for s, a, b in zip(states, starts[:-1], starts[1:], strict=True)
    ]
    return points, corners[order], runs
