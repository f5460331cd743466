"""A figure with its honest bounds."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with the least and the most it can be, and the causes of the width.

    Raises ValueError unless low <= value <= high and all three are finite.

    >>> Estimate(10.0, 9.5, 10.5, ("density window",))
    Estimate(value=10.0, low=9.5, high=10.5, because=('density window',))
    """

    value: float
    low: float
    high: float
    because: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.value <= self.high):
            raise ValueError(f"not an estimate: low {self.low}, value {self.value}, high {self.high}")

    @classmethod
    def exact(cls, value: float) -> Estimate:
        """A value that is taken as it is."""
        return cls(value, value, value)

    @property
    def width(self) -> float:
        return self.high - self.low

    def scaled(self, factor: float) -> Estimate:
        """The estimate times a factor of either sign.

        >>> Estimate(2.0, 1.0, 4.0).scaled(-1.0)
        Estimate(value=-2.0, low=-4.0, high=-1.0, because=())
        """
        ends = sorted((self.low * factor, self.high * factor))
        return Estimate(self.value * factor, ends[0], ends[1], self.because)


_TELLS = 1e-4
"""Of the width of a sum: what widens it less is no cause worth telling."""


def total(parts: Iterable[Estimate]) -> Estimate:
    """The sum; the ends add up, since the causes may be shared (an interval sum, not a root of squares).

    >>> total([Estimate(1.0, 0.9, 1.2), Estimate.exact(2.0)])
    Estimate(value=3.0, low=2.9, high=3.2, because=())
    """
    items = list(parts)
    value, low, high = (math.fsum(getattr(e, end) for e in items) for end in ("value", "low", "high"))
    tells = [e for e in items if e.high - e.low >= _TELLS * (high - low)]
    return Estimate(value, min(low, value), max(high, value), _causes(tells))


def _causes(items: Iterable[Estimate]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cause for e in items for cause in e.because))


def through(formula: Callable[..., float], *inputs: Estimate) -> Estimate:
    """Carry intervals through a formula at all combinations of their ends: exact where it is monotone in each input.

    >>> through(lambda a, b: a / b, Estimate(6.0, 5.0, 7.0), Estimate(2.0, 1.0, 4.0))
    Estimate(value=3.0, low=1.25, high=7.0, because=())
    """
    value = formula(*(e.value for e in inputs))
    corners = [formula(*ends) for ends in itertools.product(*((e.low, e.high) for e in inputs))]
    return Estimate(value, min(value, *corners), max(value, *corners), _causes(inputs))
