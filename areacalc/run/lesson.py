"""What is learned of one constant."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.estimate import Estimate

_WIDE = 2.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """A constant that was learned, in a unit, and how many readings tell it."""

    estimate: Estimate
    unit: str
    readings: int


def about(value: float, tolerance: float) -> Estimate:
    """A value with two standard uncertainties, each the tolerance, either way."""
    return Estimate(float(value), float(value - _WIDE * tolerance), float(value + _WIDE * tolerance))
