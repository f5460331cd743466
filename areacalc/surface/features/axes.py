"""Surfaces that turn about an axis: which turn about the same one, and the area of whole rounds in closed form."""

import math

import numpy as np

from areacalc.shape.kinds import Floats, Surface, SurfaceKind
from areacalc.surface.features.fit import turns

AXIAL = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.TORUS)


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
