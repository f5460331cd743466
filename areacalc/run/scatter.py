"""How far runs scatter about what they teach, and the interval in which the next run of them lies."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from areacalc.estimate import Estimate
from areacalc.sources import Kind, Source

TWO = 0.9545
"""The share that two standard uncertainties either way hold of what is normal."""
NEXT_RUN = Source(
    Kind.PUBLISHED, "NIST/SEMATECH e-Handbook, 4.5.1.2: a single response; JCGM 100:2008, G.4: degrees of freedom"
)
_SURE = 0.99  # chosen: of runs that scatter no further than the meters, this share is not said to disagree
_STANDS_OUT = 2.0  # chosen: times as far from the middle as any other run


@dataclass(frozen=True, slots=True)
class Scatter:
    """The standard deviation of one run about what all teach, in the unit of that, and of how many runs.

    by_meters: as much of it as the meters account for. disagrees: far beyond that. stands_out: the number of the one
    run far from the others.
    """

    standard: float
    by_meters: float
    runs: int
    disagrees: bool
    stands_out: int | None


def scatter(off: Mapping[int, float], known: float) -> Scatter:
    """How runs scatter: how far each, by its number, is off what all teach; known: the meters' standard uncertainty.

    >>> scatter({1: -5.0, 2: 0.0, 3: 5.0}, 0.6)
    Scatter(standard=5.0, by_meters=0.6, runs=3, disagrees=True, stands_out=None)
    """
    if len(off) < 2:
        return Scatter(0.0, known, len(off), False, None)
    from scipy.special import chdtri

    squares = sum(each**2 for each in off.values())
    disagrees = squares > chdtri(len(off) - 1, 1.0 - _SURE) * known**2
    middle = sorted(off.values())[len(off) // 2]
    *_, second, first = sorted(off, key=lambda run: abs(off[run] - middle))
    far = len(off) > 2 and abs(off[first] - middle) > _STANDS_OUT * abs(off[second] - middle)
    one_off = math.sqrt(squares / (len(off) - 1))
    return Scatter(one_off, known, len(off), bool(disagrees), first if disagrees and far else None)


def scattered(value: float, known: float, runs: Scatter) -> Estimate:
    """A value in whose interval the next run lies (`NEXT_RUN`); known: the standard uncertainty but for the scatter.

    Scatter that the meters account for is known; what goes beyond is only as sure as there are runs (Student's t).

    >>> scattered(13.0, 0.5, scatter({1: 0.0, 2: 0.0, 3: 0.0}, 0.6))
    Estimate(value=13.0, low=12.0, high=14.0, because=())
    """
    of_next = 1.0 + 1.0 / max(runs.runs, 1)
    variance, times = known**2 + of_next * runs.standard**2, 2.0
    if runs.standard > runs.by_meters:
        from scipy.special import stdtrit

        beyond = of_next * (runs.standard**2 - runs.by_meters**2)
        times = float(stdtrit((runs.runs - 1) * (variance / beyond) ** 2, 0.5 + 0.5 * TWO))
    off = times * math.sqrt(variance)
    return Estimate(value, value - off, value + off)
