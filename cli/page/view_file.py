"""A picture of a part as bytes for the browser: a head in JSON, then points, corners and lines as plain arrays."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import numpy as np

from .coarse import LARGE, coarse

if TYPE_CHECKING:
    from areacalc.surface.picture import Picture
    from areacalc.surface.skin import SurfaceMap


def view_bytes(skin: SurfaceMap, drawn: Picture) -> bytes:
    """Little-endian: uint32 length of the head, the head (UTF-8, padded to 4 bytes), float32 points, uint32 corners,
    float32 lines; then the points and corners of the coarse part, where there is one. The head tells how many of each,
    every group's feature, state, start and count in corners, and every state's in the coarse ones.
    """
    few = coarse(drawn) if len(drawn.corners) > LARGE else (drawn.points[:0], drawn.corners[:0], [])
    head = {
        "points": len(drawn.points),
        "triangles": len(drawn.corners),
        "lines": len(drawn.lines),
        "groups": [
            {"feature": skin.features[g.feature].name, "state": g.state.value, "start": g.start, "count": g.count}
            for g in drawn.groups
        ],
        "few": {"points": len(few[0]), "triangles": len(few[1]), "runs": few[2]},
        "labels": {f.name: at for f, at in zip(skin.features, drawn.labels, strict=True)},
    }
    text = json.dumps(head, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    arrays = (drawn.points.astype("<f4"), drawn.corners.astype("<u4"), drawn.lines.astype("<f4"),
              few[0].astype("<f4"), few[1].astype("<u4"))  # fmt: skip
    return b"".join([np.uint32(len(text)).tobytes(), text, *(a.tobytes() for a in arrays)])
