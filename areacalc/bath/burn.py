"""Burn risk: what makes a film burn, with the figures of this run against those that are published.

No source gives one number above which a part burns; what it gives are the causes. So the result is a list of them. One
is derived here: the rise of the surface past which a warmer spot makes more heat than it loses.
"""

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.ceiling import GAS_CONSTANT
from areacalc.bath.electrolyte import kelvin
from areacalc.bath.voltage import GROWTH_ENERGY
from areacalc.bath.window import DM2_PER_FT2, Window
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

EDGES_BURN = Constant(
    3000.0 / DM2_PER_FT2, "W/dm2", Source(Kind.REPORTED, "alphametal.com on sharp edges: hard coating can come near "
                                         "3000 W/ft2, and then sharp edges burn first"),
)  # fmt: skip
STABLE = Source(
    Kind.DERIVED, "a spot at steady volts runs away where a degree more adds more heat than it carries off: at a rise "
    "of R T^2 / E; not yet held against a measurement",
)  # fmt: skip


class Burning(Enum):
    ABOVE_WINDOW = "density above the window"
    MAY_BE_ABOVE_WINDOW = "density may be above the window"
    VOLTS_MAY_DRIVE_MORE = "volts may drive more than the window"
    HOT_SURFACE = "heat at which sharp edges burn"
    UNSTABLE = "surface runs away"
    MAY_BE_UNSTABLE = "surface may run away"


@dataclass(frozen=True, slots=True)
class Burn:
    """What speaks for burning, worst first (none: nothing seen), the stable rise [K], the heat transfer it needs."""

    stable_rise: Figure
    least_transfer: Figure
    causes: tuple[Fact, ...]


def stable_rise(bath: Figure) -> Figure:
    """The largest rise [K] above a bath [C] at which a spot at steady volts is stable, R T^2 / E. Derived.

    >>> from areacalc.figure import given
    >>> [round(stable_rise(given("bath", t, "C")).estimate.value, 1) for t in (0.0, 10.0, 20.0)]
    [11.7, 12.5, 13.4]
    """
    return worked("surface burns beyond a rise of", "K", "R T^2 / E, R = 8.314 J/(mol K), T the bath in kelvin", STABLE,
                  lambda t, e: GAS_CONSTANT.value * kelvin(t) ** 2 / (1e3 * e), bath,
                  constant("warmth speeds growth (activation energy)", GROWTH_ENERGY))  # fmt: skip


def least_transfer(heat_on_surface: Figure, rise: Figure) -> Figure:
    """The heat transfer [W/(m2 K)] that a heat [W/dm2] needs to stay at the stable rise [K].

    >>> from areacalc.figure import given
    >>> heat = given("heat", 24.62, "W/dm2")
    >>> [round(least_transfer(heat, stable_rise(given("bath", t, "C"))).estimate.value) for t in (20.0, 0.0)]
    [183, 211]
    """
    return worked("least heat transfer for a stable surface", "W/(m2 K)", "heat on the surface / stable rise", STABLE,
                  lambda q, k: 100.0 * q / k, heat_on_surface, rise)  # fmt: skip


def burn(
    density: Figure, heat_on_surface: Figure, rise: Figure, bath: Figure, window: Window, holds_volts: bool = False
) -> Burn:  # fmt: skip
    """What speaks for burning, from density [A/dm2], the most heat [W/dm2] and rise [K] of the surface, bath [C].

    A density below the window is no cause.
    """
    stable = stable_rise(bath)
    needs, causes, most = least_transfer(heat_on_surface, stable), [], window.most_a_per_dm2
    if density.estimate.high > most * (1.0 + 1e-9) and not window.is_one:
        may_be = Burning.VOLTS_MAY_DRIVE_MORE if holds_volts else Burning.MAY_BE_ABOVE_WINDOW
        kind = Burning.ABOVE_WINDOW if density.estimate.low > most else may_be
        causes.append(fact(kind, density=density, most=quantity(most, "A/dm2"), source=window.source))
    if rise.estimate.high >= stable.estimate.low:
        sure = rise.estimate.low >= stable.estimate.high
        kind = Burning.UNSTABLE if sure else Burning.MAY_BE_UNSTABLE
        causes.append(fact(kind, rise=rise, stable=stable, needs=needs, source=STABLE))
    if heat_on_surface.estimate.high >= EDGES_BURN.value:
        causes.append(fact(Burning.HOT_SURFACE, heat=heat_on_surface, source=EDGES_BURN.source))
    return Burn(stable, needs, tuple(causes))
