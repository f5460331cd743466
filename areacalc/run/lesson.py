"""What is learned of one constant: by coatings measured down bores, and of drag-out by analyses of a bath; and how far
runs scatter about what they teach."""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from areacalc.bath.dissolved import ACID_PER_ALUMINIUM, acid_used, aluminium_dissolved
from areacalc.bath.film import GAUGE_UM
from areacalc.bath.voltage import rise_per_um
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import given
from areacalc.logbook.came import FilmFrom, Logged
from areacalc.logbook.records import Event, Run, seconds_of
from areacalc.plan.area import carried_by
from areacalc.plan.plan import Plan
from areacalc.plant.supply import standard
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.split_tube import SplitTube, slope_of

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


_WIDE = 2.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """A constant that was learned, in a unit, how many readings tell it, and how the runs scatter about it."""

    estimate: Estimate
    unit: str
    readings: int
    scatter: Scatter | None = None


def about(value: float, tolerance: float) -> Estimate:
    """A value with two standard uncertainties, each the tolerance, either way."""
    return Estimate(float(value), float(value - _WIDE * tolerance), float(value + _WIDE * tolerance))


_BORE = re.compile(r"bore-\d+\s*$", re.I)
_TWICE_STANDARD = 2.0 / math.sqrt(3.0)  # of a gauge that is off by no more than its limit


def bore_slope(plan: Plan, logged: Sequence[Logged]) -> Lesson | None:
    """V0 [V] from coatings measured outside and, in the same run, in a bore where the plan has it thinnest.

    It is that of the conductivity that the plan has: a bore tells their product. The place of such a coating is named
    as part and bore: pen body bore-1. Each bore tells a slope by the means of its runs; of several bores the mean
    stands, with the mean of their ends.
    """
    slopes, readings, rise = [], 0, rise_per_um(plan.load.bath.temperature_c)
    for part in plan.throw.parts:
        for bores, _ in part.bores:
            places = {f"{part.name} {name}".lower() for name in bores.names}
            films = [found for each in logged if (found := _films(each, places)) is not None]
            if not films:
                continue
            outside_um, least_um, density = (sum(column) / len(films) for column in zip(*films, strict=True))
            within_um = GAUGE_UM.value * min(1.0, _TWICE_STANDARD / math.sqrt(len(films)))
            try:
                tube = SplitTube(bores.bore, outside_um, least_um, density)
            except BadInput:  # bores that come out even tell no slope
                continue
            slope, kappa = slope_of(tube, plan.conductivity, rise, within_um), plan.conductivity.estimate
            ends = slope.low * kappa.low / kappa.value, slope.high * kappa.high / kappa.value
            slopes.append((slope.value, *ends))
            readings += len(films)
    if not slopes:
        return None
    return Lesson(Estimate(*(sum(column) / len(slopes) for column in zip(*slopes, strict=True))), "V", readings)


def refuse_other_bore(place: str, plan: Plan) -> None:
    """Refuse a bore that this load does not have, where all its parts were opened.

    Raises UnknownName.
    """
    if not _BORE.search(place) or any(part.part is None for part in plan.parts):
        return
    named = [f"{part.line.name} {row.feature.name}" for part in plan.parts for row in part.rows]
    bores = list(dict.fromkeys(each for each in named if _BORE.search(each)))
    if place.lower().strip() not in [each.lower() for each in bores]:
        raise UnknownName.among("place", place, bores)


def _films(each: Logged, places: set[str]) -> tuple[float, float, float] | None:
    """The coating outside and in a bore [um], and the density outside [A/dm2], of one run; None where not measured."""
    came, run = each.came, each.run
    inside = [o.film_um for o in each.outcomes if o.film_um is not None and o.place.lower().strip() in places]
    if not inside or came.film_from is not FilmFrom.MEASURED or not came.is_worth_repeating:
        return None
    share = came.charge_ah / came.planned_ah * run.run_s / came.run_s
    return came.film_um, sum(inside) / len(inside), share * run.density_a_per_dm2


TITRATION = Constant(0.01, "", Source(Kind.FROM_MEMORY, "free acid titrated by hand is right to about 1 % of itself"))
OF_ALUMINIUM = Constant(0.03, "", Source(Kind.FROM_MEMORY, "dissolved aluminium titrated by hand, to about 3 %"))


def drag_out_film(plan: Plan, logged: Sequence[Logged], history: Sequence[Event]) -> Lesson | None:
    """Liquid on the surface as a load is lifted out, as a film [um], which is mL/m2; None where nothing tells.

    Between two analyses of the free acid with nothing added but water: what is gone [g], less what dissolving aluminium
    used up, over acid and surface lifted out. The aluminium is that of the analyses, else by the charge. What bores of
    this load's parts hold is taken off.
    """
    told = [e for e in history if e.what != "analysis" or e.acid_g_per_l is not None]
    found = []
    for before, after in pairwise(told):
        from_s, until_s = seconds_of(before.when), seconds_of(after.when)
        runs = [each for each in logged if each.run.bath_l and from_s <= seconds_of(each.run.when) < until_s]
        if runs and before.what == after.what == "analysis":
            lost_l, off_l = _lost_l(before, after, runs)
            held_ml = sum(_held_ml(plan, each.run) for each in runs)
            found.append((1e3 * lost_l - held_ml, (1e3 * off_l) ** 2, 1e-6 * sum(each.run.area_mm2 for each in runs)))
    if not found:
        return None
    lost_ml, variance, area_m2 = (sum(column) for column in zip(*found, strict=True))
    return Lesson(about(lost_ml / area_m2, math.sqrt(variance) / area_m2), "um", len(found) + 1)


def _lost_l(before: Event, after: Event, runs: Sequence[Logged]) -> tuple[float, float]:
    """Liquid lifted out between two analyses [L], and its standard uncertainty."""
    bath_l, ratio = runs[-1].run.bath_l or 0.0, ACID_PER_ALUMINIUM.value
    acids = [each.acid_g_per_l or 0.0 for each in (before, after)]
    mean, gone_g = 0.5 * sum(acids), (acids[0] - acids[1]) * bath_l
    off_g = math.sqrt(2.0) * standard(TITRATION.value) * mean * bath_l
    if before.aluminium_g_per_l is not None and after.aluminium_g_per_l is not None:
        held, rise = after.aluminium_g_per_l, after.aluminium_g_per_l - before.aluminium_g_per_l
        off_g = math.hypot(off_g, math.sqrt(2.0) * standard(OF_ALUMINIUM.value) * held * bath_l * ratio)
        taken = mean + ratio * 0.5 * (held + before.aluminium_g_per_l)  # what is lifted out takes aluminium along
        return (gone_g - ratio * rise * bath_l) / taken, off_g / taken
    charge = given("charge", sum(each.came.charge_ah for each in runs), "Ah")
    used = acid_used(aluminium_dissolved(charge)).estimate
    return (gone_g - used.value) / mean, math.hypot(off_g, 0.5 * used.width) / mean


def _held_ml(plan: Plan, run: Run) -> float:
    """What bores and pockets hold, of a run of the plan's own load."""
    held = carried_by(plan.parts) if run.load == plan.load.name else ()
    return sum(each.estimate.value for each in held)
