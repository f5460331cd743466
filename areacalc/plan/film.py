"""The film of a load: what is wanted, what each kind of part gets, and where the bath stops it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.bath.ceiling import Ceiling, ceiling_fact
from areacalc.bath.dye import SHADES, least_film
from areacalc.bath.film import ThicknessRule
from areacalc.bath.growth import Growth, Takes, growth
from areacalc.digits import three
from areacalc.errors import CannotRun
from areacalc.figure import Figure, constant, given
from areacalc.load.load import Finish
from areacalc.logbook.came import Came, FilmFrom
from areacalc.logbook.records import Run
from areacalc.sources import Constant, Kind, Source

_UNSAID = Constant(
    SHADES["dark"].value, "um",
    Source(Kind.PUBLISHED, f"neither thickness nor shade was given; {SHADES['dark'].source.text}"),
)  # fmt: skip


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
        raise CannotRun("coating", what, "run colder, weaker or denser, or plan a thinner coating") from None


def wanted_film(finish: Finish, repeat: Run | None = None, came: Came | None = None) -> Figure:
    """The film a finish wants [um]: of the run to repeat, the thickness, the shade's, or 12 um where nothing is said.

    came: what came of the run to repeat; None: as planned.

    >>> wanted_film(Finish(shade="pale")).estimate.value
    2.54
    """
    if repeat is not None:
        kind = came.film_from if came is not None else FilmFrom.PLAN
        source = Source(Kind.ENTERED, f"run {repeat.number} of {repeat.when}, {kind.value}, from the logbook")
        return given("coating wanted", came.film_um if came is not None else repeat.film_um, "um", source)
    if finish.thickness_um is not None:
        return given("coating wanted", finish.thickness_um, "um")
    if finish.shade is not None:
        return least_film(finish.shade)
    return constant("coating wanted", _UNSAID)


def plan_film(
    wanted: Figure, on_surface: Figure, top: Figure, takes: Sequence[Takes], rule: ThicknessRule, way: str
) -> FilmPlan:
    """The film from the charge on the surface [A min/dm2], under the ceiling of this bath [um].

    takes: what each alloy makes of a charge: that which films least, then those of each kind of part. way: the share
    outward.
    """
    least, *by_part = (growth(on_surface, way, rule, each) for each in takes)
    return FilmPlan(wanted, least.film, least, top, tuple(by_part))
