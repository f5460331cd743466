"""The film of a load: wanted or repeated, what each kind of part gets, the fits through it, where the bath stops it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from areacalc.bath.ceiling import Ceiling, ceiling_fact
from areacalc.bath.dye import SHADES, least_film
from areacalc.bath.film import GAUGE_UM, Growth, ThicknessRule, measured_rule
from areacalc.bath.fits import Fit, fit
from areacalc.digits import three
from areacalc.errors import CannotRun
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.figure import Figure, constant, given
from areacalc.load.load import Finish, Load
from areacalc.logbook.came import Came, FilmFrom, is_as_asked
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
        what = (f"{wished} um is past the thickest that this bath allows, {low} to {high} um (from memory); the "
                f"{refused.where} cannot reach it: {refused.what}")  # fmt: skip
        raise CannotRun("coating", what, "plan a thinner coating") from None


def wanted_film(finish: Finish, repeat: Run | None = None, came: Came | None = None) -> Figure:
    """The film a finish wants [um]: its thickness, its shade's, that of the run to repeat, or 12 um.

    came: what came of the run to repeat; None: as planned.

    >>> wanted_film(Finish(shade="pale")).estimate.value
    2.54
    """
    if finish.thickness_um is not None:
        return given("coating wanted", finish.thickness_um, "um")
    if finish.shade is not None:
        return least_film(finish.shade)
    if repeat is not None and repeat.asked_um is not None and is_as_asked(repeat, came):
        source = Source(Kind.ENTERED, f"asked in run {repeat.number} of {repeat.when}, from the logbook")
        return given("coating wanted", repeat.asked_um, "um", source)
    if repeat is not None:
        kind = came.film_from if came is not None else FilmFrom.PLAN
        source = Source(Kind.ENTERED, f"run {repeat.number} of {repeat.when}, {kind.value}, from the logbook")
        return given("coating wanted", came.film_um if came is not None else repeat.film_um, "um", source)
    return constant("coating wanted", _UNSAID)


def as_then(figure: Figure, logged_s: float | None) -> Figure:
    """A time in minutes, or that of the run that is repeated [s] where it was logged.

    >>> as_then(given("time to dye", 18.0, "min"), 900.0).estimate.value
    15.0
    """
    if not logged_s:
        return figure
    return given(figure.name, logged_s / 60.0, "min", Source(Kind.ENTERED, "as in the run that is repeated"))


def rule_as_then(rule: ThicknessRule, alloy_factor: float, run: Run, came: Came | None) -> ThicknessRule:
    """The rule [um per A min/dm2] by which the charge of a run makes its coating, so that the same charge comes again.

    A coating that was measured is a rule of its own; else `rule` of today is put to what the run was planned by.
    """
    if came is not None and came.film_from is FilmFrom.MEASURED:
        within_um = min(GAUGE_UM.value, 0.45 * came.film_um)  # thinner than a gauge tells, its charge still holds
        return measured_rule(came.film_um, run.density_a_per_dm2, came.charge_ah * 3600.0 / run.current_a, within_um)
    k = rule.film_per_charge
    charge_a_min_per_dm2 = run.charge_ah * 60.0 / run.current_a * run.density_a_per_dm2
    times = run.film_um / charge_a_min_per_dm2 / alloy_factor / k.value
    if rule.is_own or math.isclose(times, 1.0, rel_tol=1e-6):
        return rule
    source = Source(Kind.ENTERED, f"run {run.number}, which is repeated, was planned by it")
    return replace(rule, film_per_charge=Constant(times * k.value, k.unit, source, times * k.low, times * k.high))


@dataclass(frozen=True, slots=True)
class FitPlan:
    """One fit of one kind of part."""

    part: str
    fit: Fit

    def fact(self) -> Fact:
        """What becomes of the size, from turning through the etch to the film, and what to turn it to."""
        fit = self.fit
        etched = fit.etched if fit.etched is not fit.turned else None
        return fact(
            fit.verdict, part=self.part, size=fit.name, verdict=fit.verdict, turned=fit.turned, etched=etched,
            end=fit.filmed, wanted=_between(fit.wanted.middle_mm, fit.wanted.least_mm, fit.wanted.most_mm),
            aim=None if fit.turn_least_mm > fit.turn_most_mm
            else _between(fit.turn_to.estimate.value, fit.turn_least_mm, fit.turn_most_mm),
        )  # fmt: skip


def _between(value_mm: float, least_mm: float, most_mm: float) -> Quantity:
    return quantity(Estimate(min(max(value_mm, least_mm), most_mm), least_mm, most_mm), "mm")


def plan_fits(load: Load, outward: Sequence[Figure], lost: Figure | None = None) -> tuple[FitPlan, ...]:
    """Every fit of the load with the growth outward [um] of each kind of part, and the metal lost in an etch [um]."""
    return tuple(
        FitPlan(part.name, fit(line.name, line.kind, line.wanted, out, lost, line.turned_mm, line.flank_deg))
        for part, out in zip(load.parts, outward, strict=True)
        for line in part.fits
    )
