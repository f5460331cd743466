"""Compiled: distances from an analytic surface, and the Gauss-Newton steps that fit one.

A surface is handed over as its kind and ten numbers: point (3), direction (3), radius, minor radius, cosine and sine of
the half angle.
"""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Truths
from areacalc.surface.features import fit_kinds

_STEPS = 12


def off(kind: int, shape: Floats, x: float, y: float, z: float) -> float:
    """As fit.distances, for one point."""
    x, y, z = x - shape[0], y - shape[1], z - shape[2]
    square = x * x + y * y + z * z
    if kind == fit_kinds.SPHERE:
        return float(math.sqrt(square) - shape[6])
    h = x * shape[3] + y * shape[4] + z * shape[5]
    r = math.sqrt(max(square - h * h, 0.0))
    if kind == fit_kinds.CYLINDER:
        return float(r - shape[6])
    if kind == fit_kinds.CONE:
        return float((r - shape[6]) * shape[8] - h * shape[9])
    out = r - shape[6]
    return float(math.sqrt(out * out + h * h) - shape[7])


def facing(kind: int, shape: Floats, x: float, y: float, z: float, normal: Floats, row: int) -> float:
    """The cosine between the unit vector in a row of normal and the way that the distance grows at a point."""
    nx, ny, nz = normal[row, 0], normal[row, 1], normal[row, 2]
    x, y, z = x - shape[0], y - shape[1], z - shape[2]
    if kind == fit_kinds.SPHERE:
        length = math.sqrt(x * x + y * y + z * z)
        return float((x * nx + y * ny + z * nz) / (length if length > 0.0 else 1.0))
    h = x * shape[3] + y * shape[4] + z * shape[5]
    x, y, z = x - h * shape[3], y - h * shape[4], z - h * shape[5]
    r = math.sqrt(x * x + y * y + z * z)
    radial = (x * nx + y * ny + z * nz) / (r if r > 0.0 else 1.0)
    along = shape[3] * nx + shape[4] * ny + shape[5] * nz
    if kind == fit_kinds.CYLINDER:
        return float(radial)
    if kind == fit_kinds.CONE:
        return float(shape[8] * radial - shape[9] * along)
    out = r - shape[6]
    length = math.sqrt(out * out + h * h)
    return float((out * radial + h * along) / (length if length > 0.0 else 1.0))


def refine(kind: int, points: Floats, tip: Truths, start: Floats) -> tuple[Floats, bool]:
    """Gauss-Newton on the axis and the shape of a cylinder, cone or torus, to points (n, 3), and whether it came out.

    start (8,): point, direction, then radius, or radius and half angle, or radius and minor radius; so is what comes
    back. tip (n,): the points that must lie on the axis.
    """
    at = np.array(start)
    width = 5 if kind == fit_kinds.CYLINDER else 6 if kind == fit_kinds.CONE else 7
    row, own, square, right = np.zeros(8), np.zeros(3), np.zeros((7, 7)), np.zeros(7)
    u, v, d = np.zeros(3), np.zeros(3), np.zeros(3)
    last, fitted = math.inf, True
    with nogil:
        for _ in range(_STEPS):
            for i in range(3):
                d[i] = at[3 + i]
            _square_to(d, u, v)
            for i in range(7):
                right[i] = 0.0
                for j in range(7):
                    square[i, j] = 0.0
            for i in range(len(points)):
                px, py, pz = points[i, 0] - at[0], points[i, 1] - at[1], points[i, 2] - at[2]
                z = px * d[0] + py * d[1] + pz * d[2]
                x, y = px * u[0] + py * u[1] + pz * u[2], px * v[0] + py * v[1] + pz * v[2]
                r = max(math.sqrt(x * x + y * y), 1e-12)
                qu, qv = x / r, y / r
                if tip[i]:  # two more rows: how far off the axis it is
                    r, qu, qv = 0.0, 0.0, 0.0
                    for k in range(2):
                        for j in range(7):
                            row[j] = 0.0
                        row[k], row[2 + k], row[7] = -1.0, -z, x if k == 0 else y
                        _add(row, width, square, right)
                fr, fz, own[0], own[1], own[2] = 1.0, 0.0, -1.0, 0.0, 0.0
                row[7] = r - at[6]
                if kind == fit_kinds.CONE:
                    fr, fz = math.cos(at[7]), -math.sin(at[7])
                    row[7] = (r - at[6]) * fr + z * fz
                    own[0], own[1] = -fr, (r - at[6]) * fz - z * fr
                elif kind == fit_kinds.TORUS:
                    out = r - at[6]
                    tube = max(math.sqrt(out * out + z * z), 1e-12)
                    fr, fz = out / tube, z / tube
                    row[7] = tube - at[7]
                    own[0], own[1], own[2] = -fr, -1.0, -fz
                tilt = fz * r - fr * z
                row[0], row[1], row[2], row[3] = -fr * qu, -fr * qv, tilt * qu, tilt * qv
                row[4], row[5], row[6] = own[0], own[1], own[2]
                _add(row, width, square, right)
            if not _solve(square, right, width):  # Newton sets right what squaring the rows blurs
                fitted = False
                break
            size = 0.0
            for i in range(width):
                size = max(size, abs(right[i]))
            if not size <= 1e3:
                fitted = False
                break
            length = 0.0
            for i in range(3):
                at[i] += right[0] * u[i] + right[1] * v[i] + (right[6] * d[i] if width == 7 else 0.0)
                at[3 + i] += right[2] * u[i] + right[3] * v[i]
                length += at[3 + i] * at[3 + i]
            for i in range(3):
                at[3 + i] /= math.sqrt(length)
            at[6] += right[4]
            if width > 5:
                at[7] += right[5]
            if size < 1e-12 or (size < 1e-8 and size >= last):
                break
            last = size
    return np.asarray(at), fitted


def _add(row: Floats, width: int, square: Floats, right: Floats) -> None:
    """One row of the Jacobian, and its residual in row[7], counted into the normal equations."""
    for i in range(width):
        right[i] -= row[i] * row[7]
        for j in range(width):
            square[i, j] += row[i] * row[j]


def _solve(square: Floats, right: Floats, width: int) -> bool:
    """Solve in place by elimination with the largest pivot; False where there is no one solution."""
    for i in range(width):
        best = i
        for k in range(i + 1, width):
            if abs(square[k, i]) > abs(square[best, i]):
                best = k
        if not abs(square[best, i]) > 0.0:
            return False
        for j in range(width):
            square[i, j], square[best, j] = square[best, j], square[i, j]
        right[i], right[best] = right[best], right[i]
        for k in range(i + 1, width):
            share = square[k, i] / square[i, i]
            for j in range(i, width):
                square[k, j] -= share * square[i, j]
            right[k] -= share * right[i]
    for i in range(width - 1, -1, -1):
        for j in range(i + 1, width):
            right[i] -= square[i, j] * right[j]
        right[i] /= square[i, i]
    return True


def _square_to(d: Floats, u: Floats, v: Floats) -> None:
    """As fit.square_to, into u and v."""
    x, y, z = abs(d[0]), abs(d[1]), abs(d[2])
    if x <= y and x <= z:
        u[0], u[1], u[2] = 0.0, d[2], -d[1]
    elif y <= z:
        u[0], u[1], u[2] = -d[2], 0.0, d[0]
    else:
        u[0], u[1], u[2] = d[1], -d[0], 0.0
    length = math.sqrt(u[0] * u[0] + u[1] * u[1] + u[2] * u[2])
    for i in range(3):
        u[i] /= length
    v[0], v[1], v[2] = d[1] * u[2] - d[2] * u[1], d[2] * u[0] - d[0] * u[2], d[0] * u[1] - d[1] * u[0]
