"""A picture of a part as bytes for the browser: a head in JSON, then points, corners and lines as plain arrays."""

import json

import numpy as np

from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.picture import Picture
from areacalc.surface.skin import SurfaceMap

from .coarse import LARGE, StateRun, coarse, gathered

Few = tuple[Floats, Ints, list[StateRun]]


def view_bytes(skin: SurfaceMap, drawn: Picture) -> bytes:
    """Little-endian: uint32 length of the head, the head (UTF-8, padded to 4 bytes), float32 points, uint32 corners,
    float32 lines; then the points and corners of the coarse part, where there is one. The head tells how many of each,
    every group's feature, state, start and count in corners, and every state's in the coarse ones.
    """
    few = coarse(drawn) if len(drawn.corners) > LARGE else (drawn.points[:0], drawn.corners[:0], [])
    groups: list[StateRun] = [
        {"feature": skin.features[g.feature].name, "state": g.state.value, "start": g.start, "count": g.count}
        for g in drawn.groups
    ]
    return _bytes(drawn.points, drawn.corners, drawn.lines, groups, few)


def look_bytes(body: Body) -> bytes:
    """The picture of a part whose features are not found yet: in few triangles where it has many."""
    points, corners = body.vertices, body.triangles
    if len(corners) > LARGE:
        points, corners, _ = gathered(points, corners)
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
