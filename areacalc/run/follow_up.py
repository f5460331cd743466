"""A run at one moment: what to do, what the meters should show, how far it is, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.course import Course
from areacalc.estimate import Estimate
from areacalc.load.load import EVEN_CHANCE
from areacalc.logbook.records import Reading
from areacalc.plan.plan import Plan
from areacalc.plan.time import AH_PER_C
from areacalc.plant.meters import standard
from areacalc.run.alarms import Alarm
from areacalc.run.due import Due, at_the_supply
from areacalc.run.judged import JUDGED_FROM, WANDER, Followed, JudgedReading, followed
from areacalc.sources import Constant, Kind, Source

DRIFT = Constant(0.05, "", Source(Kind.FROM_MEMORY, "chosen: what a power supply gives may be off what it is set to"))
_VOUCHED_S = 120.0  # chosen: a reading vouches for the current that long before and after, in the ramp only before
_LONGEST = 10.0  # chosen: a run that takes ten times its plan is told as that
_MOMENTS = 500
_MOVED_S = 15.0  # chosen: an end nearer to the plan's than this is the plan's


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The run at now_s. planned_end_s is the plan's end, end that of the readings [s]; is_moved: they differ.

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
    is_moved: bool
    judged: tuple[JudgedReading, ...]

    @property
    def now(self) -> Due:
        return next((due for due in reversed(self.dues) if due.from_s <= self.now_s), self.dues[0])

    @property
    def alarms(self) -> tuple[Alarm, ...]:
        """What the latest reading of each meter says is wrong."""
        latest = [one for one in self.judged if one.volts is not None][-1:] + list(self.judged[-1:])
        return tuple({alarm.kind: alarm for one in latest for alarm in one.alarms}.values())


def follow_up(plan: Plan, readings: Sequence[Reading], now_s: float) -> FollowUp:
    """The run so many seconds after the current was switched on, with the readings so far, the earliest first.

    Raises BadInput, OutOfRange for a reading that no run gives.
    """
    run, meters = plan.run, plan.load.meters
    done = followed(plan, readings, max(now_s, _longest_s(plan, readings)))
    course, cases = done.course, run.course.cases
    end, moved = _end(plan, course, readings)

    unread = _unread_share(course, readings, now_s)
    share = meters.amps_share * (1.0 - unread) + DRIFT.value * unread

    def so_far(rows: Floats) -> Estimate:
        e = cases.bounds(course.at(rows, now_s))
        return Estimate(e.value, e.low * (1.0 - share), e.high * (1.0 + share), e.because)

    return FollowUp(
        now_s, at_the_supply(plan, end.value), cases.bounds(course.at(course.current_a, now_s)),
        _volts(plan, done, now_s), _bath(plan, done, readings, now_s), so_far(AH_PER_C * course.charge_c),
        so_far(course.film_um), run.set_s, end, moved, done.judged,
    )  # fmt: skip


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


def _volts(plan: Plan, done: Followed, now_s: float) -> Estimate | None:
    """The volts that the power supply should show now: of the plan before a reading, then as the readings narrow it.

    None low in a ramp of the current.
    """
    course, meters, setting = done.course, plan.load.meters, done.course.setting
    low_a = JUDGED_FROM * setting.full_a if setting.held_v is None and now_s < setting.ramp_s else 0.0
    if course.at(course.current_a, now_s)[0] < low_a:
        return None
    rows = course.at(course.supply_v, now_s)
    if not done.has_volts:
        return course.cases.bounds(rows)
    noise = float(np.hypot(standard(meters.volts_v), standard(WANDER.value)))
    return done.expected(rows, noise)


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


def _end(plan: Plan, course: Course, readings: Sequence[Reading]) -> tuple[Estimate, bool]:
    """When as many of the likely cases have the film as the load asks for, and whether that is not as planned."""
    run, cases, share = plan.run, course.cases, plan.load.finish.certainty
    reached_s = course.when(cases.charge_c(run.film_um))
    bounds = cases.bounds(reached_s)
    end_s = float(np.quantile(cases.likely(reached_s), share)) if share > EVEN_CHANCE else bounds.value
    slack_s = max(_MOVED_S, plan.load.meters.amps_share * run.set_s)
    moved = abs(end_s - run.set_s) > slack_s and any(reading.current_a is not None for reading in readings)
    end_s = end_s if moved else run.set_s
    return Estimate(end_s, min(bounds.low, end_s), max(bounds.high, end_s), bounds.because), moved
