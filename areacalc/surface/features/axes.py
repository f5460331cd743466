"""Which surfaces turn about the same axis."""

import numpy as np

from areacalc.shape.kinds import Surface, SurfaceKind

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
