"""How a file's numbers were rounded, told from the numbers."""

import numpy as np

from areacalc.shape.kinds import Floats

SINGLE = 2.0**-23
"""The spacing of single-precision numbers near 1: what a binary STL rounds its corners to."""
TOLD = 8.0  # times the spacing of single precision: what is rounded to less is not told from it
MANY = 24  # fewer numbers are those of a part drawn in round ones rather than rounded


def rounding_mm(points: Floats) -> float:
    """How far corners may lie from where they were meant: single precision, or the digits of a text file [mm].

    A text file rounds to so many decimals, or to so many digits of each number, whatever its size.

    >>> turn = np.arange(32.0)[:, None]
    >>> circle = np.hstack([90.0 + 9.0 * np.cos(turn), 9.0 * np.sin(turn), 0 * turn])
    >>> round(rounding_mm(np.round(circle, 3)), 6)
    0.0005
    >>> six = np.vectorize(lambda x: float(f"{x:.6g}"))
    >>> round(rounding_mm(six(circle)), 7)
    5e-05
    """
    sample = np.abs(points[:: max(1, len(points) // 2000)])
    largest = float(np.abs(points).max(initial=0.0))
    least = largest * SINGLE
    numbers = np.unique(sample)
    if len(numbers) < MANY:
        return least
    for decimals in range(2, 7):
        step = 10.0**-decimals
        if step < TOLD * least:
            break
        if np.abs(numbers - np.round(numbers / step) * step).max() < least:
            return step / 2
    numbers = numbers[numbers > 0.0]
    decade = np.floor(np.log10(numbers))
    for digits in range(4, 7):
        steps = 10.0 ** (decade + 1 - digits)
        told = steps >= TOLD * least
        some, step = numbers[told], steps[told]
        if len(some) >= MANY and np.abs(some - np.round(some / step) * step).max() < least:
            return float(10.0 ** (np.floor(np.log10(largest)) + 1 - digits)) / 2
    return least
