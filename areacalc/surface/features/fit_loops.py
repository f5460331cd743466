"""Compiled: distances from an analytic surface, the Gauss-Newton steps that fit one, and areas in its parameters.

A surface is handed over as its kind and ten numbers: point (3), direction (3), radius, minor radius, cosine and sine of
the half angle.
"""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.surface.features import fit_kinds

_STEPS = 12
_TURN = 2.0 * math.pi
_HALF_TURN = math.pi


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


def unrolled(kind: int, shape: Floats, u: Floats, v: Floats, tiny_mm: float, triangles: Floats) -> Floats:
    """Signed area [mm2] of triangles (t, 3, 3) on a cylinder, cone or torus, see true_area.spread.

    u, v: square to the axis. Corners within tiny_mm of the axis have no angle, and no edge turns there.
    """
    area = np.empty(len(triangles))
    x, y, z, r = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    major, minor = shape[6], shape[7]
    with nogil:
        for t in range(len(triangles)):
            for j in range(3):
                px, py, pz = triangles[t, j, 0] - shape[0], triangles[t, j, 1] - shape[1], triangles[t, j, 2] - shape[2]
                x[j] = px * u[0] + py * u[1] + pz * u[2]
                y[j] = px * v[0] + py * v[1] + pz * v[2]
                z[j] = px * shape[3] + py * shape[4] + pz * shape[5]
                r[j] = math.sqrt(x[j] * x[j] + y[j] * y[j])
            total, phi = 0.0, 0.0
            for j in range(3):
                k = (j + 1) % 3
                turned = 0.0
                if r[j] > tiny_mm and r[k] > tiny_mm:
                    turned = math.atan2(x[j] * y[k] - y[j] * x[k], x[j] * x[k] + y[j] * y[k])
                if kind == fit_kinds.CYLINDER:
                    total -= shape[6] * 0.5 * (z[j] + z[k]) * turned
                elif kind == fit_kinds.CONE:
                    one, two = r[j] if shape[9] > 0.0 else z[j], r[k] if shape[9] > 0.0 else z[k]
                    total -= (one * one + one * two + two * two) / 3.0 * turned / (2.0 * shape[9])
                else:
                    if j == 0:
                        phi = math.atan2(z[0], r[0] - shape[6])
                    step = math.atan2(z[k], r[k] - shape[6]) - math.atan2(z[j], r[j] - shape[6])
                    step -= _TURN * math.floor((step + _HALF_TURN) / _TURN)
                    # the mean over the edge of G, by Simpson's rule at the ends and the middle
                    middle = 4.0 * _g(major, minor, phi + step / 2.0)
                    mean = _g(major, minor, phi) + middle + _g(major, minor, phi + step)
                    total -= turned * mean / 6.0
                    i = (j + 2) % 3
                    if r[j] <= tiny_mm and r[i] > tiny_mm and r[k] > tiny_mm:  # a tip on the axis: it turns there
                        turned = math.atan2(x[i] * y[k] - y[i] * x[k], x[i] * x[k] + y[i] * y[k])
                        total -= turned * _g(major, minor, phi)
                    phi += step
            area[t] = total
    return np.asarray(area)


def _g(major_mm: float, minor_mm: float, phi: float) -> float:
    """What the area of a torus up to an angle round its tube is to one turn about the axis."""
    return minor_mm * (major_mm * phi + minor_mm * math.sin(phi))


def covered(shape: Floats, u: Floats, v: Floats, triangles: Floats, bins: int) -> Ints:
    """How many triangles (t, 3, 3) span each of this many equal parts of a turn about the axis."""
    marks, held = np.zeros(3 * bins + 1, np.int64), np.zeros(bins, np.int64)
    angle = np.empty(3)
    with nogil:
        for t in range(len(triangles)):
            low, high = 0.0, 0.0
            for j in range(3):
                px, py, pz = triangles[t, j, 0] - shape[0], triangles[t, j, 1] - shape[1], triangles[t, j, 2] - shape[2]
                angle[j] = math.atan2(px * v[0] + py * v[1] + pz * v[2], px * u[0] + py * u[1] + pz * u[2])
                turn = angle[j] - angle[0]
                turn -= _TURN * math.floor((turn + _HALF_TURN) / _TURN)
                low, high = min(low, turn), max(high, turn)
            begin = int(math.floor((angle[0] + low) / _TURN * bins + 0.01))
            end = int(math.ceil((angle[0] + high) / _TURN * bins - 0.01))
            marks[begin + bins] += 1
            marks[min(max(begin, end) + bins, 3 * bins)] -= 1
        deep = 0
        for i in range(3 * bins):
            deep += marks[i]
            held[i % bins] += deep
    return np.asarray(held)
