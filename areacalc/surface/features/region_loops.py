"""Compiled: which flats of a region lie on a surface, and how far it goes on over them.

points, corners, true, start, count and middle are as in Region; the surface is told as in fit_loops.
"""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.surface.features import fit_kinds, fit_loops

_TURN = 2.0 * math.pi
_HALF_TURN = math.pi
_NO_ANGLE, _ENDLESS = float("nan"), float("inf")


def holds(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    tolerance_mm: float,
) -> bool:  # fmt: skip
    """Whether the true corners of these flats all lie on the surface."""
    for flat in some:
        if not _holds(kind, shape, points, corners, true, start[flat], count[flat], tolerance_mm):
            return False
    return True


def _holds(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, first: int, count: int, tolerance_mm: float
) -> bool:
    """Whether the true corners of `count` triangles from the first on all lie on the surface."""
    for row in range(first, first + count):
        for j in range(3):
            c = corners[row, j]
            if true[c]:
                off = fit_loops.off(kind, shape, points[c, 0], points[c, 1], points[c, 2])
                if not abs(off) <= tolerance_mm:
                    return False
    return True


def measured(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    middle: Floats, normal: Floats,
) -> Floats:  # fmt: skip
    """Of each of these flats (len(some), 5): how far its true corners, its other corners and its triangles' middles lie
    off the surface at most, and the least and the most that it faces the way of the surface there.

    Triangle by triangle, for a flat may run all round an axis (the crown of a torus).
    """
    out = np.zeros((len(some), 5))
    with nogil:
        for i in range(len(some)):
            flat = some[i]
            out[i, 3], out[i, 4] = _ENDLESS, -_ENDLESS
            for row in range(start[flat], start[flat] + count[flat]):
                for j in range(3):
                    c = corners[row, j]
                    k = 0 if true[c] else 1
                    off = abs(fit_loops.off(kind, shape, points[c, 0], points[c, 1], points[c, 2]))
                    out[i, k] = max(out[i, k], off)
                x, y, z = middle[row, 0], middle[row, 1], middle[row, 2]
                out[i, 2] = max(out[i, 2], abs(fit_loops.off(kind, shape, x, y, z)))
                cosine = fit_loops.facing(kind, shape, x, y, z, normal, flat)
                out[i, 3], out[i, 4] = min(out[i, 3], cosine), max(out[i, 4], cosine)
    return np.asarray(out)


def spans(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    u: Floats, v: Floats, axis: float,
) -> Floats:  # fmt: skip
    """The widest that a triangle of each of these flats spans (len(some), 2).

    About the axis [rad] and, of a torus, round the tube [rad]; of a sphere its longest side [mm]. Corners nearer
    to the axis than `axis` times the farthest have no angle.
    """
    out = np.zeros((len(some), 2))
    about, tube = np.zeros(3), np.zeros(3)
    axis_mm = axis * _widest(shape, points, corners, start, count, some)
    with nogil:
        for i in range(len(some)):
            for row in range(start[some[i]], start[some[i]] + count[some[i]]):
                for j in range(3):
                    c, e = corners[row, j], corners[row, (j + 1) % 3]
                    if kind == fit_kinds.SPHERE:
                        x, y, z = points[c, 0] - points[e, 0], points[c, 1] - points[e, 1], points[c, 2] - points[e, 2]
                        out[i, 1] = max(out[i, 1], math.sqrt(x * x + y * y + z * z))
                        continue
                    x, y, z = points[c, 0] - shape[0], points[c, 1] - shape[1], points[c, 2] - shape[2]
                    one, two = x * u[0] + y * u[1] + z * u[2], x * v[0] + y * v[1] + z * v[2]
                    r = math.sqrt(one * one + two * two)
                    about[j] = math.atan2(two, one) if r > axis_mm else _NO_ANGLE
                    if kind == fit_kinds.TORUS:
                        tube[j] = math.atan2(x * shape[3] + y * shape[4] + z * shape[5], r - shape[6])
                if kind != fit_kinds.SPHERE:
                    out[i, 0] = _wider(out[i, 0], about)
                if kind == fit_kinds.TORUS:
                    out[i, 1] = _wider(out[i, 1], tube)
    return np.asarray(out)


def _wider(so_far: float, at: Floats) -> float:
    """The wider of a span and that of three angles; one that is not a number takes that of the corner before it."""
    first = at[2] if math.isnan(at[0]) else at[0]
    low, high = 0.0, 0.0
    for j in range(1, 3):
        way = (at[j - 1] if math.isnan(at[j]) else at[j]) - first
        way -= _TURN * math.floor((way + _HALF_TURN) / _TURN)
        low, high = min(low, way), max(high, way)
        if math.isnan(way):
            return _NO_ANGLE
    return so_far if math.isnan(so_far) else max(so_far, high - low)


def _widest(shape: Floats, points: Floats, corners: Ints, start: Ints, count: Ints, some: Ints) -> float:
    """How far from the axis the farthest corner of these flats lies [mm]."""
    most = 0.0
    for flat in some:
        for row in range(start[flat], start[flat] + count[flat]):
            for j in range(3):
                c = corners[row, j]
                x, y, z = points[c, 0] - shape[0], points[c, 1] - shape[1], points[c, 2] - shape[2]
                h = x * shape[3] + y * shape[4] + z * shape[5]
                most = max(most, x * x + y * y + z * z - h * h)
    return math.sqrt(most)


def flood(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    first: Ints, beside: Ints, seen: Truths, tolerance_mm: float,
) -> Ints:  # fmt: skip
    """The flats that hang together with `some` and have every true corner within tolerance of the surface.

    seen (f,) is overwritten: true for flats not to be entered.
    """
    reached = np.empty(len(seen), np.int64)
    size, at = 0, 0
    with nogil:
        for flat in some:
            if not seen[flat]:
                seen[flat] = True
                reached[size] = flat
                size += 1
        while at < size:
            own = reached[at]
            at += 1
            for k in range(first[own], first[own + 1]):
                flat = beside[k]
                if seen[flat]:
                    continue
                seen[flat] = True
                if _holds(kind, shape, points, corners, true, start[flat], count[flat], tolerance_mm):
                    reached[size] = flat
                    size += 1
    return np.array(reached[:size])


def around(first: Ints, beside: Ints, some: Ints, mark: Ints, stamp: int) -> Ints:
    """The flats beside these, each once, in no order; mark (f,) is scratch, stamp is new to it."""
    room, count = 0, 0
    for flat in some:
        room += first[flat + 1] - first[flat]
    found = np.empty(room, np.int64)
    for flat in some:
        for k in range(first[flat], first[flat + 1]):
            if mark[beside[k]] != stamp:
                mark[beside[k]] = stamp
                found[count] = beside[k]
                count += 1
    return np.array(found[:count])


def next_bend(order: Ints, at: int, one: Ints, two: Ints, free: Truths, tried: Ints, most: int) -> int:
    """The place in order, from `at` on, of the first bend between two free flats that few seeds have failed with."""
    for i in range(at, len(order)):
        a, b = one[order[i]], two[order[i]]
        if free[a] and free[b] and not (tried[a] > 0 and tried[b] > 0) and max(tried[a], tried[b]) < most:
            return i
    return len(order)
