"""The time of a load: the charge that the wanted film takes, and how long this supply needs to give it."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.film import DEFAULT_RULE, ThicknessRule, charge_for
from areacalc.bath.voltage import Polarisation
from areacalc.errors import CannotRun
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given, worked
from areacalc.load.load import BathToday
from areacalc.plan.volts import demand, shifts_v
from areacalc.plant.supply import Course, LimitedBy, Mode, Supply, run_in, with_ramp_s
from areacalc.sources import Constant, Kind, Source

RUN = "time of the run, ramp included"
AH_PER_A_MIN = 1.0 / 60.0
_PRODUCT = Source(Kind.DERIVED, "charge is charge on the surface times area")
_STEADY = Source(Kind.DERIVED, "a straight ramp gives half the charge of the steady current")
_COURSE = Source(
    Kind.DERIVED, "the run followed step by step in this supply, at the ends of area, charge rule and voltage law"
)


@dataclass(frozen=True, slots=True)
class TimePlan:
    """The charge wanted and the charge given [Ah], the minutes to set [s, the interval is what the film may want].

    course is the run in the supply at the middle of everything; None without a supply.
    """

    charge_wanted: Figure
    charge: Figure
    time: Figure
    course: Course | None


@dataclass(frozen=True, slots=True)
class Corner:
    """One end of what is not known: an area [mm2], a shift of the volts [V], a charge that the film wants [C]."""

    area_mm2: float
    shift_v: float
    goal_c: float


@dataclass(frozen=True, slots=True)
class Follow:
    """What a run is followed with: the supply and its setting [A], the bath, the law of volts, the charge rule."""

    supply: Supply
    law: Polarisation
    bath: BathToday
    set_a: float
    series_ohm: float
    rule: ThicknessRule

    def run(self, corner: Corner) -> Course:
        """The course at a corner. Raises CannotRun: too few volts."""
        volts = demand(self.law, self.bath, corner.area_mm2, corner.shift_v, self.rule)
        return run_in(self.supply, volts, corner.goal_c, self.set_a, series_ohm=self.series_ohm)

    def run_or_none(self, corner: Corner) -> Course | None:
        """The course at a corner; None where the volts are too few."""
        try:
            return self.run(corner)
        except CannotRun:
            return None

    def charge_at(self, corner: Corner, time_s: float) -> float:
        """The charge [C] that a corner has had when the time is up: its run, followed at least that far."""
        most_c = max(corner.goal_c, min(self.set_a, self.supply.limit_a) * time_s)
        return self.run(Corner(corner.area_mm2, corner.shift_v, most_c)).at(time_s).charge_c


def plan_time(
    film: Figure, area: Figure, current: Figure, start: Figure, bath: BathToday, law: Polarisation,
    supply: Supply | None, series_ohm: float = 0.0, alloy_factor: Constant | None = None,
    rule: ThicknessRule = DEFAULT_RULE,
) -> TimePlan:  # fmt: skip
    """Charge and time for a film [um] over an area [mm2] at a current [A]. Raises CannotRun: a supply of too few volts.

    Where the supply stays off its limits the intervals are exact; where it reaches one they come from runs followed at
    every corner of area, voltage law and charge rule.
    """
    on_skin = charge_for(film, rule, alloy_factor)
    wanted = worked("charge the film wants", "Ah", "charge on the surface x area", _PRODUCT,
                    lambda q, a: q * a * 1e-4 * AH_PER_A_MIN, on_skin, area)  # fmt: skip
    set_a = current.estimate.value
    if supply is None:
        return _steady(wanted, current, 0.0, None)
    corners = _corners(wanted, area, start)
    follow = Follow(supply, law, bath, set_a, series_ohm, rule)
    course = follow.run(corners[0])
    if supply.mode is Mode.CURRENT and not any(
        _limited(c) for c in (course, *(follow.run_or_none(corner) for corner in corners[1:]))
    ):
        return _steady(wanted, current, supply.ramp_s, course)
    return _followed(wanted, current, follow, corners, course)


def _corners(wanted: Figure, area: Figure, start: Figure) -> tuple[Corner, ...]:
    """The middle first, then every corner of area, voltage law and charge rule."""
    e, a = wanted.estimate, area.estimate
    per_mm2 = e.value / a.value * 3600.0
    ends = {a.low, a.high}
    rules = {e.low / (a.low * e.value / a.value), e.high / (a.high * e.value / a.value)}  # the share of the rule alone
    corners = [Corner(x, v, per_mm2 * x * r) for x in ends for v in {*shifts_v(start.estimate)} for r in rules]
    return (Corner(a.value, 0.0, e.value * 3600.0), *corners)


def _limited(course: Course | None) -> bool:
    """Whether the course is held down by a limit; one that cannot be run is."""
    if course is None or course.spans()[-1][0] is LimitedBy.RAMP:
        return True
    return any(by in (LimitedBy.VOLTAGE, LimitedBy.CURRENT) for by, _, _ in course.spans())


def steady_time(full: Figure, ramp: Figure) -> Figure:
    """The run with its ramp [s] from the time that its charge takes at full current [s]."""
    ends_in_it = full.estimate.high < 0.5 * ramp.estimate.low
    formula = "root of (2 x time at full current x ramp)" if ends_in_it else "time at full current + ramp / 2"
    return worked(RUN, "s", formula, _STEADY, with_ramp_s, full, ramp)


def _steady(wanted: Figure, current: Figure, ramp_s: float, course: Course | None) -> TimePlan:
    """The closed form: steady current behind a straight ramp."""
    ramp = given("ramp", ramp_s, "s")
    full = worked("time at full current", "s", "charge / current", _PRODUCT, lambda q, i: q * 3600.0 / i,
                  wanted, current)  # fmt: skip
    time = steady_time(full, ramp)
    charge = Figure("charge", Estimate.exact(wanted.estimate.value), "Ah", "current x (time to set - ramp / 2)",
                    _STEADY, (current, time, ramp))  # fmt: skip
    return TimePlan(wanted, charge, time, course)


def _followed(wanted: Figure, current: Figure, follow: Follow, corners: tuple[Corner, ...], course: Course) -> TimePlan:
    """The run followed at every corner: the time each wants, and the charge each has had when the time is up."""
    courses = [follow.run(corner) for corner in corners[1:]]
    times = [course.reached_s, *(c.reached_s for c in courses)]
    limits = (given("the supply's current limit", follow.supply.limit_a, "A"),
              given("the supply's voltage limit", follow.supply.limit_v, "V"))  # fmt: skip
    because = "area; charge rule; voltage law"
    time = Figure(RUN, Estimate(course.reached_s, min(times), max(times), because), "s",
                  "course of the run in this supply", _COURSE, (wanted, current, *limits))  # fmt: skip
    given_c = [follow.charge_at(corner, course.reached_s) for corner in corners[1:]]
    middle = course.end.charge_c
    charge = Figure(
        "charge", Estimate(middle / 3600.0, min(middle, *given_c) / 3600.0, max(middle, *given_c) / 3600.0, because),
        "Ah", "course of the run in this supply, over the time to set", _COURSE, (current, time, *limits),
    )  # fmt: skip
    return TimePlan(wanted, charge, time, course)
