"""The film of a load: what is wanted, what each kind of part gets, and where the bath stops it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.bath.ceiling import Ceiling, ceiling, ceiling_fact
from areacalc.bath.dye import SHADES, least_film
from areacalc.bath.film import DEFAULT_RULE, ThicknessRule
from areacalc.bath.growth import Growth, Takes, growth
from areacalc.digits import three
from areacalc.errors import CannotRun
from areacalc.figure import Figure, constant, given, worked
from areacalc.load.load import Finish
from areacalc.logbook.records import Run
from areacalc.sources import Constant, Kind, Source

_UNSAID = Constant(
    SHADES["dark"].value, "um",
    Source(Kind.PUBLISHED, f"neither thickness nor shade was given; {SHADES['dark'].source.text}"),
)  # fmt: skip
_ON_SKIN = Source(
    Kind.DERIVED, "charge over the effective area is what the outside gets; how evenly it lands there is left out"
)


@dataclass(frozen=True, slots=True)
class FilmPlan:
    """The film [um] that is wanted, that comes, its growth out and in, and the ceiling of this bath.

    film and growth are those of the alloy that films least; by_part has each kind of part's own.
    """

    wanted: Figure
    film: Figure
    growth: Growth
    ceiling: Figure
    by_part: tuple[Growth, ...] = ()


def refuse_past_ceiling(wanted: Figure, top: Figure, refused: CannotRun) -> None:
    """Raises CannotRun with the ceiling where a supply is refused for a film [um] that this bath does not make."""
    past = ceiling_fact(wanted, top)
    if past is not None and past.kind is Ceiling.PAST:
        low, wished, high = (three(x) for x in (top.estimate.low, wanted.estimate.value, top.estimate.high))
        what = (f"{wished} um is past the ceiling of this bath, {low} to {high} um (from memory); the {refused.where} "
                f"gives out too: {refused.what}")  # fmt: skip
        raise CannotRun("film", what, "run colder, weaker or at a higher density, or want a thinner film") from None


def wanted_film(finish: Finish, repeat: Run | None = None) -> Figure:
    """The film a finish wants [um]: of the run to repeat, the thickness, the shade's, or 12 um where nothing is said.

    >>> wanted_film(Finish(shade="pale")).estimate.value
    2.54
    """
    if repeat is not None:
        source = Source(Kind.ENTERED, f"film of the run of {repeat.when}, from the logbook")
        return given("film wanted", repeat.film_um, "um", source)
    if finish.thickness_um is not None:
        return given("film wanted", finish.thickness_um, "um")
    if finish.shade is not None:
        return least_film(finish.shade)
    return constant("film wanted", _UNSAID)


def plan_film(
    wanted: Figure, charge: Figure, area: Figure, density: Figure, acid: Figure, temperature: Figure,
    slowest: Takes | None = None, of_parts: Sequence[Takes] = (), rule: ThicknessRule = DEFAULT_RULE,
    way: str = "charge",
) -> FilmPlan:  # fmt: skip
    """The film from the charge [Ah] given over the area [mm2], and its ceiling at the density [A/dm2].

    slowest is what the alloy that films least makes of it; of_parts those of each kind of part; way the share outward.
    """
    on_skin = worked("charge on the surface", "A min/dm2", "charge / area", _ON_SKIN,
                     lambda q, a: q * 60.0 / (a * 1e-4), charge, area)  # fmt: skip
    least, *by_part = (growth(on_skin, way, rule, takes) for takes in (slowest, *of_parts))
    top = ceiling(density, acid, temperature, rule)
    return FilmPlan(wanted, least.film, least, top, tuple(by_part))
