"""Compiled: how far a smooth skin through the corners of facets bulges beyond them."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints

_HOLD = 1e-3
_STEP = 0.7


def corner_normals(points: Floats, corners: Ints, sweeps: int) -> Floats:
    """The smooth skin's normals at points (n, 3) that triangles (t, 3) share.

    The start weighs facets as N. Max, Journal of Graphics Tools 4:2 (1999) 1. Where the skin is a quadric the mean of
    the normals at the ends of an edge is square to the edge; sweeps bring the normals to that by least squares.
    """
    count, faces = len(points), len(corners)
    normal, sums, right = np.zeros((count, 3)), np.zeros((count, 6)), np.zeros((count, 3))
    e, f = np.empty(3), np.empty(3)
    with nogil:
        for t in range(faces):
            for j in range(3):
                a, b, c = corners[t, j], corners[t, (j + 1) % 3], corners[t, (j + 2) % 3]
                one, two = 0.0, 0.0
                for k in range(3):
                    e[k], f[k] = points[b, k] - points[a, k], points[c, k] - points[a, k]
                    one += e[k] * e[k]
                    two += f[k] * f[k]
                if one * two > 0.0:
                    normal[a, 0] += (e[1] * f[2] - e[2] * f[1]) / (one * two)
                    normal[a, 1] += (e[2] * f[0] - e[0] * f[2]) / (one * two)
                    normal[a, 2] += (e[0] * f[1] - e[1] * f[0]) / (one * two)
                if one > 0.0:
                    _gather(sums, a, e, one)
                    _gather(sums, b, e, one)
        for i in range(count):
            _unit(normal, i)
        for _ in range(sweeps):
            for i in range(count):
                for k in range(3):
                    right[i, k] = 0.0
            for t in range(faces):
                for j in range(3):
                    a, b = corners[t, j], corners[t, (j + 1) % 3]
                    one, left, other = 0.0, 0.0, 0.0
                    for k in range(3):
                        e[k] = points[b, k] - points[a, k]
                        one += e[k] * e[k]
                        left += e[k] * normal[a, k]
                        other += e[k] * normal[b, k]
                    if one > 0.0:
                        for k in range(3):
                            right[a, k] += e[k] * other / one
                            right[b, k] += e[k] * left / one
            for i in range(count):
                _turn(normal, sums, right, i)
    return np.asarray(normal)


def _gather(sums: Floats, at: int, e: Floats, square: float) -> None:
    """Add the outer product of an edge with itself, over its length squared."""
    sums[at, 0] += e[0] * e[0] / square
    sums[at, 1] += e[1] * e[1] / square
    sums[at, 2] += e[2] * e[2] / square
    sums[at, 3] += e[0] * e[1] / square
    sums[at, 4] += e[0] * e[2] / square
    sums[at, 5] += e[1] * e[2] / square


def _unit(normal: Floats, i: int) -> None:
    length = math.sqrt(normal[i, 0] * normal[i, 0] + normal[i, 1] * normal[i, 1] + normal[i, 2] * normal[i, 2])
    if length > 0.0:
        for k in range(3):
            normal[i, k] /= length


def _turn(normal: Floats, sums: Floats, right: Floats, i: int) -> None:
    """Turn a normal, square to itself, to where its edges ask for it."""
    x, y, z = normal[i, 0], normal[i, 1], normal[i, 2]
    if abs(x) <= abs(y) and abs(x) <= abs(z):
        ux, uy, uz = 0.0, z, -y
    elif abs(y) <= abs(z):
        ux, uy, uz = -z, 0.0, x
    else:
        ux, uy, uz = y, -x, 0.0
    size = math.sqrt(ux * ux + uy * uy + uz * uz)
    if size <= 0.0:
        return
    ux, uy, uz = ux / size, uy / size, uz / size
    vx, vy, vz = y * uz - z * uy, z * ux - x * uz, x * uy - y * ux
    a, b, c, d, e, f = sums[i, 0], sums[i, 1], sums[i, 2], sums[i, 3], sums[i, 4], sums[i, 5]
    px, py, pz = a * ux + d * uy + e * uz, d * ux + b * uy + f * uz, e * ux + f * uy + c * uz
    qx, qy, qz = a * vx + d * vy + e * vz, d * vx + b * vy + f * vz, e * vx + f * vy + c * vz
    gx, gy, gz = (
        a * x + d * y + e * z + right[i, 0],
        d * x + b * y + f * z + right[i, 1],
        e * x + f * y + c * z + right[i, 2],
    )
    hold = _HOLD * (a + b + c)
    uu, vv = ux * px + uy * py + uz * pz + hold, vx * qx + vy * qy + vz * qz + hold
    uv = ux * qx + uy * qy + uz * qz
    gu, gv = -(ux * gx + uy * gy + uz * gz), -(vx * gx + vy * gy + vz * gz)
    det = uu * vv - uv * uv
    if det <= 0.0:
        return
    s, t = _STEP * (gu * vv - gv * uv) / det, _STEP * (gv * uu - gu * uv) / det
    normal[i, 0] += s * ux + t * vx
    normal[i, 1] += s * uy + t * vy
    normal[i, 2] += s * uz + t * vz
    _unit(normal, i)


def bulge(points: Floats, corners: Ints, normal: Floats, angle: Floats, inner: Ints) -> Floats:
    """What the skin with these normals at its corners gains over the facets [mm2], and how smooth it is: (3,).

    angle (t, 3) [rad] the bend at each edge, inner (t, 3) 1 where the neighbour there is of the same skin. Second and
    third: the sums over edges of the squares by which normals miss being square to it, and by which they turn along it.
    """
    found = np.zeros(3)
    c, e, dot = np.empty(3), np.empty((3, 3)), np.empty(3)
    with nogil:
        for t in range(len(corners)):
            for j in range(3):
                a, b = corners[t, j], corners[t, (j + 1) % 3]
                one, turn, miss = 0.0, 0.0, 0.0
                for k in range(3):
                    step = points[b, k] - points[a, k]
                    e[j, k] = step
                    one += step * step
                    turn += step * (normal[b, k] - normal[a, k])
                    miss += step * (normal[b, k] + normal[a, k])
                c[j] = 0.5 * turn  # four times how far the skin stands off the middle of the edge
                if one > 0.0:
                    found[1] += miss * miss / one
                    found[2] += turn * turn / one
                    if inner[t, j]:  # half of the wedge between the two facets, the other half is the neighbour's
                        found[0] += 0.5 * c[j] * math.sqrt(one) * angle[t, j] / 6.0
            nx, ny = e[0, 1] * e[1, 2] - e[0, 2] * e[1, 1], e[0, 2] * e[1, 0] - e[0, 0] * e[1, 2]
            nz = e[0, 0] * e[1, 1] - e[0, 1] * e[1, 0]
            twice = math.sqrt(nx * nx + ny * ny + nz * nz)
            if twice > 0.0:
                # w = sum c_j lambda lambda over the edges; the integral of its gradient squared, in closed form
                for j in range(3):
                    k = (j + 1) % 3
                    dot[j] = e[j, 0] * e[k, 0] + e[j, 1] * e[k, 1] + e[j, 2] * e[k, 2]
                total = 0.0
                for j in range(3):
                    k = (j + 1) % 3
                    own = e[j, 0] * e[j, 0] + e[j, 1] * e[j, 1] + e[j, 2] * e[j, 2]
                    total += c[j] * c[j] * (own - dot[k]) + 2.0 * c[j] * c[k] * dot[j]
                found[0] += 0.5 * total / (12.0 * twice)
    return np.asarray(found)
