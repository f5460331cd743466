"""A run at the tank as a document: what a person at the tank sees, for the terminal and the page alike."""

from collections.abc import Sequence
from typing import Literal, TypedDict

from areacalc.load.load import EVEN_CHANCE
from areacalc.plan.steps import RunStep
from areacalc.report.documents import Interval, interval
from areacalc.report.figures import shown
from areacalc.report.words.at_the_tank import ORDERS, aimed_words, alarm_words, early_words
from areacalc.report.words.cautions import caution_text
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell, telling
from areacalc.run.alarms import Alarm, overrun
from areacalc.run.follow_up import Do, steps_at_the_tank
from areacalc.run.held import View


class ReadingDocument(TypedDict):
    """One reading, with the volts that were expected of it."""

    at_s: float
    volts_v: float | None
    current_a: float | None
    temperature_c: float | None
    expected_v: Interval | None
    remark: str


class TankStepDocument(TypedDict):
    """A step at the tank; begun_s and due_s are None where it is still to come, or takes as long as it takes."""

    name: str
    does: str
    look_for: str
    begun_s: float | None
    due_s: float | None


class RunDocument(TypedDict):
    """A run at one moment. Times are seconds since the current was switched on; due_s is when the next thing is due.

    volts_v is None low in the ramp, where they are not known; it and end_s are None while no current flows.
    moved: why end_s is not the plan's; aimed: why more is
    aimed at than wanted_um; early: that the current went off before its time; else empty. An alarm tells what to `do`,
    and nothing else is due then.
    """

    schema: Literal["areacalc/run/1"]
    run: int
    load: str
    when: str
    ended: bool
    changed: bool
    in_acid: bool
    now_s: float
    do: str
    due_s: float | None
    overdue: bool
    then: str
    end_s: float | None
    planned_end_s: float
    planned_a: float
    moved: str
    early: str
    aimed: str
    current_a: Interval
    volts_v: Interval | None
    bath_c: Interval
    charge_ah: Interval
    film_um: Interval
    wanted_um: float
    alarms: list[str]
    readings: list[ReadingDocument]
    steps: list[TankStepDocument]
    cautions: list[str]


def run_document(view: View, inch: bool = False) -> RunDocument:
    """A run at one moment."""
    follow, due, planned, early_s = view.follow, view.due, steps_at_the_tank(view.plan), view.early_s
    steps = [_step(view, i, each, inch) for i, each in enumerate(planned)]
    cautions = planned[view.step].cautions if view.step < len(planned) else ()
    now_s, volts = view.now_s, follow.volts
    expected = {one.reading.at_s: one.volts for one in follow.judged}
    return {
        "schema": "areacalc/run/1", "run": view.run.number, "load": view.run.load, "when": view.run.when,
        "ended": view.run.ended is not None, "changed": view.changed, "in_acid": view.in_acid, "now_s": now_s,
        "do": _do(view, steps, inch), "due_s": None if _alarm(view) else due.until_s, "overdue": _overdue(view),
        "then": _then(view, steps, inch),
        "end_s": None if _has_no_current(view) else follow.end.value, "planned_end_s": follow.planned_end_s,
        "planned_a": view.run.current_a,
        "moved": tell(follow.moved, inch) if follow.moved is not None and not _has_no_current(view) else "",
        "early": early_words(early_s, follow.now_s) if early_s is not None else "", "aimed": _aimed(view, inch),
        "current_a": interval(follow.current),
        "volts_v": interval(volts) if volts is not None else None, "bath_c": interval(follow.bath),
        "charge_ah": interval(follow.charge), "film_um": interval(follow.film), "wanted_um": view.plan.run.film_um,
        "alarms": [alarm_words(each, inch) for each in (*_overrun(view), *_alarms(view))],
        "readings": [
            {"at_s": r.at_s, "volts_v": r.volts_v, "current_a": r.current_a, "temperature_c": r.temperature_c,
             "expected_v": interval(e) if (e := expected.get(r.at_s)) is not None else None, "remark": r.remark}
            for r in view.readings
        ],
        "steps": steps,
        "cautions": [caution_text(each, inch) for each in cautions],
    }  # fmt: skip


def _overdue(view: View) -> bool:
    if view.due.kind is Do.OFF:
        return True
    return view.due.kind is Do.STEP and view.due.until_s is not None and view.now_s >= view.due.until_s


def _alarms(view: View) -> tuple[Alarm, ...]:
    """The alarms, while there is a current to act on that is not due off anyway."""
    return view.follow.alarms if view.in_acid and view.due.kind is not Do.OFF else ()


def _has_no_current(view: View) -> bool:
    return view.in_acid and view.follow.has_no_current


def _alarm(view: View) -> Alarm | None:
    return next(iter(_alarms(view)), None)


def _overrun(view: View) -> tuple[Alarm, ...]:
    """That the coating is thicker than the plan's bounds, in the acid and in the step after it."""
    since_s = view.follow.end.value if view.in_acid and view.due.kind is Do.OFF else None
    found = overrun(view.plan, view.follow.film, since_s) if view.step <= 1 else None
    return () if found is None else (found,)


def _aimed(view: View, inch: bool) -> str:
    """Why the run goes on past the coating asked; "" where it does not."""
    wanted_um, aimed_um = view.plan.run.film_um, view.run.film_um
    certainty = view.plan.load.finish.certainty
    if certainty <= EVEN_CHANCE or aimed_um <= wanted_um:
        return ""
    return aimed_words(shown(wanted_um, "um", inch), shown(aimed_um, "um", inch), certainty)


def _do(view: View, steps: Sequence[TankStepDocument], inch: bool) -> str:
    if (alarm := _alarm(view)) is not None:
        return telling(alarm.fact, inch).tell(ORDERS[alarm.kind])
    if view.due.kind is not Do.STEP:
        return tell(view.due.fact, inch)
    name = steps[view.step]["name"].capitalize()
    if not _overdue(view):
        return name
    return f"{name}: time is up" + (f"; next: {_next(view, steps)}" if _next(view, steps) else "")


def _next(view: View, steps: Sequence[TankStepDocument]) -> str:
    return steps[view.step + 1]["name"] if view.step + 1 < len(steps) else ""


def _then(view: View, steps: Sequence[TankStepDocument], inch: bool) -> str:
    if _alarm(view) is not None:
        return ""
    if view.in_acid:
        later = next((due for due in view.follow.dues if due.from_s > view.now_s), None)
        if later is not None:
            return tell(later.fact, inch)
    return _next(view, steps)


def _step(view: View, number: int, step: RunStep, inch: bool) -> TankStepDocument:
    words, minutes = step_words(step, inch), step.minutes
    begun_s = view.begun[number].at_s if number < len(view.begun) else None
    due_s = None if begun_s is None or minutes is None else begun_s + 60.0 * minutes.value
    return {"name": words.name, "does": words.does, "look_for": words.look_for, "begun_s": begun_s,
            "due_s": due_s if number else None if _has_no_current(view) else view.follow.end.value}  # fmt: skip
