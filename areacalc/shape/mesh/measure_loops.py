"""Compiled: normals, areas, edges and heights of triangles, and how often they wind round a point."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints

_BLOCK = 16  # triangles one after the other, most of which lie beside each other
_FAR = 4.0  # times its size: seen from so far off a block is a small plane of its area


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


def winding_number(triangles: Floats, point: Floats) -> float:
    """How often triangles (k, 3, 3) wind round a point (3,): 1 inside a closed shell turned outward, 0 outside it.

    By the sum of their solid angles; a triangle that holds the point itself covers nothing. Published: A. van Oosterom,
    J. Strackee, IEEE Trans. Biomed. Eng. BME-30 (1983) 125.
    """
    x, y, z = point[0], point[1], point[2]
    with nogil:
        covered = _covered(triangles, 0, len(triangles), x, y, z)
    return float(covered / (4.0 * math.pi))


def winding_numbers(triangles: Floats, points: Floats) -> Floats:
    """As winding_number, within a hundredth, round each of many points (n, 3): what is far off is taken in blocks."""
    blocks = (len(triangles) + _BLOCK - 1) // _BLOCK
    middle, facing, size, out = np.zeros((blocks, 3)), np.zeros((blocks, 3)), np.zeros(blocks), np.zeros(len(points))
    with nogil:
        for b in range(blocks):
            _sum_up(triangles, b, middle, facing, size)
        for i in range(len(points)):
            x, y, z = points[i, 0], points[i, 1], points[i, 2]
            for b in range(blocks):
                ox, oy, oz = middle[b, 0] - x, middle[b, 1] - y, middle[b, 2] - z
                square = ox * ox + oy * oy + oz * oz
                if square > _FAR * _FAR * size[b]:
                    along = ox * facing[b, 0] + oy * facing[b, 1] + oz * facing[b, 2]
                    out[i] += along / (square * math.sqrt(square))
                else:
                    out[i] += _covered(triangles, b * _BLOCK, min((b + 1) * _BLOCK, len(triangles)), x, y, z)
    return np.asarray(out) / (4.0 * math.pi)


def _sum_up(triangles: Floats, b: int, middle: Floats, facing: Floats, size: Floats) -> None:
    """A block's middle by area, area as a vector, and how far its corners lie from its middle, squared."""
    first, last = b * _BLOCK, min((b + 1) * _BLOCK, len(triangles))
    whole = 0.0
    for t in range(first, last):
        ux, uy = triangles[t, 1, 0] - triangles[t, 0, 0], triangles[t, 1, 1] - triangles[t, 0, 1]
        vx, vy = triangles[t, 2, 0] - triangles[t, 0, 0], triangles[t, 2, 1] - triangles[t, 0, 1]
        uz, vz = triangles[t, 1, 2] - triangles[t, 0, 2], triangles[t, 2, 2] - triangles[t, 0, 2]
        x, y, z = 0.5 * (uy * vz - uz * vy), 0.5 * (uz * vx - ux * vz), 0.5 * (ux * vy - uy * vx)
        facing[b, 0], facing[b, 1], facing[b, 2] = facing[b, 0] + x, facing[b, 1] + y, facing[b, 2] + z
        area = math.sqrt(x * x + y * y + z * z)
        whole += area
        for k in range(3):
            middle[b, k] += area * (triangles[t, 0, k] + triangles[t, 1, k] + triangles[t, 2, k]) / 3.0
    for k in range(3):
        middle[b, k] = middle[b, k] / whole if whole > 0.0 else triangles[first, 0, k]
    for t in range(first, last):
        for j in range(3):
            x, y = triangles[t, j, 0] - middle[b, 0], triangles[t, j, 1] - middle[b, 1]
            z = triangles[t, j, 2] - middle[b, 2]
            size[b] = max(size[b], x * x + y * y + z * z)


def _covered(triangles: Floats, first: int, last: int, x: float, y: float, z: float) -> float:
    """What the triangles from the first to before the last cover."""
    total, x_turn, y_turn = 0.0, 1.0, 0.0  # small angles are added up as a turned vector, without an arc tangent each
    for t in range(first, last):
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
