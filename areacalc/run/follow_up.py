"""A run at one moment: what to do and when, what the meters should show, how far it is, and what is wrong."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.course import Course
from areacalc.bath.flowed import Currents, knots
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.load.load import EVEN_CHANCE
from areacalc.logbook.records import Begun, Reading
from areacalc.plan.course import AH_PER_C
from areacalc.plan.plan import Plan
from areacalc.plan.steps import RunStep, RunStepKind
from areacalc.plant.supply import standard
from areacalc.run.alarms import OF_BATH, STOPS, Alarm, AlarmKind
from areacalc.run.judged import JUDGED_FROM, WANDER, Followed, JudgedReading, followed, replayed
from areacalc.sources import Constant, Kind, Source

_PLACES = 2  # what the meters of a power supply show
_MARK_S = 60.0  # chosen: a hand at a knob is told each minute where it should be


class Do(Enum):
    RAISE = "raise the current, or the volts"
    HOLD = "hold"
    OFF = "switch off"
    STEP = "the step after"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Due:
    """What to do from one time of the run [s] until another; until_s is None for as long as it takes."""

    fact: Fact
    from_s: float
    until_s: float | None

    @property
    def kind(self) -> Enum:
        return self.fact.kind


def at_the_supply(plan: Plan, end_s: float, readings: Sequence[Reading] = ()) -> tuple[Due, ...]:
    """What to do while the current flows: the marks of the ramp, then hold, then off at its end [s].

    The ramp goes on from what was read in it last, straight to its end.
    """
    setting, supply = plan.run.course.setting, plan.load.supply
    full, unit, meter = setting.full_a, "A", "current_a"
    if setting.held_v is not None:
        full, unit, meter = setting.held_v, "V", "volts_v"
    ramp_s = min(setting.ramp_s, end_s) if supply is not None else 0.0
    read = [(each.at_s, value) for each in readings
            if (value := getattr(each, meter)) is not None and each.at_s < ramp_s]  # fmt: skip
    from_s, had = read[-1] if read else (0.0, 0.0)
    marks = max(round(ramp_s / _MARK_S), 1) if ramp_s > 0.0 else 0
    out = []
    for start, stop in ((ramp_s * i / marks, ramp_s * (i + 1) / marks) for i in range(marks)):
        to = had + (full - had) * max(stop - from_s, 0.0) / (setting.ramp_s - from_s)
        to = round(to, _PLACES) if full >= 1.0 else to
        out.append(Due(fact(Do.RAISE, to=quantity(to, unit), by=quantity(stop, "s")), start, stop))
    out.append(Due(fact(Do.HOLD, at=quantity(full, unit)), from_s if had >= full else ramp_s, end_s))
    out.append(Due(fact(Do.OFF), end_s, None))
    return tuple(out)


def steps_at_the_tank(plan: Plan) -> tuple[RunStep, ...]:
    """The steps from the anodising on, in their order."""
    kinds = [step.kind for step in plan.steps]
    first = next(i for i, kind in enumerate(kinds) if kind in (RunStepKind.ANODISE, RunStepKind.ANODISE_AT_VOLTS))
    return plan.steps[first:]


def step_now(plan: Plan, begun: Sequence[Begun]) -> int:
    """Which of the steps at the tank is on: as many as were begun, less one; all of them done: their number."""
    return min(len(begun) - 1, len(steps_at_the_tank(plan)))


def due_in_step(plan: Plan, begun: Sequence[Begun]) -> Due:
    """What is due in a step after the anodising: its time, counted from when it was begun."""
    steps, number = steps_at_the_tank(plan), step_now(plan, begun)
    if number >= len(steps):
        return Due(fact(Do.DONE), begun[-1].at_s, None)
    minutes = steps[number].minutes
    until_s = None if minutes is None else begun[-1].at_s + 60.0 * minutes.value
    return Due(fact(Do.STEP, step=steps[number].kind), begun[-1].at_s, until_s)


DRIFT = Constant(0.05, "", Source(Kind.FROM_MEMORY, "chosen: what a power supply gives may be off what it is set to"))
_VOUCHED_S = 120.0  # chosen: a reading vouches for the current that long before and after, in the ramp only before
_LONGEST = 10.0  # chosen: a run that takes ten times its plan is told as that
_MOMENTS, _OBEYED_S = 500, 1.0
_MOVED_S = 15.0  # chosen: an end nearer to the plan's than this is the plan's


class EndMoved(Enum):
    BY_CURRENT = "by the current read"


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The run at now_s. planned_end_s is the plan's end, end that of the readings [s]; moved: why they differ.

    current [A], volts at the power supply [V] and bath [C] are those expected now (volts None below JUDGED_FROM of the
    full current, where they are not known), charge [Ah] and film [um] those so
    far, warms how far the bath stands above its start [K], dues all that is done while the current flows.
    """

    now_s: float
    dues: tuple[Due, ...]
    current: Estimate
    volts: Estimate | None
    bath: Estimate
    charge: Estimate
    film: Estimate
    planned_end_s: float
    end: Estimate
    moved: Fact | None
    judged: tuple[JudgedReading, ...]

    @property
    def now(self) -> Due:
        return next((due for due in reversed(self.dues) if due.from_s <= self.now_s), self.dues[0])

    @property
    def has_no_current(self) -> bool:
        """Whether no current flows, as the ammeter was read last: nothing is known of volts and end until it flows."""
        return any(alarm.kind is AlarmKind.NO_CURRENT for alarm in self.alarms)

    @property
    def alarms(self) -> tuple[Alarm, ...]:
        """What the latest reading of each meter says is wrong, the gravest first.

        Nobody turns up a current whose contact is lost, or that burns; volts are low while one is raised too fast.
        """
        of_area = [one for one in self.judged if one.area is not None or one.is_low][-1:]
        found = {alarm.kind: alarm for one in of_area for alarm in one.alarms if alarm.is_of_area}
        for meter in ("current_a", "temperature_c"):
            last = [one for one in self.judged if getattr(one.reading, meter) is not None][-1:]
            found |= {alarm.kind: alarm for one in last for alarm in one.alarms
                      if (alarm.kind in OF_BATH) == (meter == "temperature_c")}  # fmt: skip
        if AlarmKind.RAISED_TOO_FAST in found:
            if self.now.kind is not Do.RAISE:  # the ramp is over
                found.pop(AlarmKind.RAISED_TOO_FAST)
            found = {kind: alarm for kind, alarm in found.items() if not alarm.is_of_area}
        elif AlarmKind.NO_CURRENT in found:
            found = {kind: alarm for kind, alarm in found.items() if not alarm.is_of_area}
        elif any(kind in STOPS for kind in found):
            found.pop(AlarmKind.CURRENT_OFF, None)
        return tuple(found[kind] for kind in AlarmKind if kind in found)


def follow_up(plan: Plan, readings: Sequence[Reading], now_s: float) -> FollowUp:
    """The run so many seconds after the current was switched on, with the readings so far, the earliest first."""
    run, meters = plan.run, plan.load.meters
    until_s = max(now_s, _longest_s(plan, readings))
    done = followed(plan, readings, until_s)
    down = _turned_down(plan, done)
    ahead = replayed(plan, [*readings, *down], until_s) if down else done.course
    course, cases = done.course, run.course.cases
    read = [(each.at_s, each.current_a) for each in readings if each.current_a is not None]
    end = _end(plan, ahead, bool(read))
    moved = _why(plan, read, end.value) if end.value != run.set_s else None

    unread = _unread_share(course, readings, now_s)
    share = meters.amps_share * (1.0 - unread) + DRIFT.value * unread
    doubt = _ramp_doubt(course, read, now_s)

    def so_far(rows: Floats) -> Estimate:
        e = cases.bounds(course.at(rows, now_s))
        low, high = 1.0 - share + min(doubt, 0.0), 1.0 + share + max(doubt, 0.0)
        return Estimate(e.value, e.low * max(low, 0.0), e.high * high, e.because)

    return FollowUp(
        now_s, at_the_supply(plan, end.value, [*readings, *down]), cases.bounds(ahead.at(ahead.current_a, now_s)),
        _volts(plan, done, now_s), _bath(plan, done, readings, now_s), so_far(AH_PER_C * course.charge_c),
        so_far(course.film_um), run.set_s, end, moved, done.judged,
    )  # fmt: skip


def _turned_down(plan: Plan, done: Followed) -> list[Reading]:
    """The planned current soon after one that was raised too fast and is ordered down, until it is read again."""
    read = [one for one in done.judged if one.reading.current_a is not None][-1:]
    if not any(alarm.kind is AlarmKind.RAISED_TOO_FAST for one in read for alarm in one.alarms):
        return []
    course, at_s = plan.run.course, read[0].reading.at_s + _OBEYED_S
    return [Reading(run=0, at_s=at_s, current_a=float(course.at(course.current_a, at_s)[0]))]


def _unread_share(course: Course, readings: Sequence[Reading], now_s: float) -> float:
    """The share of the charge so far that flowed while no ammeter was read."""
    read_s = np.array([r.at_s for r in readings if r.current_a is not None])
    if not len(read_s):
        return 1.0
    time_s = np.linspace(0.0, now_s, _MOMENTS)
    charge_c = np.interp(time_s, course.time_s, course.charge_c[:, 0])
    after_s = 0.5 * (time_s[1:] + time_s[:-1])[:, None] - read_s
    is_read = (after_s >= -_VOUCHED_S) & (after_s <= np.where(read_s < course.setting.ramp_s, 0.0, _VOUCHED_S))
    return float(np.diff(charge_c)[~is_read.any(axis=1)].sum() / max(charge_c[-1], 1e-300))


def _ramp_doubt(course: Course, read: Currents, now_s: float) -> float:
    """How much more charge there would be so far, as a share, had the current risen straight to the first one past the
    ramp from the last one read in it: nobody saw that it went by the plan.
    """
    ramp_s = course.setting.ramp_s
    before, after = ([each for each in read if (each[0] <= ramp_s) is within] for within in (True, False))
    if not (before and after):
        return 0.0
    (from_s, from_a), (to_s, to_a) = before[-1], after[0]
    counted, whole = (course.at(course.charge_c, at_s)[0] for at_s in (to_s, max(now_s, to_s)))
    counted -= course.at(course.charge_c, from_s)[0]
    return float((0.5 * (from_a + to_a) * (to_s - from_s) - counted) / max(whole, 1e-300))


def _volts(plan: Plan, done: Followed, now_s: float) -> Estimate | None:
    """The volts that the power supply should show now: of the plan before a reading, then as the readings narrow it.

    None low in a ramp of the current, and while no current flows.
    """
    course, meters, setting = done.course, plan.load.meters, done.course.setting
    low_a = JUDGED_FROM * setting.full_a if setting.held_v is None and now_s < setting.ramp_s else 0.0
    if done.has_no_current or course.at(course.current_a, now_s)[0] < low_a:
        return None
    rows = course.at(course.supply_v, now_s)
    if not done.has_volts:
        return course.cases.bounds(rows)
    noise = float(np.hypot(standard(meters.volts_v), standard(WANDER.value)))
    return done.expected(rows, noise, setting.limit_v)


def _bath(plan: Plan, done: Followed, readings: Sequence[Reading], now_s: float) -> Estimate:
    rows = done.course.at(done.course.bath_c, now_s)
    if not any(reading.temperature_c is not None for reading in readings):
        return done.course.cases.bounds(rows)
    return done.expected(rows, standard(plan.load.meters.temperature_k))


def _longest_s(plan: Plan, readings: Sequence[Reading]) -> float:
    """A time by which every case has its film, at the current that was read last."""
    planned, end_s = plan.run.course, float(plan.run.reached_s.max())
    read = next((r for r in reversed(readings) if r.current_a is not None), None)
    if read is None or read.current_a is None:
        return end_s + 1.0
    full_a = float(planned.at(planned.current_a, read.at_s)[0])
    share = read.current_a / full_a if full_a > 0.0 and read.at_s > planned.setting.ramp_s else 1.0
    return end_s * min(1.0 / max(share, 1.0 / _LONGEST) + 1.0, _LONGEST)


def _end(plan: Plan, course: Course, is_read: bool) -> Estimate:
    """When as many of the likely cases have the film as the load asks for; the plan's end where that is near."""
    run, cases, share = plan.run, course.cases, plan.load.finish.certainty
    reached_s = course.when(cases.charge_c(run.film_um))
    bounds = cases.bounds(reached_s)
    end_s = float(np.quantile(cases.likely(reached_s), share)) if share > EVEN_CHANCE else bounds.value
    slack_s = max(_MOVED_S, plan.load.meters.amps_share * run.set_s)
    end_s = run.set_s if not is_read or abs(end_s - run.set_s) <= slack_s else end_s
    return Estimate(end_s, min(bounds.low, end_s), max(bounds.high, end_s), bounds.because)


def _why(plan: Plan, read: Currents, end_s: float) -> Fact:
    """The reading without which the end would have moved the least: the most charge that one has taken off or added."""
    course, later = plan.run.course, 1.0 if end_s > plan.run.set_s else -1.0
    known, off_c = knots([at_s for at_s, _ in read], course.setting.ramp_s), [0.0] * len(read)
    between = [0.0, *(0.5 * (a[0] + b[0]) for a, b in pairwise(known)), max(end_s, known[-1][0])]
    for (_, number), (from_s, to_s) in zip(known, pairwise(between), strict=True):
        if number is not None:
            at_s, read_a = read[number]
            off_c[number] += later * (float(course.at(course.current_a, at_s)[0]) - read_a) * (to_s - from_s)
    at_s, read_a = read[off_c.index(max(off_c))]
    planned = course.cases.bounds(course.at(course.current_a, at_s))
    return fact(EndMoved.BY_CURRENT, read=quantity(read_a, "A"), at=quantity(at_s, "s"), planned=quantity(planned, "A"))
