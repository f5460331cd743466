"""Compiled: the area of triangles in the parameters of the surface of revolution that their corners lie on."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.features import fit_kinds

_TURN = 2.0 * math.pi
_HALF_TURN = math.pi


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
