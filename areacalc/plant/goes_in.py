"""Whether a thing goes into a tank at all, however it is turned: the one thing about room that is not a rule."""

from __future__ import annotations

Box = tuple[float, float, float]
"""Three sides in mm; a room's side may be infinite."""


def goes_in(size_mm: Box, room_mm: Box) -> bool:
    """Whether a box goes into a room [mm]: standing, lying, or leaned in one plane.

    Leaned, a long p x q goes into a x b where ((a + b) / (p + q))^2 + ((a - b) / (p - q))^2 >= 2: W. B. Carver, Amer.
    Math. Monthly 64 (1957) 114.

    >>> goes_in((400.0, 12.0, 12.0), (320.0, 125.0, 250.0)), goes_in((420.0, 12.0, 12.0), (320.0, 125.0, 250.0))
    (True, False)
    """
    return any(
        size_mm[i] <= room_mm[j] and _lies_in(_others(size_mm, i), _others(room_mm, j))
        for i in range(3) for j in range(3)
    )  # fmt: skip


def _others(sides: Box, i: int) -> tuple[float, float]:
    """The two sides that are not the i-th, the shorter first."""
    short, long = sorted(side for k, side in enumerate(sides) if k != i)
    return short, long


def _lies_in(thing: tuple[float, float], room: tuple[float, float]) -> bool:
    (q, p), (b, a) = thing, room
    if q > b or p <= a:
        return q <= b
    return ((a + b) / (p + q)) ** 2 + ((a - b) / (p - q)) ** 2 >= 2.0
