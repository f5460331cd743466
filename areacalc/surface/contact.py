"""Where the faces of two bodies lie on each other: the area of every triangle that is covered so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import overlaps
from areacalc.shape.mesh.boxes_loops import triangle_boxes
from areacalc.sources import Constant, Kind, Source

CONTACT_GAP = Constant(1e-5, "mm", Source(Kind.DERIVED, "far thinner than any film that is grown: no bath flows in it"))


@dataclass(frozen=True, eq=False)
class Contact:
    """area_mm2 (k,): how much of each triangle lies against another body; gap_mm: the widest gap that was bridged."""

    area_mm2: Floats
    gap_mm: float


def gap_allowed_mm(points: Floats) -> float:
    """Faces this near touch: CONTACT_GAP, or the rounding of single-precision coordinates of this size if wider."""
    return max(CONTACT_GAP.value, 4.0 * float(np.abs(points).max(initial=0.0)) * 2.0**-24)


def contact(points: Floats, corners: Ints, body_of: Ints) -> Contact:
    """Faces of different bodies (body_of (k,), -1: none) that look at each other and are nearer than gap_allowed_mm."""
    gap = gap_allowed_mm(points)
    area, widest = np.zeros(len(corners)), 0.0
    low, high = triangle_boxes(points, corners)
    for i, j in _near_bodies(low, high, body_of, gap):
        one, two = (np.nonzero(body_of == body)[0] for body in (i, j))
        one = one[
            (low[one] <= high[two].max(axis=0) + gap).all(axis=1)
            & (high[one] >= low[two].min(axis=0) - gap).all(axis=1)
        ]
        two = two[(low[two] <= high[one].max(axis=0, initial=-np.inf) + gap).all(axis=1)
                  & (high[two] >= low[one].min(axis=0, initial=np.inf) - gap).all(axis=1)]  # fmt: skip
        pairs = overlaps(low[one] - gap, high[one] + gap, low[two], high[two])
        first, second = one[pairs[:, 0]].astype(np.int64), two[pairs[:, 1]].astype(np.int64)
        size = (high - low).max(axis=1)
        larger = np.where(size[first] >= size[second], first, second)
        smaller = np.where(size[first] >= size[second], second, first)
        covered, between = _covered(points[corners[larger]], points[corners[smaller]], gap)
        np.add.at(area, larger, covered)
        np.add.at(area, smaller, covered)
        widest = max(widest, between)
    return Contact(area, widest)


def _near_bodies(low: Floats, high: Floats, body_of: Ints, gap: float) -> Ints:
    bodies = np.unique(body_of[body_of >= 0])
    lows = np.array([low[body_of == body].min(axis=0) for body in bodies]).reshape(-1, 3)
    highs = np.array([high[body_of == body].max(axis=0) for body in bodies]).reshape(-1, 3)
    pairs = overlaps(lows - gap, highs + gap, lows, highs)
    return bodies[pairs[pairs[:, 0] < pairs[:, 1]]].astype(np.int32)


def _covered(larger: Floats, smaller: Floats, gap: float) -> tuple[Floats, float]:
    """The area that pairs of triangles (p, 3, 3) share in the plane of the larger one, and the widest gap between."""
    import shapely

    normal = np.cross(larger[:, 1] - larger[:, 0], larger[:, 2] - larger[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    facing = np.einsum("pc,pc->p", normal, np.cross(smaller[:, 1] - smaller[:, 0], smaller[:, 2] - smaller[:, 0])) < 0
    height = np.einsum("pkc,pc->pk", smaller - larger[:, :1], normal)
    flat = np.nonzero(facing & (np.abs(height).max(axis=1) <= gap))[0]
    out = np.zeros(len(larger))
    if not len(flat):
        return out, 0.0
    drop = np.abs(normal[flat]).argmax(axis=1)
    axes = np.array([[1, 2], [0, 2], [0, 1]])[drop]
    shapes = []
    for triangles in (larger[flat], smaller[flat]):
        plane = np.take_along_axis(triangles, np.repeat(axes[:, None, :], 3, axis=1), axis=2)
        shapes.append(shapely.polygons(np.concatenate([plane, plane[:, :1]], axis=1)))
    shared = shapely.area(shapely.intersection(*shapes)) / np.abs(normal[flat]).max(axis=1)
    out[flat] = shared
    touching = shared > 0
    return out, float(np.abs(height[flat][touching]).max(initial=0.0))
