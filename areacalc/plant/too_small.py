"""What to do where the supply is too small for the load: less density and more time, fewer parts, or another supply."""

from __future__ import annotations

import math
from dataclasses import dataclass

from areacalc.bath.window import WINDOWS
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
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


@dataclass(frozen=True, slots=True)
class FewerParts:
    """The area the supply can take at once at the wanted density; if all parts are alike, how many and how often."""

    at_once: int
    runs: int
    current_a: float
    area_mm2: float
    density_a_per_dm2: float


@dataclass(frozen=True, slots=True)
class BuySupply:
    """The least ratings of a supply that takes the whole load."""

    rating_a: float
    rating_v: float


@dataclass(frozen=True, slots=True)
class WaysOut:
    """The ways out of a supply that is too small; a way that does not exist is None."""

    lower_density: LowerDensity | None
    fewer_parts: FewerParts | None
    buy: BuySupply


def ways_out(
    supply: Supply,
    area_mm2: Estimate,
    count: int,
    least_a_per_dm2: float,
    set_a_per_dm2: float,
    run_s: float,
    most_a: float,
    most_v: float,
) -> WaysOut:
    """What can be done with a supply whose ampere limit is below the load's setting.

    area_mm2 is all `count` parts (taken as equal); run_s the time at the set density, without a ramp;
    most_a and most_v what the load may ask for. Raises BadInput for no parts or no area.

    >>> ways = ways_out(Supply(3.0, 30.0), Estimate.exact(16_000.0), 4, 2.2, 2.5, 1800.0, 4.3, 18.0)
    >>> ways.lower_density.in_window, ways.fewer_parts.at_once, ways.fewer_parts.runs
    (False, 3, 2)
    """
    if count < 1 or area_mm2.value <= 0.0:
        raise BadInput("load", f"{count} parts of {area_mm2.value:g} mm2", "give at least one part with an area")
    set_a = set_a_per_dm2 * area_mm2.value * 1e-4
    density = supply.limit_a / (area_mm2.value * 1e-4)
    lower = None
    if density < set_a_per_dm2:
        longer_s = with_ramp_s(run_s * set_a_per_dm2 / density, supply.ramp_s)
        others = tuple(w.name for w in WINDOWS.values() if w.least_a_per_dm2 <= density <= w.most_a_per_dm2)
        lower = LowerDensity(density, supply.limit_a, longer_s, density >= least_a_per_dm2, others)
    at_once = min(count, math.floor(supply.limit_a / (set_a / count) * (1.0 + 1e-12)))
    fewer = None
    if 1 <= at_once < count:
        most_mm2 = supply.limit_a / set_a_per_dm2 * 1e4
        fewer = FewerParts(at_once, math.ceil(count / at_once), at_once * set_a / count, most_mm2, set_a_per_dm2)
    return WaysOut(lower, fewer, supply_to_buy(most_a, most_v))


def supply_to_buy(most_a: float, most_v: float) -> BuySupply:
    """The least ratings for the most that a load may ask for, loaded to the share of a long run.

    >>> supply_to_buy(4.32, 19.0)
    BuySupply(rating_a=6.0, rating_v=20.0)
    """
    return BuySupply(_rating(most_a / LONG_RUN_SHARE.value), _rating(most_v))


def _rating(value: float) -> float:
    """The next rating up a plain series: steps of 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 in each decade."""
    decade = 10.0 ** math.floor(math.log10(value))
    steps = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
    return next(step * decade for step in steps if step * decade >= value * (1.0 - 1e-12))
