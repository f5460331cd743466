"""The run of a load, followed in time: how long it is, and every figure that its course tells."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.cases import BathState, Cases, Unknowns, cases_of
from areacalc.bath.course import COURSE, Course, LimitedBy, RunSetting, follow, steady_v
from areacalc.bath.heat import CHEMICAL_TERM, TRANSFER
from areacalc.bath.voltage import GROWTH_ENERGY, ORDER, rise_per_um
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, given_or_none, worked
from areacalc.load.load import EVEN_CHANCE, BathToday
from areacalc.plant.supply import Mode, Supply
from areacalc.sources import Kind, Source


@dataclass(frozen=True, slots=True)
class RunPlan:
    """A run followed for all its cases, and the time that is set for it [s].

    reached_s (n,) is when each case has the film wanted; inputs are the figures that the course was followed with.
    """

    course: Course
    set_s: float
    reached_s: Floats
    film_um: float
    inputs: tuple[Figure, ...]

    @property
    def ramp_s(self) -> float:
        """The time at which the ramp is over, or the run if that is sooner."""
        return min(self.course.setting.ramp_s, self.set_s)

    @property
    def ends_in_ramp(self) -> bool:
        """Whether the run is over before the current is brought up."""
        return self.course.setting.ramp_s > self.set_s

    def figure(self, name: str, unit: str, formula: str, values: Floats, inputs: Sequence[Figure] = ()) -> Figure:
        """A figure that the course tells: its values (n,) in every case."""
        estimate = self.course.cases.bounds(values)
        if estimate.low < estimate.high:
            wide = (f.name for f in self.inputs if f.estimate.low < f.estimate.high)
            estimate = Estimate(estimate.value, estimate.low, estimate.high, tuple(wide))
        return Figure(name, estimate, unit, formula, COURSE, (*inputs, *self.inputs))

    def at_end(self, rows: Floats) -> Floats:
        """One of the course's arrays when the time is up (n,)."""
        return self.course.at(rows, self.set_s)

    @property
    def most_a(self) -> float:
        """The largest current of the run [A], with everything at its value."""
        return float(self.most(self.course.current_a)[0])

    @property
    def most_v(self) -> float:
        """The most that the power supply shows [V], with everything at its value."""
        return float(self.most(self.course.supply_v)[0])

    def most(self, rows: Floats) -> Floats:
        """The most of one of the course's arrays up to the time that is set (n,)."""
        until = int(np.searchsorted(self.course.time_s, self.set_s))
        most: Floats = np.maximum(rows[:until].max(axis=0), self.at_end(rows))
        return most

    def mean_over_the_hold(self, rows: Floats) -> Floats:
        """The mean of one of the course's arrays after the ramp (n,), by Simpson's rule."""
        middle_s = 0.5 * (self.ramp_s + self.set_s)
        weighted: Floats = self.course.at(rows, self.ramp_s) + 4.0 * self.course.at(rows, middle_s) + self.at_end(rows)
        return weighted / 6.0

    def over_the_hold(self, rows: Floats) -> Floats:
        """The mean rate (n,) after the ramp of what has added up, or its rate at the end where the ramp is all."""
        held_s = self.set_s - self.ramp_s
        if held_s <= 0.0:
            step = np.gradient(rows, self.course.time_s, axis=0)
            return self.at_end(step)
        return (self.at_end(rows) - self.course.at(rows, self.ramp_s)) / held_s

    @property
    def density_a_per_dm2(self) -> Floats:
        """The density after the ramp (n,), the mean of the hold."""
        return self.over_the_hold(self.course.charge_c) / self.course.cases.area_dm2

    def spans(self) -> tuple[tuple[LimitedBy, float, float], ...]:
        """What decides the current, and from when to when [s], with everything at its value."""
        out: list[tuple[LimitedBy, float, float]] = []
        times = np.minimum(self.course.time_s, self.set_s)
        for by, start, end in zip(self.course.limited_by[1:, 0], times, times[1:], strict=False):
            if end <= start:
                break
            if out and out[-1][0] == by:
                out[-1] = (out[-1][0], out[-1][1], float(end))
            else:
                out.append((LimitedBy(by), float(start), float(end)))
        return tuple(out)

    def wanted_c(self, certainty: float) -> float:
        """The charge [C] that brings the film with a certainty, whatever the current does meanwhile."""
        return float(self.course.cases.charge_c(self.film_um)[0]) * _over(self.course.cases, certainty)

    def driven_a(self, from_s: float, to_s: float) -> tuple[float, float]:
        """The least and the most current [A] from one time to another [s], with everything at its value."""
        time_s, current_a = self.moments()[:, :2].T
        within = current_a[(time_s >= from_s) & (time_s <= to_s)]
        return float(within.min()), float(within.max())

    def moments(self) -> Floats:
        """Rows of time [s], current [A], volts at the power supply and charge [C], with everything at its value."""
        course = self.course
        until = int(np.searchsorted(course.time_s, self.set_s))
        columns = (course.current_a, course.supply_v, course.charge_c)
        rows = np.column_stack([course.time_s[:until], *(c[:until, 0] for c in columns)])
        last = [self.set_s, *(float(self.at_end(c)[0]) for c in columns)]
        return np.vstack([rows, last])


@dataclass(frozen=True, slots=True)
class RunGoal:
    """What a run is asked to do: the film [um] with a certainty, the area [mm2] that takes the current [A] set.

    film_per_charge is the charge rule with what the alloy makes of it; series_ohm is the rack. ramp_s holds where no
    power supply is told.
    """

    film: Figure
    certainty: float
    area: Figure
    current: Figure
    film_per_charge: Figure
    series_ohm: float = 0.0
    ramp_s: float = 0.0


def plan_run(
    asked: RunGoal, today: BathToday, held: Figure, supply: Supply | None = None, quick: bool = False
) -> RunPlan:
    """The run followed to the film. Raises CannotRun for a power supply whose volts drive no current.

    held is the heat that warms the bath by a degree [kJ/K]. quick: with everything unknown at its value alone.
    """
    law = today.law
    inputs = (
        asked.film, asked.current, asked.area, asked.film_per_charge, held,
        constant("volts at the reference point", law.volts),
        constant("warmth speeds growth (activation energy)", GROWTH_ENERGY),
        constant("acid strength counts to the power", ORDER),
        constant("more volts for 2.72 times the current", law.volts_per_e_fold),
        constant("rise of volts", rise_per_um(today.temperature_c)),
        constant(f"heat transfer, {today.agitation} bath", TRANSFER[today.agitation]),
        constant("chemical term", CHEMICAL_TERM), given("acid", today.acid_g_per_l, "g/L"),
        given("bath now", today.temperature_c, "C"), _cooling(today), *_limits(supply),
    )  # fmt: skip
    ends = [f.estimate for f in (asked.area, asked.film_per_charge, *inputs[5:12], inputs[14])]
    ends[0] = ends[0].scaled(1e-4)
    bath = BathState(law, today.acid_g_per_l, today.temperature_c, today.agitation, held.estimate.value)
    value = cases_of(Unknowns(*(Estimate.exact(e.value) for e in ends)), bath)
    cases = cases_of(Unknowns(*ends), bath)
    setting, film_um = _setting(asked, supply, value), asked.film.estimate.value
    if quick:
        film_um *= _over(cases, asked.certainty)
        cases = value
    course = follow(setting, cases, film_um, -np.inf if quick else today.warmest_c)
    reached = course.when(cases.charge_c(film_um))
    set_s = float(reached[0])
    if asked.certainty > EVEN_CHANCE and not quick:
        set_s = float(np.quantile(cases.likely(reached), asked.certainty))
    return RunPlan(course, set_s, reached, film_um, inputs)


def _over(cases: Cases, share: float) -> float:
    """How much more film than wanted comes, with everything at its value, so that a share of the cases has it."""
    wanted_c = cases.charge_c(1.0)
    return float(np.quantile(cases.likely(wanted_c), share) / wanted_c[0]) if share > EVEN_CHANCE else 1.0


def _cooling(today: BathToday) -> Figure:
    """What takes heat out of the bath [W], with how far it is known."""
    if not today.cooling_within_w:
        return given_or_none("cooling", today.cooling_w, "W")
    value, off = today.cooling_w, today.cooling_within_w
    return given(
        "cooling", Estimate(value, max(value - off, 0.0), value + off, ("how well the cooling is known",)), "W"
    )


def _limits(supply: Supply | None) -> tuple[Figure, ...]:
    if supply is None:
        return ()
    of = "of the power supply"
    return (given(f"current limit {of}", supply.limit_a, "A"), given(f"voltage limit {of}", supply.limit_v, "V"),
            given_or_none(f"ramp {of}", supply.ramp_s, "s"))  # fmt: skip


def _setting(asked: RunGoal, supply: Supply | None, value: Cases) -> RunSetting:
    """What the power supply is set to; steady volts are those that the current wants once the ramp is over."""
    set_a = asked.current.estimate.value
    if supply is None:
        return RunSetting(set_a, ramp_s=asked.ramp_s, series_ohm=asked.series_ohm)
    held_v = None
    if supply.mode is Mode.VOLTAGE:
        held_v = float(steady_v(RunSetting(set_a, series_ohm=asked.series_ohm), value, 0.0)[0])
    return RunSetting(set_a, supply.limit_a, supply.limit_v, held_v, supply.ramp_s, asked.series_ohm)


AH_PER_C = 1.0 / 3600.0


@dataclass(frozen=True, slots=True)
class TimePlan:
    """Charge for the film wanted and charge that comes [Ah], the minutes to set [s], the density over the hold [A/dm2].

    The interval of the time is when the film may be there. on_surface is the charge that comes to each area
    [A min/dm2].
    """

    charge_wanted: Figure
    charge: Figure
    time: Figure
    density: Figure
    on_surface: Figure


def plan_time(run: RunPlan, share: float) -> TimePlan:
    """What the course of the run tells of its time and charge; share of the likely cases has the film then."""
    cases, course = run.course.cases, run.course
    charge_c = run.at_end(course.charge_c)
    sure = "coating wanted / (density x coating per charge) + half the ramp"
    if share > EVEN_CHANCE:
        sure += f", then on until {100.0 * share:g} of 100 likely cases have it"
    time = run.figure("time of the run, ramp included", "s", sure, run.reached_s, _by_hand(run, share))
    e = time.estimate
    time = replace(time, estimate=replace(e, value=run.set_s, low=min(e.low, run.set_s), high=max(e.high, run.set_s)))
    return TimePlan(
        run.figure("charge for the coating wanted", "Ah", "coating x area / coating per charge",
                   AH_PER_C * cases.charge_c(run.film_um)),
        run.figure("charge", "Ah", "current added up over the run", AH_PER_C * charge_c, (time,)),
        time,
        run.figure("density on the surface", "A/dm2", "current after the ramp / effective area", run.density_a_per_dm2),
        run.figure("charge on the surface", "A min/dm2", "charge / area", charge_c / (60.0 * cases.area_dm2), (time,)),
    )  # fmt: skip


def _by_hand(run: RunPlan, share: float) -> tuple[Figure, ...]:
    """The sum of the time with all at its value; none where it misses the run that was followed."""
    charged = float(run.at_end(run.course.charge_c)[0] / run.course.cases.charge_c(run.film_um)[0])
    wanted = Source(Kind.DERIVED, f"coating wanted, for {100.0 * share:g} of 100 likely cases")
    short = worked(
        "time by the short formula", "s", "coating aimed for / (density x coating per charge) + half the ramp", COURSE,
        lambda um, a, k, s: 60.0 * um / (a * k) + s, given("coating aimed for", run.film_um * charged, "um", wanted),
        given("density after the ramp", float(run.density_a_per_dm2[0]), "A/dm2", COURSE), run.inputs[3],
        given("half the ramp", 0.5 * run.ramp_s, "s", COURSE),
    )  # fmt: skip
    value = Estimate.exact(short.estimate.value)
    return (replace(short, estimate=value),) if abs(value.value - run.set_s) < 5e-3 * run.set_s else ()


LAW = "Vref + V0 (ln(i/iref) + E/R (1/T - 1/Tref) - n ln(c/cref)) + rise x coating"


def plan_volts(run: RunPlan) -> dict[str, Figure]:
    """Volts at the tank as the ramp ends and as the run ends, and what the power supply shows then, by their names."""
    tank_v, supply_v, ramp_s = run.course.volts_v, run.course.supply_v, run.ramp_s
    shows = "voltage at the power supply"
    told = (
        ("voltage-start", "voltage at the start", f"{LAW}, as the ramp ends", run.course.at(tank_v, ramp_s)),
        ("voltage-end", "voltage at the end", f"{LAW}, as the run ends", run.at_end(tank_v)),
        ("voltage-supply-start", f"{shows}, at the start", "voltage at the start + current x rack",
         run.course.at(supply_v, ramp_s)),
        ("voltage-supply", shows, "voltage at the end + current x rack", run.at_end(supply_v)),
    )  # fmt: skip
    return {key: run.figure(name, "V", formula, values) for key, name, formula, values in told}


def most_volts(cases: Cases, most_a: float, film_um: float, series_ohm: float) -> float:
    """The most that a current [A] through to a film [um] may ask of a power supply [V], whatever is unknown."""
    setting = RunSetting(most_a, series_ohm=series_ohm)
    return max(float(steady_v(setting, cases, film)[: cases.corners].max()) for film in (0.0, film_um))
