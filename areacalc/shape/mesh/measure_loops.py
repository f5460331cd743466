"""Compiled: normals, areas, edges and heights of triangles."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints


def normals(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """Unit normals (k, 3), nought where there is no area, and areas (k,) of triangles (k, 3)."""
    normal, area = np.empty((len(corners), 3)), np.empty(len(corners))
    with nogil:
        for t in range(len(corners)):
            a, b, c = corners[t, 0], corners[t, 1], corners[t, 2]
            ux, uy, uz = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
            vx, vy, vz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
            x, y, z = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
            length = math.sqrt(x * x + y * y + z * z)
            area[t] = 0.5 * length
            if length == 0.0:
                length = 1.0
            normal[t, 0], normal[t, 1], normal[t, 2] = x / length, y / length, z / length
    return np.asarray(normal), np.asarray(area)


def _apart(points: Floats, one: int, two: int) -> float:
    x, y, z = points[one, 0] - points[two, 0], points[one, 1] - points[two, 1], points[one, 2] - points[two, 2]
    return math.sqrt(x * x + y * y + z * z)


def heights(points: Floats, corners: Ints, area: Floats) -> tuple[Floats, Floats]:
    """The height of each triangle over its longest edge, and that edge [mm]."""
    height, longest = np.zeros(len(corners)), np.zeros(len(corners))
    with nogil:
        for t in range(len(corners)):
            for j in range(3):
                longest[t] = max(longest[t], _apart(points, corners[t, j], corners[t, (j + 1) % 3]))
            if longest[t] > 0.0:
                height[t] = 2.0 * area[t] / longest[t]
    return np.asarray(height), np.asarray(longest)
