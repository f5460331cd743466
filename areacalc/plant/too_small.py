"""What to do where tank or power supply is too small: less density and more time, several runs, or a larger one."""

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from areacalc.bath.window import WINDOWS
from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plant.layout import Layout
from areacalc.plant.supply import LONG_RUN_SHARE, Supply, with_ramp_s


@dataclass(frozen=True, slots=True)
class LowerDensity:
    """All parts at once at the density the supply can give, and the longer time, ramp included, for the same charge.

    other_windows: those that the trade or a guide runs at this density, where the one asked for is missed.
    """

    density_a_per_dm2: float
    current_a: float
    run_s: float
    in_window: bool
    other_windows: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """What `density` under [finish] must say to plan so."""
        return f"{three(self.density_a_per_dm2)} A/dm2"


@dataclass(frozen=True, slots=True)
class OneRun:
    """What hangs in one run, by name and number, and its current [A]."""

    parts: tuple[tuple[str, int], ...]
    current_a: float


@dataclass(frozen=True, slots=True)
class InRuns:
    """The load in as few runs as will do; alone: the parts of which not even one goes by itself."""

    runs: tuple[OneRun, ...]
    alone: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BuySupply:
    """The least ratings of a supply that takes the whole load, and the most that the load takes [A]."""

    rating_a: float
    rating_v: float
    most_a: float


@dataclass(frozen=True, slots=True)
class WaysOut:
    """The ways out of a tank or a power supply that is too small; a way that does not exist is None."""

    lower_density: LowerDensity | None = None
    in_runs: InRuns | None = None
    buy: BuySupply | None = None
    tank: Layout | None = None


def lower_density(
    supply: Supply, area_mm2: Estimate, least_a_per_dm2: float, set_a_per_dm2: float, run_s: float
) -> LowerDensity | None:
    """All at once at what a supply gives, where its ampere limit is below the load's setting; None where it is not.

    run_s is the time at the set density, without a ramp. Raises BadInput for no area.

    >>> way = lower_density(Supply(3.0, 30.0), Estimate.exact(16_000.0), 2.2, 2.5, 1800.0)
    >>> way.density_a_per_dm2, way.run_s, way.in_window
    (1.875, 2400.0, False)
    """
    if area_mm2.value <= 0.0:
        raise BadInput("load", f"{area_mm2.value:g} mm2", "give at least one part with an area")
    density = supply.limit_a / (area_mm2.value * 1e-4)
    if density >= set_a_per_dm2:
        return None
    longer_s = with_ramp_s(run_s * set_a_per_dm2 / density, supply.ramp_s)
    others = tuple(w.name for w in WINDOWS.values() if w.least_a_per_dm2 <= density <= w.most_a_per_dm2)
    return LowerDensity(density, supply.limit_a, longer_s, density >= least_a_per_dm2, others)


def window_in_reach(supply: Supply, area_mm2: Estimate, driven_a: float, charge_c: float) -> LowerDensity | None:
    """The densest usual window whose middle the volts of a supply still drive, at driven_a; else None.

    >>> way = window_in_reach(Supply(20.0, 16.0), Estimate.exact(59_000.0), 10.2, 27_000.0)
    >>> way.other_windows, round(way.current_a, 2)
    (('decorative',), 7.94)
    """
    area_dm2 = area_mm2.value * 1e-4
    within = [w for w in WINDOWS.values() if w.middle_a_per_dm2 * area_dm2 <= driven_a]
    if not within:
        return None
    best = max(within, key=lambda w: w.middle_a_per_dm2)
    current_a = best.middle_a_per_dm2 * area_dm2
    run_s = with_ramp_s(charge_c / current_a, supply.ramp_s)
    return LowerDensity(best.middle_a_per_dm2, current_a, run_s, in_window=False, other_windows=(best.name,))


def supply_to_buy(most_a: float, most_v: float) -> BuySupply:
    """The least ratings for the most that a load may ask for, loaded to the share of a long run.

    >>> supply_to_buy(4.32, 19.0)
    BuySupply(rating_a=6.0, rating_v=20.0, most_a=4.32)
    """
    return BuySupply(_rating(most_a / LONG_RUN_SHARE.value), _rating(most_v), most_a)


def _rating(value: float) -> float:
    """The next rating up a plain series: steps of 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 in each decade."""
    decade = 10.0 ** math.floor(math.log10(value))
    steps = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
    return next(step * decade for step in steps if step * decade >= value * (1.0 - 1e-12))


Counts = tuple[int, ...]
"""How many of each kind of part."""
_MOST_TRIED = 60  # loads of so many different halves are split by trying all of them


def split(counts: Counts, goes: Callable[[Counts], bool]) -> tuple[list[Counts], tuple[int, ...]]:
    """So many of each kind in the fewest runs that go, and the kinds of which not even one goes.

    What goes must still go with parts taken off. All ways are tried where they are few; else each run is filled in the
    order of the kinds, first fit.

    >>> split((1, 1, 2), lambda run: 5 * run[0] + 3 * run[1] + 3 * run[2] <= 8)
    ([(1, 1, 0), (0, 0, 2)], ())
    """
    asked = cache(goes)
    alone = tuple(kind for kind, n in enumerate(counts) if n and not asked(_only(counts, kind, 1)))
    left = tuple(0 if kind in alone else n for kind, n in enumerate(counts))
    if not any(left):
        return [], alone
    runs = _first_fit(left, asked)
    if len(runs) > 2 and math.prod(n + 1 for n in left) <= _MOST_TRIED:
        runs = min(runs, _fewest(left, asked), key=len)
    return runs, alone


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
