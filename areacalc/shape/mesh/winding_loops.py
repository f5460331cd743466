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
    total, x_turn, y_turn = 0.0, 1.0, 0.0  # small angles are added up as a turned vector, without an arc tangent each
    with nogil:
        for t in range(len(triangles)):
            ax, ay, az = triangles[t, 0, 0] - x, triangles[t, 0, 1] - y, triangles[t, 0, 2] - z
            bx, by, bz = triangles[t, 1, 0] - x, triangles[t, 1, 1] - y, triangles[t, 1, 2] - z
            cx, cy, cz = triangles[t, 2, 0] - x, triangles[t, 2, 1] - y, triangles[t, 2, 2] - z
            la, lb = math.sqrt(ax * ax + ay * ay + az * az), math.sqrt(bx * bx + by * by + bz * bz)
            lc = math.sqrt(cx * cx + cy * cy + cz * cz)
            top = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
            ab, bc, ca = ax * bx + ay * by + az * bz, bx * cx + by * cy + bz * cz, cx * ax + cy * ay + cz * az
            low = la * lb * lc + ab * lc + bc * la + ca * lb
            if abs(top) > 0.5 * low:
                total += 2.0 * math.atan2(top, low)
                continue
            tangent = top / low if low > 0.0 else 0.0
            x_turn, y_turn = x_turn - y_turn * tangent, x_turn * tangent + y_turn
            if abs(y_turn) > x_turn:
                total += 2.0 * math.atan2(y_turn, x_turn)
                x_turn, y_turn = 1.0, 0.0
    return total + 2.0 * math.atan2(y_turn, x_turn)
