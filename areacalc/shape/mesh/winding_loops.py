"""Compiled: the solid angle that triangles cover seen from a point."""

from __future__ import annotations

import math

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats


def solid_angle(triangles: Floats, x: float, y: float, z: float) -> float:
    """Of triangles (k, 3, 3), signed, in steradians; a triangle that holds the point itself covers nothing."""
    total = 0.0
    with nogil:
        for t in range(len(triangles)):
            ax, ay, az = triangles[t, 0, 0] - x, triangles[t, 0, 1] - y, triangles[t, 0, 2] - z
            bx, by, bz = triangles[t, 1, 0] - x, triangles[t, 1, 1] - y, triangles[t, 1, 2] - z
            cx, cy, cz = triangles[t, 2, 0] - x, triangles[t, 2, 1] - y, triangles[t, 2, 2] - z
            la, lb = math.sqrt(ax * ax + ay * ay + az * az), math.sqrt(bx * bx + by * by + bz * bz)
            lc = math.sqrt(cx * cx + cy * cy + cz * cz)
            top = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
            ab, bc, ca = ax * bx + ay * by + az * bz, bx * cx + by * cy + bz * cz, cx * ax + cy * ay + cz * az
            total += 2.0 * math.atan2(top, la * lb * lc + ab * lc + bc * la + ca * lb)
    return total
