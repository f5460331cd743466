"""Compiled: which flats of a region lie on a surface, and how far it goes on over them.

points, corners, true, start, count and middle are as in Region; the surface is told as in fit_loops.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from areacalc.compiled import compiled
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.features.fit_loops import SPHERE, TORUS, facing, off

Truths = NDArray[np.bool_]


@compiled
def misfit(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints
) -> Floats:
    """How far the worst true corner of each of these flats lies from the surface (len(some),)."""
    worst = np.zeros(len(some))
    for i in range(len(some)):
        for row in range(start[some[i]], start[some[i]] + count[some[i]]):
            for j in range(3):
                c = corners[row, j]
                if true[c]:
                    worst[i] = max(worst[i], abs(off(kind, shape, points[c, 0], points[c, 1], points[c, 2])))
    return worst


@compiled
def holds(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    tolerance_mm: float,
) -> bool:  # fmt: skip
    """Whether the true corners of these flats all lie on the surface."""
    for flat in some:
        for row in range(start[flat], start[flat] + count[flat]):
            for j in range(3):
                c = corners[row, j]
                if true[c] and not abs(off(kind, shape, points[c, 0], points[c, 1], points[c, 2])) <= tolerance_mm:
                    return False
    return True


@compiled
def measured(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    middle: Floats, normal: Floats,
) -> Floats:  # fmt: skip
    """Of each of these flats (len(some), 5): how far its true corners, its other corners and its triangles' middles lie
    off the surface at most, and the least and the most that it faces the way of the surface there.

    Triangle by triangle, for a flat may run all round an axis (the crown of a torus).
    """
    out = np.zeros((len(some), 5))
    for i in range(len(some)):
        flat = some[i]
        out[i, 3], out[i, 4] = math.inf, -math.inf
        for row in range(start[flat], start[flat] + count[flat]):
            for j in range(3):
                c = corners[row, j]
                k = 0 if true[c] else 1
                out[i, k] = max(out[i, k], abs(off(kind, shape, points[c, 0], points[c, 1], points[c, 2])))
            x, y, z = middle[row, 0], middle[row, 1], middle[row, 2]
            out[i, 2] = max(out[i, 2], abs(off(kind, shape, x, y, z)))
            cosine = facing(kind, shape, x, y, z, normal[flat])
            out[i, 3], out[i, 4] = min(out[i, 3], cosine), max(out[i, 4], cosine)
    return out


@compiled
def spans(
    kind: int, shape: Floats, points: Floats, corners: Ints, start: Ints, count: Ints, some: Ints,
    u: Floats, v: Floats, axis: float,
) -> Floats:  # fmt: skip
    """The widest that a triangle of each of these flats spans (len(some), 2).

    About the axis [rad] and, of a torus, round the tube [rad]; of a sphere its longest side [mm]. Corners nearer
    to the axis than `axis` times the farthest have no angle.
    """
    out = np.zeros((len(some), 2))
    about, tube = np.zeros(3), np.zeros(3)
    axis_mm = axis * _widest(shape, points, corners, start, count, some)
    for i in range(len(some)):
        for row in range(start[some[i]], start[some[i]] + count[some[i]]):
            for j in range(3):
                c, e = corners[row, j], corners[row, (j + 1) % 3]
                if kind == SPHERE:
                    x, y, z = points[c, 0] - points[e, 0], points[c, 1] - points[e, 1], points[c, 2] - points[e, 2]
                    out[i, 1] = max(out[i, 1], math.sqrt(x * x + y * y + z * z))
                    continue
                x, y, z = points[c, 0] - shape[0], points[c, 1] - shape[1], points[c, 2] - shape[2]
                one, two = x * u[0] + y * u[1] + z * u[2], x * v[0] + y * v[1] + z * v[2]
                r = math.sqrt(one * one + two * two)
                about[j] = math.atan2(two, one) if r > axis_mm else math.nan
                if kind == TORUS:
                    tube[j] = math.atan2(x * shape[3] + y * shape[4] + z * shape[5], r - shape[6])
            if kind != SPHERE:
                out[i, 0] = _wider(out[i, 0], about)
            if kind == TORUS:
                out[i, 1] = _wider(out[i, 1], tube)
    return out


@compiled
def _wider(so_far: float, at: Floats) -> float:
    """The wider of a span and that of three angles; one that is not a number takes that of the corner before it."""
    first = at[2] if math.isnan(at[0]) else at[0]
    low, high = 0.0, 0.0
    for j in range(1, 3):
        way = (at[j - 1] if math.isnan(at[j]) else at[j]) - first
        way -= 2.0 * math.pi * math.floor((way + math.pi) / (2.0 * math.pi))
        low, high = min(low, way), max(high, way)
        if math.isnan(way):
            return math.nan
    return so_far if math.isnan(so_far) else max(so_far, high - low)


@compiled
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


@compiled
def flood(
    kind: int, shape: Floats, points: Floats, corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints,
    first: Ints, beside: Ints, seen: Truths, tolerance_mm: float,
) -> Ints:  # fmt: skip
    """The flats that hang together with `some` and have every true corner within tolerance of the surface.

    seen (f,) is overwritten: true for flats not to be entered.
    """
    reached = np.empty(len(seen), np.int64)
    one = np.empty(1, np.int64)
    size = 0
    for flat in some:
        if not seen[flat]:
            seen[flat] = True
            reached[size] = flat
            size += 1
    at = 0
    while at < size:
        own = reached[at]
        at += 1
        for k in range(first[own], first[own + 1]):
            one[0] = beside[k]
            if seen[one[0]]:
                continue
            seen[one[0]] = True
            if holds(kind, shape, points, corners, true, start, count, one, tolerance_mm):
                reached[size] = one[0]
                size += 1
    return reached[:size].copy()


@compiled
def around(first: Ints, beside: Ints, some: Ints, mark: Ints, stamp: int) -> Ints:
    """The flats beside these, each once, in no order; mark (f,) is scratch, stamp is new to it."""
    found = np.empty(0, np.int64)
    for turn in range(2):
        count = 0
        for flat in some:
            for k in range(first[flat], first[flat + 1]):
                if mark[beside[k]] != stamp + turn:
                    mark[beside[k]] = stamp + turn
                    if turn == 1:
                        found[count] = beside[k]
                    count += 1
        if turn == 0:
            found = np.empty(count, np.int64)
    return found


@compiled
def next_bend(order: Ints, at: int, one: Ints, two: Ints, free: Truths, tried: Ints, most: int) -> int:
    """The place in order, from `at` on, of the first bend between two free flats that few seeds have failed with."""
    for i in range(at, len(order)):
        a, b = one[order[i]], two[order[i]]
        if free[a] and free[b] and not (tried[a] > 0 and tried[b] > 0) and max(tried[a], tried[b]) < most:
            return i
    return len(order)
