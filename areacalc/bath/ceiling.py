"""The thickest film a bath allows: where its oldest, outermost layer has been eaten away.

The acid thins the pore walls from the start. The outside of the film has stood in it longest; once its walls are gone,
it recedes as fast as new film grows below. So the ceiling is what grows in the life of a pore wall, in proportion to
the density. The life follows the surface's temperature and the strength by published laws, but what grows in it rests
on a figure from memory: the ceiling is something to look at and never a limit.
"""

import math
from enum import Enum

from areacalc.bath.electrolyte import ROOM_C, kelvin
from areacalc.fact import Fact, fact
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

GAS_CONSTANT = Constant(8.31446261815324, "J/(mol K)", Source(Kind.PUBLISHED, "CODATA 2018; exact"))
WALL_ENERGY = Constant(
    83.3, "kJ/mol",
    Source(Kind.PUBLISHED, "thinning of pore walls in 2 mol/L acid, 83.3 +/- 2.1 kJ/mol: Russ. J. Inorg. Chem. 66 "
           "(2021) 258, doi 10.1134/S0036023621020182"),
    low=81.2, high=85.4,
)  # fmt: skip
STRENGTH_ORDER = Constant(0.81, "", Source(
    Kind.PUBLISHED, "dissolution as strength to the 0.81: Eguchi, J. Met. Fin. Soc. Japan 20 (1969) 207"))  # fmt: skip
WALL_GROWTH = Constant(
    20.3, "um/(A/dm2)",
    Source(Kind.FROM_MEMORY, "Type II stops at 25 to 30 um: 25 um at 1.5 A/dm2 to 30 um at 1.2 A/dm2, 20 C, 175 g/L"),
    low=16.7, high=25.0,
)  # fmt: skip
LIFE_ACID_G_PER_L = 175.0
LIFE_SURFACE_C = Constant(
    22.1, "C", Source(Kind.DERIVED, "the surface in such a bath at 20 C, stirred by air: 1.35 A/dm2 at 14.3 V make "
                      "21 W/dm2, over 1000 W/(m2 K)"),
)  # fmt: skip
MODEL = Source(Kind.FROM_MEMORY, "how much coating grows before the acid has eaten the first pore walls")


def dissolution_ratio(
    temperature_c: float, energy_kj_per_mol: float = WALL_ENERGY.value, reference_c: float = ROOM_C
) -> float:
    """How fast pore walls dissolve against a reference, 20 C unless told: exp(-E/R (1/T - 1/Tref)).

    >>> round(dissolution_ratio(0.0), 3), round(dissolution_ratio(30.0), 2)
    (0.082, 3.09)
    """
    inverse = 1.0 / kelvin(temperature_c) - 1.0 / kelvin(reference_c)
    return math.exp(-1e3 * energy_kj_per_mol / GAS_CONSTANT.value * inverse)


def ceiling(density: Figure, acid: Figure, surface: Figure, alloy_factor: Figure) -> Figure:
    """The film [um] at which dissolution catches up, at a density [A/dm2], acid [g/L] and surface temperature [C].

    alloy_factor is what the alloy makes of a film.

    >>> from areacalc.figure import given
    >>> i, acid, surface = given("i", 1.35, "A/dm2"), given("acid", 175.0, "g/L"), given("surface", 22.1, "C")
    >>> made = ceiling(i, acid, surface, given("alloy factor", 1.0, ""))
    >>> round(made.estimate.value), made.source.kind.value
    (27, 'from memory')
    """

    def formula(
        i: float, c: float, t_c: float, factor: float, grown: float, energy: float, order: float, life_c: float
    ) -> float:
        return i * factor * grown / dissolution_ratio(t_c, energy, life_c) * math.pow(LIFE_ACID_G_PER_L / c, order)

    return worked(
        "thickest coating that this bath allows", "um",
        "density x growth while a pore wall lasts in the acid x alloy factor / (temperature law x (acid / 175)^0.81)",
        MODEL, formula, density, acid, surface, alloy_factor,
        constant("growth while a pore wall lasts in the acid", WALL_GROWTH),
        constant("warmth speeds the acid (activation energy)", WALL_ENERGY),
        constant("acid strength counts to the power", STRENGTH_ORDER),
        constant("surface temperature of that growth", LIFE_SURFACE_C),
    )  # fmt: skip


class Ceiling(Enum):
    """How a film stands to the thickest that the bath makes."""

    PAST = "past the ceiling"
    NEAR = "may reach the ceiling"


def ceiling_fact(film: Figure, top: Figure) -> Fact | None:
    """What there is to say of a film that may reach the ceiling, `top` as made by `ceiling`; None where it stays under.

    PAST where the film lies above the ceiling for certain, as far as the ceiling is known.
    """
    if film.estimate.high < top.estimate.low:
        return None
    density, _, surface = top.inputs[:3]
    kind = Ceiling.PAST if film.estimate.low > top.estimate.high else Ceiling.NEAR
    return fact(kind, film=film, ceiling=top, density=density, surface=surface)
