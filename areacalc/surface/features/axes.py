"""Surfaces that turn about an axis: which turn about the same one, the area of whole rounds in closed form, and the
axis that a turned part is round to."""

import math

import numpy as np

from areacalc.shape.kinds import Floats, Surface, SurfaceKind
from areacalc.surface.features.fit import turns
from areacalc.surface.skin import SurfaceMap

AXIAL = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.TORUS)
_ROUND = (*AXIAL, SurfaceKind.THREAD, SurfaceKind.KNURL)
_ON_AXIS = 1e-4  # of the size
_AROUND = 0.1  # sine of how far the facets of a round free form lean round the axis: half of a facet's own turn


def coaxial(one: Surface, two: Surface) -> bool:
    """Whether two surfaces turn about the same axis; a sphere turns about any axis through its centre."""
    if SurfaceKind.SPHERE in (one.kind, two.kind):
        one, two = (one, two) if two.kind is SurfaceKind.SPHERE else (two, one)
    elif abs(float(np.dot(one.direction, two.direction))) < 1.0 - 2e-5:
        return False
    if one.kind not in (*AXIAL, SurfaceKind.SPHERE) or two.kind not in (*AXIAL, SurfaceKind.SPHERE):
        return False
    gap = np.array(two.point) - np.array(one.point)
    d = np.array(one.direction)
    off = np.linalg.norm(gap - (gap @ d) * d)
    return bool(off <= 2e-3 * (max(one.radius_mm, two.radius_mm) + 1e-3 * float(np.linalg.norm(gap))) + 1e-4)


def frustum_mm2(one_mm: float, two_mm: float, height_mm: float) -> float:
    """The side of a frustum with these radii at its ends; a ring where it has no height.

    >>> round(frustum_mm2(4.0, 4.0, 30.0), 1), round(frustum_mm2(0.0, 3.0, 0.0), 2)
    (754.0, 28.27)
    """
    return math.pi * (one_mm + two_mm) * math.hypot(one_mm - two_mm, height_mm)


def sphere_zone_mm2(radius_mm: float, height_mm: float) -> float:
    """The zone of a sphere between two planes."""
    return 2.0 * math.pi * radius_mm * height_mm


def torus_zone_mm2(surface: Surface, points: Floats) -> float:
    """The zone of a torus round its axis that holds these points (n, 3) on it.

    >>> ring = Surface(SurfaceKind.TORUS, (0, 0, 0), (0, 0, 1), 10.0, 2.0)
    >>> points = np.array([(10.0 + 2.0 * np.cos(t), 0.0, 2.0 * np.sin(t)) for t in np.linspace(0.0, np.pi / 2, 9)])
    >>> round(torus_zone_mm2(ring, points) - 2 * np.pi * 2 * (10 * np.pi / 2 + 2), 9)
    0.0
    """
    tube, around = surface.minor_radius_mm, turns(surface, points)[1]
    middle = math.atan2(float(np.sin(around).mean()), float(np.cos(around).mean()))
    off = (around - middle + math.pi) % (2.0 * math.pi) - math.pi
    low, high = middle + float(off.min()), middle + float(off.max())
    return 2.0 * math.pi * tube * (surface.radius_mm * (high - low) + tube * (math.sin(high) - math.sin(low)))


def turned_axis(skin: SurfaceMap) -> Floats | None:
    """The axis (unit) that all of a part's surfaces are round or square to; None for one that is not turned."""
    ring = max((p for p in skin.patches if p.surface.kind in _ROUND), key=lambda p: p.area_mm2.value, default=None)
    if ring is None:
        return None
    axis, point = np.asarray(ring.surface.direction, float), np.asarray(ring.surface.point, float)
    size = float(max(skin.body.size_mm))
    for number, patch in enumerate(skin.patches):
        surface = patch.surface
        along = abs(float(np.asarray(surface.direction) @ axis)) > 1.0 - 1e-6
        off = np.linalg.norm(np.cross(np.asarray(surface.point) - point, axis)) > _ON_AXIS * size
        match surface.kind:
            case SurfaceKind.PLANE if along:
                continue
            case SurfaceKind.SPHERE if not off:
                continue
            case SurfaceKind.FREE_FORM if _round(skin, number, axis, point):
                continue
            case kind if kind in _ROUND and along and not off:
                continue
        return None
    return axis


def _round(skin: SurfaceMap, patch: int, axis: Floats, point: Floats) -> bool:
    """Whether the normals of a patch's facets all lie in planes through the axis."""
    corners = skin.body.vertices[skin.body.triangles[skin.patch_of == patch]]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    around = np.cross(axis, corners.mean(axis=1) - point)
    lean = np.abs((normals * around).sum(axis=1))
    return bool((lean <= _AROUND * np.linalg.norm(normals, axis=1) * np.linalg.norm(around, axis=1)).all())
