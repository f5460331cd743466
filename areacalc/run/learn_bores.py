"""What coatings measured down bores teach: the slope of volts by which the current shares itself out."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from areacalc.bath.film import GAUGE_UM
from areacalc.bath.voltage import rise_per_um
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.logbook.came import FilmFrom, Logged
from areacalc.plan.plan import Plan
from areacalc.run.lesson import Lesson
from areacalc.throw.split_tube import SplitTube, slope_of

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
            places = {bore_place(part.name, name).lower() for name in bores.names}
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
            low, high = slope.low or slope.value, slope.high or slope.value
            slopes.append((slope.value, low * kappa.low / kappa.value, high * kappa.high / kappa.value))
            readings += len(films)
    if not slopes:
        return None
    return Lesson(Estimate(*(sum(column) / len(slopes) for column in zip(*slopes, strict=True))), "V", readings)


def bore_place(part: str, bore: str) -> str:
    """What the place of a coating down a bore is called: pen body bore-1."""
    return f"{part} {bore}"


def refuse_other_bore(place: str, plan: Plan) -> None:
    """Refuse a bore that this load does not have, where all its parts were opened.

    Raises UnknownName.
    """
    if not _BORE.search(place) or any(part.part is None for part in plan.parts):
        return
    named = [bore_place(part.line.name, row.feature.name) for part in plan.parts for row in part.rows]
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
