"""A load that does not go at once, split into runs by kind of part, as few runs as will do."""

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

Counts = tuple[int, ...]
"""How many of each kind of part."""
_MOST_TRIED = 60  # loads of so many different halves are split by trying all of them


@dataclass(frozen=True, slots=True)
class RunSplit:
    """The runs, each by how many of each kind hang in it; alone: the kinds of which not even one goes."""

    runs: tuple[Counts, ...]
    alone: tuple[int, ...] = ()


def split(counts: Counts, goes: Callable[[Counts], bool]) -> RunSplit:
    """So many of each kind in the fewest runs that go. What goes must still go with parts taken off.

    All ways are tried where they are few; else each run is filled in the order of the kinds, first fit.

    >>> split((1, 1, 2), lambda run: 5 * run[0] + 3 * run[1] + 3 * run[2] <= 8).runs
    ((1, 1, 0), (0, 0, 2))
    """
    asked = cache(goes)
    alone = tuple(kind for kind, n in enumerate(counts) if n and not asked(_only(counts, kind, 1)))
    left = tuple(0 if kind in alone else n for kind, n in enumerate(counts))
    if not any(left):
        return RunSplit((), alone)
    runs = _first_fit(left, asked)
    if len(runs) > 2 and math.prod(n + 1 for n in left) <= _MOST_TRIED:
        runs = min(runs, _fewest(left, asked), key=len)
    return RunSplit(tuple(runs), alone)


def _only(counts: Counts, kind: int, number: int) -> Counts:
    return tuple(number if i == kind else 0 for i in range(len(counts)))


def _first_fit(left: Counts, goes: Callable[[Counts], bool]) -> list[Counts]:
    """Runs filled one after the other, each with as many of each kind as go."""
    runs = []
    while any(left):
        run = tuple(0 for _ in left)
        for kind, n in enumerate(left):
            low, high = 0, n
            while low < high:
                middle = (low + high + 1) // 2
                more = tuple(middle if i == kind else k for i, k in enumerate(run))
                low, high = (middle, high) if goes(more) else (low, middle - 1)
            run = tuple(low if i == kind else k for i, k in enumerate(run))
        while all(n >= k for n, k in zip(left, run, strict=True)):  # the same run again, as long as it is filled
            runs.append(run)
            left = tuple(n - k for n, k in zip(left, run, strict=True))
    return runs


def _fewest(counts: Counts, goes: Callable[[Counts], bool]) -> list[Counts]:
    every = list(itertools.product(*(range(n + 1) for n in counts)))

    @cache
    def fewest(left: Counts) -> list[Counts]:
        if not any(left):
            return []
        firsts = [
            run for run in every if any(run) and all(k <= n for k, n in zip(run, left, strict=True)) and goes(run)
        ]
        whole = sorted(firsts, key=sum, reverse=True)
        return min(([run, *fewest(tuple(n - k for n, k in zip(left, run, strict=True)))] for run in whole), key=len)

    return fewest(counts)
