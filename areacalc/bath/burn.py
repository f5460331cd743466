"""Burn risk: what makes a film burn, with the figures of this run against those that are published.

No source gives one number above which a part burns; what it gives are the causes. So the result is a list of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.heat import CHEMICAL_TERM
from areacalc.bath.window import DM2_PER_FT2, Window
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

EDGES_BURN = Constant(
    3000.0 / DM2_PER_FT2, "W/dm2", Source(Kind.SECOND_HAND, "alphametal.com on sharp edges: hard coating can come near "
                                         "3000 W/ft2, and then sharp edges burn first"),
)  # fmt: skip
RADIUS_PER_FILM = Constant(
    10.0, "", Source(Kind.SECOND_HAND, "ISO 10074:2021 as reported by lonroy.com: edges of at least 10 times the film")
)
STIRRED = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 405: without stirring heat stays at the part")
_HEAT = Source(Kind.DERIVED, "current density x (volts at the tank + chemical term)")


class Burning(Enum):
    """What speaks for burning."""

    ABOVE_WINDOW = "density above the window"
    MAY_BE_ABOVE_WINDOW = "density may be above the window"
    HOT_SURFACE = "heat at which sharp edges burn"
    STILL_BATH = "nothing stirs the bath"
    SHARP_EDGE = "edge too sharp"


@dataclass(frozen=True, slots=True)
class Burn:
    """What speaks for burning, worst first (none: nothing seen), with the heat on the skin [W/dm2]."""

    heat_on_skin: Figure
    least_radius: Figure
    causes: tuple[Fact, ...]


def heat_on_skin(density: Figure, voltage: Figure) -> Figure:
    """Heat given off at the skin [W/dm2] from current density [A/dm2] and volts at the tank.

    >>> from areacalc.figure import given
    >>> round(heat_on_skin(given("density", 1.5, "A/dm2"), given("volts", 15.0, "V")).estimate.value, 1)
    24.6
    """
    return worked("heat on the surface", "W/dm2", "density x (voltage + chemical term)", _HEAT,
                  lambda i, v, term: i * (v + term), density, voltage,
                  constant("chemical term", CHEMICAL_TERM))  # fmt: skip


def least_radius(film: Figure) -> Figure:
    """The smallest radius [mm] that an edge should have under a hard film [um].

    >>> from areacalc.figure import given
    >>> least_radius(given("film", 50.0, "um")).estimate.value
    0.5
    """
    return worked("least radius of edges", "mm", "10 x film / 1000", RADIUS_PER_FILM.source, lambda h, k: h * k * 1e-3,
                  film, constant("radius for the film", RADIUS_PER_FILM))  # fmt: skip


def burn(
    density: Figure, voltage: Figure, film: Figure, window: Window, hard: bool = False, agitated: bool = True,
    edge_radius_mm: float | None = None,
) -> Burn:  # fmt: skip
    """What speaks for burning at a density [A/dm2], volts at the tank and film [um], in a density window.

    edge_radius_mm: the sharpest outside edge, where it is known. A density below the window is no cause.
    """
    on_skin, radius = heat_on_skin(density, voltage), least_radius(film)
    causes, most = [], window.most_a_per_dm2
    if density.estimate.high > most * (1.0 + 1e-9) and not window.is_one:
        kind = Burning.ABOVE_WINDOW if density.estimate.low > most else Burning.MAY_BE_ABOVE_WINDOW
        causes.append(fact(kind, density=density, most=quantity(most, "A/dm2"), source=window.source))
    if on_skin.estimate.high >= EDGES_BURN.value:
        causes.append(fact(Burning.HOT_SURFACE, heat=on_skin, source=EDGES_BURN.source))
    if not agitated:
        causes.append(fact(Burning.STILL_BATH, source=STIRRED))
    if hard and edge_radius_mm is not None and edge_radius_mm < radius.estimate.high:
        edge = quantity(edge_radius_mm, "mm")
        causes.append(fact(Burning.SHARP_EDGE, edge=edge, least=radius, source=RADIUS_PER_FILM.source))
    return Burn(on_skin, radius, tuple(causes))
