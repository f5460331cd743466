"""Compiled: a region's own numbering of its points and flats, the bends between them, and which corners are true; which
flats lie on a surface, and how far it goes on over them.

points, corners, true, start, count and middle are as in FlatRegion; the surface is told as in fit_loops.
"""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.surface.features import fit_kinds, fit_loops

_STRAIGHT = 0.02  # how far the two edges at a point may pull together, as unit vectors, and still be one straight edge
_TURN = 2.0 * math.pi
_HALF_TURN = math.pi
_NO_ANGLE, _ENDLESS = float("nan"), float("inf")


def region(
    rows: Ints, flat_of: Ints, corners: Ints, across: Ints, points: Floats, normal: Floats, area: Floats, angle: Floats,
    point_number: Ints, flat_number: Ints, smooth_rad: float,
) -> tuple[Ints, Ints, Floats, Truths, Floats, Floats, Floats, Floats, Ints, Floats]:  # fmt: skip
    """What flats.Region holds, of these triangles of a skin: see the loops below."""
    start, used, own = _numbered(rows, flat_of, corners, point_number, flat_number)
    places = points[used]
    normals, areas, centres, middles = _summed_up(rows, start, places, own, normal, area)
    pairs, turn = _bends_between(rows, start, flat_of, flat_number, across, angle, smooth_rad)
    true = _true_corners(rows, start, places, own, flat_of, flat_number, across)
    return start, own, places, true, normals, areas, centres, middles, pairs, turn


def _numbered(
    rows: Ints, flat_of: Ints, corners: Ints, point_number: Ints, flat_number: Ints
) -> tuple[Ints, Ints, Ints]:
    """Where each flat begins in rows (f,), which point of the skin each own point is (n,), and own corners (t, 3).

    rows (t,): triangles of the skin, those of a flat together. The two numberings are the skin's to the region's; a
    number is good if the region's table says the same, so that what other regions left there does no harm.
    """
    start, used = np.empty(len(rows), np.int64), np.empty(3 * len(rows), np.int64)
    own = np.empty((len(rows), 3), np.int32)
    flats, points = 0, 0
    with nogil:
        for i in range(len(rows)):
            flat = flat_of[rows[i]]
            if i == 0 or flat_of[rows[i - 1]] != flat:
                flat_number[flat] = flats
                start[flats] = i
                flats += 1
            for j in range(3):
                p = corners[rows[i], j]
                k = point_number[p]
                if k < 0 or k >= points or used[k] != p:
                    k = points
                    point_number[p], used[k] = k, p
                    points += 1
                own[i, j] = k
    return np.array(start[:flats]), np.array(used[:points]), np.asarray(own)


def _summed_up(
    rows: Ints, start: Ints, points: Floats, corners: Ints, skin_normal: Floats, skin_area: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """The normal (f, 3), area (f,) and centre (f, 3) of each flat, and the middle of each triangle (t, 3)."""
    flats = len(start)
    normal, area, centre, middle = np.zeros((flats, 3)), np.zeros(flats), np.zeros((flats, 3)), np.empty((len(rows), 3))
    with nogil:
        for f in range(flats):
            for i in range(start[f], start[f + 1] if f + 1 < flats else len(rows)):
                weight = skin_area[rows[i]]
                area[f] += weight
                for k in range(3):
                    one, two, three = points[corners[i, 0], k], points[corners[i, 1], k], points[corners[i, 2], k]
                    middle[i, k] = (one + two + three) / 3.0
                    normal[f, k] += skin_normal[rows[i], k] * weight
                    centre[f, k] += middle[i, k] * weight
            area[f] = max(area[f], 1e-300)
            length = max(math.sqrt(normal[f, 0] ** 2 + normal[f, 1] ** 2 + normal[f, 2] ** 2), 1e-300)
            for k in range(3):
                normal[f, k] /= length
                centre[f, k] /= area[f]
    return np.asarray(normal), np.asarray(area), np.asarray(centre), np.asarray(middle)


def _bends_between(
    rows: Ints, start: Ints, flat_of: Ints, flat_number: Ints, across: Ints, angle: Floats, smooth_rad: float
) -> tuple[Ints, Floats]:
    """The flats that bend gently into each other, each pair (e, 2) once, and how far they turn [rad] (e,)."""
    flats = len(start)
    pairs, turn = np.empty((3 * len(rows), 2), np.int64), np.empty(3 * len(rows))
    seen = np.full(flats, -1, np.int64)
    count = 0
    with nogil:
        for f in range(flats):
            for i in range(start[f], start[f + 1] if f + 1 < flats else len(rows)):
                for j in range(3):
                    other = _beside(rows, start, flat_of, flat_number, across[rows[i], j], f)
                    if other > f and abs(angle[rows[i], j]) <= smooth_rad and seen[other] != f:
                        seen[other] = f
                        pairs[count, 0], pairs[count, 1], turn[count] = f, other, abs(angle[rows[i], j])
                        count += 1
    return np.array(pairs[:count]), np.array(turn[:count])


def _true_corners(
    rows: Ints, start: Ints, points: Floats, corners: Ints, flat_of: Ints, flat_number: Ints, across: Ints
) -> Truths:
    """The points where flats meet at an angle (n,), but for those that stand on a straight edge between two flats."""
    flats = len(start)
    last, meet = np.full(len(points), -1, np.int64), np.zeros(len(points), np.int32)
    edges, pull = np.zeros(len(points), np.int32), np.zeros((len(points), 3))
    true = np.empty(len(points), np.bool_)
    with nogil:
        for f in range(flats):
            for i in range(start[f], start[f + 1] if f + 1 < flats else len(rows)):
                for j in range(3):
                    a, b = corners[i, j], corners[i, (j + 1) % 3]
                    if last[a] != f:
                        last[a] = f
                        meet[a] += 1
                    if _beside(rows, start, flat_of, flat_number, across[rows[i], j], f) < 0:
                        continue
                    x, y, z = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
                    length = max(math.sqrt(x * x + y * y + z * z), 1e-300)
                    edges[a] += 1
                    x, y, z = x / length, y / length, z / length
                    pull[a, 0], pull[a, 1], pull[a, 2] = pull[a, 0] + x, pull[a, 1] + y, pull[a, 2] + z
                    pull[b, 0], pull[b, 1], pull[b, 2] = pull[b, 0] - x, pull[b, 1] - y, pull[b, 2] - z
        for p in range(len(points)):
            straight = pull[p, 0] ** 2 + pull[p, 1] ** 2 + pull[p, 2] ** 2 < _STRAIGHT**2
            true[p] = meet[p] >= 2 and not (meet[p] == 2 and edges[p] == 2 and straight)
    return np.asarray(true).view(np.bool_)


def _beside(rows: Ints, start: Ints, flat_of: Ints, flat_number: Ints, triangle: int, own: int) -> int:
    """The region's number of the flat that a triangle is in; -1 if that is the own flat, or none of the region's."""
    if triangle < 0:
        return -1
    flat = flat_of[triangle]
    number = flat_number[flat]
    if number < 0 or number >= len(start) or number == own or flat_of[rows[start[number]]] != flat:
        return -1
    return int(number)


def corners_of(corners: Ints, true: Truths, start: Ints, count: Ints, some: Ints, mark: Ints, stamp: int) -> Ints:
    """The true corners of these flats, each once, as they come; mark (n,) is scratch, stamp is new to it."""
    room = 0
    with nogil:
        for flat in some:
            room += 3 * count[flat]
    found = np.empty(room, np.int64)
    held = 0
    with nogil:
        for flat in some:
            for row in range(start[flat], start[flat] + count[flat]):
                for j in range(3):
                    c = corners[row, j]
                    if true[c] and mark[c] != stamp:
                        mark[c] = stamp
                        found[held] = c
                        held += 1
    return np.array(found[:held])


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
