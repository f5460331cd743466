"""Compiled: the bends of the skin, and how level its flats are."""

import math

import numpy as np

try:
    from cython import nogil
except ImportError:
    from areacalc.loops import nogil

from areacalc.shape.kinds import Floats, Ints, Truths

_BARE_NEEDLE = 16.0  # roundings that a triangle is high below which its own normal says nothing
_LEVEL = 4.0  # roundings that the apex of a triangle may lie off its neighbour's plane, if the two are level
_CREASED_RAD = 0.5  # a bend that is no rounding, whatever the apex says
_ENDLESS = np.inf
_ONE_WAY = 0.9  # of a group's area: a shorter sum of its normals is of triangles that face several ways


def bends(
    points: Floats, corners: Ints, across: Ints, normal: Floats, area: Floats, noise_mm: float
) -> tuple[Floats, Truths]:
    """The signed angle at each half-edge (k, 3), and whether the two triangles there lie in one plane."""
    count = len(corners)
    angle, level = np.zeros((count, 3)), np.zeros((count, 3), np.bool_)
    side, longest, needle = np.empty((count, 3)), np.empty(count, np.int8), np.empty(count, np.bool_)
    with nogil:
        for t in range(count):
            longest[t] = 0
            for j in range(3):
                a, b = corners[t, j], corners[t, (j + 1) % 3]
                x, y, z = points[a, 0] - points[b, 0], points[a, 1] - points[b, 1], points[a, 2] - points[b, 2]
                side[t, j] = math.sqrt(x * x + y * y + z * z)
                if side[t, j] > side[t, longest[t]]:
                    longest[t] = j
            needle[t] = 2.0 * area[t] < _BARE_NEEDLE * noise_mm * side[t, longest[t]]
        for t in range(count):
            for j in range(3):
                other = across[t, j]
                if other <= t:
                    continue
                k = 0
                while k < 2 and across[other, k] != t:
                    k += 1
                if across[other, k] != t:
                    k = 0
                start, end = corners[t, j], corners[t, (j + 1) % 3]
                bend = _bend(points, start, end, normal, t, other, side[t, j])
                # the apex of the smaller triangle against the plane of the larger, whose normal is the better known
                plane = t if area[t] >= area[other] else other
                free = t + other - plane
                apex = corners[free, 0] + corners[free, 1] + corners[free, 2] - start - end
                off = 0.0
                if 0 <= apex < len(points):
                    for i in range(3):
                        off += normal[plane, i] * (points[apex, i] - points[start, i])
                flat = abs(off) <= _LEVEL * noise_mm and (abs(bend) < _CREASED_RAD or needle[t] or needle[other])
                # a needle is within rounding of every plane through its long side: it may join only across that side
                flat = flat and (not needle[t] or longest[t] == j) and (not needle[other] or longest[other] == k)
                angle[t, j], angle[other, k] = bend, bend
                level[t, j], level[other, k] = flat, flat
    return np.asarray(angle), np.asarray(level).view(np.bool_)


def _bend(points: Floats, start: int, end: int, normal: Floats, one: int, two: int, length: float) -> float:
    """How far the normal turns from that of triangle one to that of triangle two about the edge."""
    nx, ny, nz = normal[one, 0], normal[one, 1], normal[one, 2]
    mx, my, mz = normal[two, 0], normal[two, 1], normal[two, 2]
    turned = (ny * mz - nz * my) * (points[end, 0] - points[start, 0])
    turned += (nz * mx - nx * mz) * (points[end, 1] - points[start, 1])
    turned += (nx * my - ny * mx) * (points[end, 2] - points[start, 2])
    if length > 0.0:
        turned /= length
    return math.atan2(turned, nx * mx + ny * my + nz * mz)


def mean_planes(
    points: Floats, corners: Ints, normal: Floats, area: Floats, label: Ints, count: int
) -> tuple[Floats, Floats, Floats]:
    """The mean normal (count, 3) of each group of triangles, the height of its plane along it, and its depth: how far
    its corners lie apart along it [mm]; infinite where its triangles face several ways."""
    mean, height, total = np.zeros((count, 3)), np.zeros(count), np.zeros(count)
    low, high, several = np.full(count, np.inf), np.full(count, -np.inf), np.zeros(count, np.bool_)
    with nogil:
        for t in range(len(corners)):
            total[label[t]] += area[t]
            for i in range(3):
                mean[label[t], i] += normal[t, i] * area[t]
        for g in range(count):
            length = max(math.sqrt(mean[g, 0] ** 2 + mean[g, 1] ** 2 + mean[g, 2] ** 2), 1e-300)
            several[g] = length < _ONE_WAY * total[g]
            for i in range(3):
                mean[g, i] /= length
        for t in range(len(corners)):
            g, middle = label[t], 0.0
            for j in range(3):
                p = corners[t, j]
                along = mean[g, 0] * points[p, 0] + mean[g, 1] * points[p, 1] + mean[g, 2] * points[p, 2]
                low[g], high[g], middle = min(low[g], along), max(high[g], along), middle + along / 3.0
            height[g] += middle * area[t]
        for g in range(count):
            height[g] /= max(total[g], 1e-300)
            high[g] -= low[g]
            if several[g]:
                high[g] = _ENDLESS
    return np.asarray(mean), np.asarray(height), np.asarray(high)
