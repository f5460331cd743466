"""What a part looks like as it hangs: its silhouette from the front, the side and above."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from areacalc.part.part import Part
from areacalc.plant.drawing import Outlines, Ring
from areacalc.plant.hung import Points, Way

_MOST_TRIANGLES = 20_000  # of more the hull is drawn
_FINE = 0.002  # of a part's size: what a line on paper does not show


def outlines(parts: Sequence[Part], ways: Sequence[Way]) -> tuple[Outlines, ...]:
    """The silhouettes of parts, each as its way hangs it."""
    return tuple(_outlines(part, way) for part, way in zip(parts, ways, strict=True))


def _outlines(part: Part, way: Way) -> Outlines:
    along, across, up = (np.array(axis) for axis in way.axes)
    views = ((along, -up), (across, -up), (along, across))
    front, side, plan = (_silhouette(part, right, down) for right, down in views)
    return Outlines(front, side, plan)


def _silhouette(part: Part, right: Points, down: Points) -> Ring:
    """The outer edge of what is seen, from the corner of its box."""
    import shapely

    body = part.body
    flat = body.vertices @ np.stack([right, down], axis=1)
    flat = flat - flat.min(axis=0)
    seen = flat[body.triangles]
    (ax, ay), (bx, by), (cx, cy) = (seen[:, k].T for k in range(3))
    facing = seen[(bx - ax) * (cy - ay) - (by - ay) * (cx - ax) > 1e-9]
    whole = shapely.MultiPoint(flat).convex_hull
    if 0 < len(facing) <= _MOST_TRIANGLES:
        united = shapely.union_all(shapely.polygons(facing), grid_size=1e-4)
        largest = max(shapely.get_parts(united), key=lambda piece: piece.area)
        if largest.area > 0.5 * united.area:
            whole = largest
    edge = shapely.simplify(whole, _FINE * float(np.ptp(flat, axis=0).max()))
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(shapely.get_exterior_ring(edge)))
