"""Readings of a run judged one after the other: what was expected, the area they imply, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.cases import Cases
from areacalc.bath.course import Course, Flowed, replay
from areacalc.bath.electrolyte import Electrolyte
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import fact, quantity
from areacalc.figure import Figure, given
from areacalc.logbook.records import Reading
from areacalc.plan.plan import Plan
from areacalc.plant.supply import standard
from areacalc.quantity import LARGEST, Dimension
from areacalc.run.alarms import Alarm, AlarmKind, area_alarm, overrun
from areacalc.sources import Constant, Kind, Source

WIDENED = 1.5
"""Chosen: the cases are taken for this much wider than they are, so that the ends of what is unknown are in reach."""


@dataclass(frozen=True, slots=True)
class Belief:
    """What is still unknown of a run: a normal distribution over the plan's likely cases, narrowed by each reading.

    weights (n,) is its mean, covariance (n, n). The likely cases say how every volt and degree of a run hang together:
    a reading that was higher than expected makes those to come as much higher as the cases have it, by the linear
    estimate of least variance (the Kalman filter's update).
    """

    weights: Floats
    covariance: Floats

    @classmethod
    def before(cls, cases: int) -> Belief:
        return cls(np.zeros(cases), np.eye(cases))

    def expected(self, row: Floats) -> tuple[float, float]:
        """How far something stands from its mean over the cases, and its variance; row is what `_row` made."""
        return float(row @ self.weights), float(row @ self.covariance @ row)

    def told(self, row: Floats, value: float, tolerance: float) -> Belief:
        """What is known once something was read to stand so far from its mean, with a standard uncertainty."""
        along = self.covariance @ row
        gain = along / (float(row @ along) + tolerance**2)
        off = value - float(row @ self.weights)
        return Belief(self.weights + gain * off, self.covariance - np.outer(gain, along))


WANDER = Constant(0.1, "V", Source(Kind.FROM_MEMORY, "chosen: bubbles and a moving bath let the volts wander by it"))
SURE = 4.0
"""Chosen: an alarm wants a reading this many standard uncertainties off; of normal ones 1 in 16 000 is."""
_WARMER = 0.2  # chosen: room, pump and chiller change the heat that the bath takes up by a fifth at most
JUDGED_FROM = 0.5
"""Chosen: of the full current. Lower in the ramp the law of volts is not known: its curves begin at 1 A/dm2, and the
barrier oxide takes about a volt for each nm of it (Eguchi 1969) whatever the current."""
_NO_CURRENT, _OFF = 0.05, 3.0
_AHEAD = 0.5  # of the full current, above the ramp: chosen, well past what a hand at the knob is off
_PASSES, _NEAR_K = 4, 0.002  # a warmer bath takes fewer volts, so the bath as it began is found in a few passes


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """A reading with the volts [V] and the bath [C] that were expected, the area implied [mm2], and alarms.

    None where there was nothing to judge by. area is what reading and plan alone imply, with all that is unknown; None
    beside volts that rack and coating would take whole.
    is_low: the current is too low to tell of the area, as after it was turned down, or where none flows.
    """

    reading: Reading
    volts: Estimate | None
    bath: Estimate | None
    area: Estimate | None
    alarms: tuple[Alarm, ...]
    is_low: bool = False


@dataclass(frozen=True, slots=True)
class Followed:
    """The run as its ammeter told it, its readings judged, and what is believed after them.

    has_volts: whether volts were read that were not wrong. Before, the plan's bounds are those of the volts.
    """

    course: Course
    judged: tuple[JudgedReading, ...]
    belief: Belief
    has_volts: bool

    @property
    def has_no_current(self) -> bool:
        """Whether no current flows, as the ammeter was read last."""
        last = [one for one in self.judged if one.reading.current_a is not None][-1:]
        return any(alarm.kind is AlarmKind.NO_CURRENT for one in last for alarm in one.alarms)

    def expected(self, rows: Floats, tolerance: float, most: float = np.inf) -> Estimate:
        """A value of the run, such as its volts (n,), three standard uncertainties either way, never over `most`."""
        cases = self.course.cases
        mean, variance = self.belief.expected(_row(cases, rows))
        return _within(float(cases.likely(rows).mean()) + mean, 3.0 * float(np.sqrt(variance + tolerance**2)), most)


def followed(plan: Plan, readings: Sequence[Reading], until_s: float = 0.0) -> Followed:
    """The readings of a run, in the order of their times, judged against its plan and against each other."""
    course = replayed(plan, readings, until_s)
    done = Followed(course, (), Belief.before(len(course.cases.likely(course.current_a[0]))), False)
    for reading in readings:
        done = _judge(plan, done, reading)
    return done


def judged_alone(plan: Plan, reading: Reading, least: float = 0.0) -> JudgedReading:
    """A reading held against the plan; `least` is the least volts [V] and amperes [A] that are taken for one.

    Raises BadInput for a reading that no run gives, OutOfRange for a bath outside -5 to 40 C.
    """
    _check(plan, reading, least)
    found = followed(plan, [reading]).judged[0]
    if found.volts is not None and found.area is None:
        raise _too_few(reading)
    return found


def _too_few(reading: Reading) -> BadInput:
    return BadInput("meters", f"{reading.volts_v:g} V are less than rack and coating take", "read the volts again")


def replayed(plan: Plan, readings: Sequence[Reading], until_s: float) -> Course:
    """The plan's course with the currents read, in a bath that the first temperature read lies on."""
    course, start_c = plan.run.course, plan.run.course.cases.bath.bath_c
    made = replay(course, _flowed(plan, readings, start_c), until_s)
    warm = next((r for r in readings if r.temperature_c is not None), None)
    if warm is None or warm.temperature_c is None:
        return made
    for _ in range(_PASSES):
        off_k = warm.temperature_c - float(made.at(made.bath_c, warm.at_s)[0])
        if abs(off_k) < _NEAR_K:
            break
        start_c += off_k
        made = replay(course, _flowed(plan, readings, start_c), until_s)
    return made


def _flowed(plan: Plan, readings: Sequence[Reading], start_c: float) -> Flowed:
    """The currents read, and what is unknown of how the bath began [C] and what warms it."""
    cases, meters = plan.run.course.cases, plan.load.meters
    read = [(r.at_s, r.current_a) for r in readings if r.current_a is not None]
    count = len(cases.area_dm2)
    likely = np.arange(1.0, count - cases.corners + 1.0)
    starts, warmer = np.full(count, start_c), np.zeros(count)
    starts[cases.corners :] += meters.temperature_k * _spread(likely, 0.7548776662466927)
    warmer[cases.corners :] = _WARMER * _spread(likely, 0.5698402909980532)
    times, amps = (np.array([row[i] for row in read], dtype=float) for i in (0, 1))
    return Flowed(times, amps, starts, warmer)


def _spread(numbers: Floats, step: float) -> Floats:
    """Numbers spread evenly from -1 to 1: multiples of a power of the root of x^3 = x + 1, less their whole part."""
    spread: Floats = 2.0 * (numbers * step % 1.0) - 1.0
    return spread


def _judge(plan: Plan, done: Followed, reading: Reading) -> Followed:
    """The run with one more reading judged."""
    alarms, bath, volts, area = [], None, None, None
    course = done.course
    if reading.temperature_c is not None:
        bath, found, belief = _bath(plan, course, done.belief, reading)
        done, alarms = replace(done, belief=belief), found
    if reading.current_a is not None and (off := _current(plan, reading, reading.current_a)) is not None:
        alarms.append(off)
    least_a = JUDGED_FROM * course.setting.full_a if reading.at_s < course.setting.ramp_s else 0.0
    is_low = reading.current_a is not None and (
        reading.current_a < least_a or any(alarm.kind is AlarmKind.NO_CURRENT for alarm in alarms))  # fmt: skip
    if reading.volts_v and reading.current_a and not is_low:
        volts, area, alarm, done = _volts(plan, done, reading, reading.volts_v)
        alarms += [] if alarm is None else [alarm]
    return replace(done, judged=(*done.judged, JudgedReading(reading, volts, bath, area, tuple(alarms), is_low)))


def _volts(
    plan: Plan, done: Followed, reading: Reading, read_v: float
) -> tuple[Estimate, Estimate | None, Alarm | None, Followed]:
    """The volts expected, the area implied, and the alarm: by the plan's bounds, then by the readings before.

    Volts inside those expected never raise it.
    """
    course, belief = done.course, done.belief
    cases, meters = course.cases, plan.load.meters
    wants_v, e_fold_v = course.at(course.wants_v, reading.at_s), float(cases.e_fold_v[0])
    noise = float(np.hypot(np.hypot(standard(meters.volts_v), standard(WANDER.value)),
                           e_fold_v * standard(meters.amps_share)))  # fmt: skip
    row, mean = _row(cases, wants_v), float(cases.likely(wants_v).mean())
    implied, planned = implied_area(plan, course, reading, read_v), plan.throw.effective.estimate
    if implied is None:
        return cases.bounds(course.at(course.supply_v, reading.at_s)), None, None, done
    if done.has_volts:
        shift, variance = belief.expected(row)
        most_v, spread = course.setting.limit_v, float(np.sqrt(variance + noise**2))
        off, whole = read_v - (mean + shift), planned.value
        expected = _within(mean + shift, 3.0 * spread, most_v)
        ends = [whole * float(np.exp(-(off + sign * SURE * spread) / e_fold_v)) for sign in (1.0, 0.0, -1.0)]
        alarm = area_alarm(plan, Estimate(ends[1], ends[0], ends[2]), Estimate.exact(whole))
        if alarm is not None:
            volts = {"read": quantity(read_v, "V"), "by_readings": quantity(expected, "V")}
            alarm = replace(alarm, fact=fact(alarm.kind, **dict(alarm.fact.values), **volts))
    else:
        expected = cases.bounds(course.at(course.supply_v, reading.at_s))
        alarm = area_alarm(plan, implied, planned)
    if alarm is None:
        done = replace(done, belief=belief.told(row, read_v - mean, noise), has_volts=True)
    return expected, implied, alarm, done


def implied_area(plan: Plan, course: Course, reading: Reading, read_v: float) -> Estimate | None:
    """The area [mm2] that volts, amperes and bath imply, over all corners of the plan and all that meters may be off.

    None where rack and film would take all the volts.
    """
    cases, meters = course.cases, plan.load.meters
    current_a, bath_c = course.at(course.current_a, reading.at_s), course.at(course.bath_c, reading.at_s)
    film_v = cases.rise_v_per_um * course.at(course.film_um, reading.at_s)
    if (read_v - current_a * course.setting.series_ohm - film_v)[: cases.corners].min() <= 0.0:
        return None
    per_k = np.abs(cases.offset_v(bath_c + 0.5, 0.0 * bath_c, 0.0 * bath_c) - cases.offset_v(
        bath_c - 0.5, 0.0 * bath_c, 0.0 * bath_c))  # fmt: skip
    off_v = meters.volts_v + WANDER.value + cases.e_fold_v * meters.amps_share + per_k * meters.temperature_k
    wants_v = course.at(course.wants_v, reading.at_s)
    area_mm2 = [1e4 * cases.area_dm2 * np.exp((wants_v - read_v + sign * off_v) / cases.e_fold_v)
                for sign in (-1.0, 0.0, 1.0)]  # fmt: skip
    low, value, high = (area[: cases.corners] for area in area_mm2)
    return Estimate(float(value[0]), float(low.min()), float(high.max()), ("the law of volts", "the meters"))


def _bath(plan: Plan, course: Course, belief: Belief, reading: Reading) -> tuple[Estimate, list[Alarm], Belief]:
    """The bath expected, what is wrong with its warmth, and what is believed after it was read."""
    assert reading.temperature_c is not None
    meters, today, cases = plan.load.meters, plan.load.bath, course.cases
    bath_c = course.at(course.bath_c, reading.at_s)
    row, mean, noise = _row(cases, bath_c), float(cases.likely(bath_c).mean()), standard(meters.temperature_k)
    shift, variance = belief.expected(row)
    off, spread = reading.temperature_c - mean - shift, float(np.sqrt(variance + noise**2))
    after = belief.told(row, reading.temperature_c - mean, noise)
    now_c, limit_c = mean + after.expected(row)[0], today.warmest_c
    read, most = quantity(reading.temperature_c, "C"), quantity(limit_c, "C")
    expected = _within(mean + shift, 3.0 * spread)
    if reading.temperature_c - meters.temperature_k > limit_c and (now_c > limit_c or off > SURE * spread):
        return expected, [Alarm(fact(AlarmKind.BATH_TOO_WARM, read=read, limit=most))], after
    if off > SURE * spread:
        return expected, [Alarm(fact(AlarmKind.WARMS_FASTER, read=read, expected=quantity(expected, "C")))], belief
    return expected, [], after if abs(off) <= SURE * spread else belief


def _current(plan: Plan, reading: Reading, read_a: float) -> Alarm | None:
    """What is wrong with the current; past the ramp the plan's course tells what the power supply gives."""
    course, share = plan.run.course, plan.load.meters.amps_share
    planned = course.cases.bounds(course.at(course.current_a, reading.at_s))
    values = {"read": quantity(read_a, "A"), "planned": quantity(planned, "A")}
    if reading.at_s < course.setting.ramp_s:
        too_fast = read_a > planned.high + _AHEAD * course.setting.full_a
        return Alarm(fact(AlarmKind.RAISED_TOO_FAST, **values)) if too_fast else None
    if read_a < _NO_CURRENT * planned.low:
        return Alarm(fact(AlarmKind.NO_CURRENT, **values))
    if not planned.low * (1.0 - _OFF * share) <= read_a <= planned.high * (1.0 + _OFF * share):
        return Alarm(fact(AlarmKind.CURRENT_OFF, **values))
    return None


def _check(plan: Plan, reading: Reading, least: float) -> None:
    """Refuse a reading that no run gives, or less than `least` of either [V, A]. Raises BadInput, OutOfRange."""
    for what, value, unit, kind in (
        ("volts", reading.volts_v, "V", Dimension.VOLTAGE), ("amperes", reading.current_a, "A", Dimension.CURRENT),
    ):  # fmt: skip
        if value is not None and not least <= value <= LARGEST[kind][0]:
            raise BadInput(
                what,
                f"{value:g} {unit} cannot be the {what} of a run",
                "read volts and amperes while the current flows",
            )
    if not 0.0 <= reading.at_s <= LARGEST[Dimension.TIME][0]:
        raise BadInput("meters", f"{reading.at_s:g} s into a run cannot be", "give how long it has run")
    if reading.temperature_c is not None:
        Electrolyte(plan.load.bath.acid_g_per_l, reading.temperature_c)


def _row(cases: Cases, values: Floats) -> Floats:
    """Values (n,) of the likely cases as differences from their mean, whose squares add up to the variance."""
    likely = cases.likely(values)
    row: Floats = WIDENED * (likely - likely.mean()) / np.sqrt(max(len(likely) - 1, 1))
    return row


def _within(value: float, off: float, most: float = np.inf) -> Estimate:
    return Estimate(min(value, most), min(value - off, most), min(value + off, most))


_AREA = Source(Kind.DERIVED, "current over the density that the volts imply; coating so far and rack take their share")
_FAR = 0.5
_NEAR, _LOOSELY = 1.1, 1.5  # chosen, times the planned area: what usual meters make of it; the volts of another bath
LEAST_READ = 1e-6
"""The least volts and amperes that are taken for a reading: a millionth, which no meter on a power supply shows."""


@dataclass(frozen=True, slots=True)
class Checked:
    """The area a reading implies [mm2], the planned one, and all alarms, the one of the area first.

    proves_little: the law of volts is known too loosely for the reading to tell much.
    """

    implied: Figure
    planned: Figure
    alarms: tuple[Alarm, ...]
    proves_little: bool

    @property
    def share(self) -> float:
        """The likeliest area, of the planned one."""
        return self.implied.estimate.value / self.planned.estimate.value

    @property
    def is_near(self) -> bool:
        """Whether the likeliest area lies in the bounds of the planned one, or as near as the readings can tell."""
        planned, found = self.planned.estimate, self.implied.estimate.value
        times = _LOOSELY if self.proves_little else _NEAR
        return planned.low / times <= found <= planned.high * times

    @property
    def agrees(self) -> bool:
        """Whether nothing that was read speaks against the plan."""
        return self.is_near and not self.alarms


def checked(plan: Plan, volts_v: float, current_a: float, temperature_c: float | None, full_s: float) -> Checked:
    """Compare a reading with the plan's effective area, which is what the meters see, by the rule of a live run.

    full_s: how long the full current has flowed, once it was brought up. temperature_c: the bath now; None: as planned.
    Raises OutOfRange for a bath outside -5 to 40 C, BadInput for a reading that no run gives.
    """
    at_s = plan.run.course.setting.ramp_s + full_s
    reading = Reading(run=0, at_s=at_s, volts_v=volts_v, current_a=current_a, temperature_c=temperature_c)
    found = judged_alone(plan, reading, LEAST_READ)
    course = replayed(plan, [reading], at_s)
    film = course.cases.bounds(course.at(course.film_um, at_s))
    area = found.area or implied_area(plan, course, reading, volts_v)
    if area is None:
        raise _too_few(reading)
    read = (given("volts read", volts_v, "V"), given("amperes read", current_a, "A"),
            given("minutes so far", at_s / 60.0, "min"))  # fmt: skip
    formula = "amperes / exp((volts - rack - rise x coating - law at 1 A/dm2) / V0)"
    implied = Figure("area the meters imply", area, "mm2", formula, _AREA, (*read, *plan.run.inputs))
    over = overrun(plan, film, plan.run.set_s if at_s > plan.run.set_s else None)
    alarms = tuple(sorted(found.alarms, key=lambda alarm: not alarm.is_of_area))
    alarms = alarms if over is None else (*alarms, over)
    made = Checked(implied, plan.throw.effective, alarms, area.width > _FAR * area.value)
    if made.is_near:
        return made
    return replace(made, alarms=tuple(each for each in alarms if each.kind is not AlarmKind.CURRENT_OFF))  # see _judge
