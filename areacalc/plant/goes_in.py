"""Whether a thing goes into a tank at all, however it is turned: the one thing about room that is not a rule."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Box = tuple[float, float, float]
"""Three sides in mm; a room's side may be infinite."""


def goes_in(size_mm: Box, room_mm: Box) -> bool:
    """Whether a box goes into a room [mm]: standing, lying, leaned in one plane, or askew.

    Leaned in a plane, a long p x q goes into a x b where ((a + b) / (p + q))^2 + ((a - b) / (p - q))^2 >= 2: W. B.
    Carver, Amer. Math. Monthly 64 (1957) 114. Askew, ways to turn it are tried, the best of them again more finely.

    >>> goes_in((400.0, 12.0, 12.0), (320.0, 125.0, 250.0)), goes_in((420.0, 12.0, 12.0), (320.0, 125.0, 250.0))
    (True, False)
    """
    return any(
        size_mm[i] <= room_mm[j] and _lies_in(_others(size_mm, i), _others(room_mm, j))
        for i in range(3) for j in range(3)
    ) or _lies_askew(size_mm, room_mm)  # fmt: skip


def _lies_askew(size_mm: Box, room_mm: Box) -> bool:
    """Whether it goes in at some turn; none is looked for where its diagonal is longer than the room's."""
    if math.hypot(*size_mm) > math.hypot(*room_mm):
        return False
    ways, step = np.stack(np.meshgrid(*3 * [np.linspace(0.0, math.pi, 31)], indexing="ij"), -1).reshape(-1, 3), 0.05
    near = np.stack(np.meshgrid(*3 * [np.linspace(-1.0, 1.0, 5)], indexing="ij"), -1).reshape(-1, 3)
    for _ in range(8):
        too_long = _too_long_mm(size_mm, room_mm, ways)
        if too_long.min() <= 0.0:
            return True
        best = ways[np.argsort(too_long)[:40]]
        ways, step = (best[:, None] + step * near).reshape(-1, 3), 0.5 * step
    return False


def _too_long_mm(size_mm: Box, room_mm: Box, ways: NDArray[np.float64]) -> NDArray[np.float64]:
    """By how much it is too long for the room in the worst direction [mm], (n,), turned by angles (n, 3) in rad."""
    (ca, cb, cc), (sa, sb, sc) = np.cos(ways).T, np.sin(ways).T
    turned = np.abs([
        [ca * cb, ca * sb * sc - sa * cc, ca * sb * cc + sa * sc],
        [sa * cb, sa * sb * sc + ca * cc, sa * sb * cc - ca * sc],
        [-sb, cb * sc, cb * cc],
    ])  # fmt: skip
    spans = np.einsum("ijn,j->in", turned, np.array(size_mm))
    worst: NDArray[np.float64] = (spans - np.array(room_mm)[:, None]).max(axis=0)
    return worst


def _others(sides: Box, i: int) -> tuple[float, float]:
    """The two sides that are not the i-th, the shorter first."""
    short, long = sorted(side for k, side in enumerate(sides) if k != i)
    return short, long


def _lies_in(thing: tuple[float, float], room: tuple[float, float]) -> bool:
    (q, p), (b, a) = thing, room
    if q > b or p <= a:
        return q <= b
    return ((a + b) / (p + q)) ** 2 + ((a - b) / (p - q)) ** 2 >= 2.0
