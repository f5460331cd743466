"""A run at the tank as a document: what a person at the tank sees, for the terminal and the page alike."""

from typing import Literal, TypedDict

from areacalc.report.documents import Interval, interval
from areacalc.report.words.at_the_tank import alarm_words
from areacalc.report.words.cautions import caution_text
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell
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

    volts_v is None low in the ramp, where they are not known. moved: why end_s is not the plan's; else empty.
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
    end_s: float
    planned_end_s: float
    planned_a: float
    moved: str
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
    follow, due, steps = view.follow, view.due, steps_at_the_tank(view.plan)
    now_s, volts = view.now_s, follow.volts
    expected = {one.reading.at_s: one.volts for one in follow.judged}
    step = steps[view.step] if view.step < len(steps) else None
    return {
        "schema": "areacalc/run/1", "run": view.run.number, "load": view.run.load, "when": view.run.when,
        "ended": view.run.ended is not None, "changed": view.changed, "in_acid": view.in_acid, "now_s": now_s,
        "do": _do(view, inch), "due_s": due.until_s, "overdue": _overdue(view), "then": _then(view, inch),
        "end_s": follow.end.value, "planned_end_s": follow.planned_end_s, "planned_a": view.run.current_a,
        "moved": tell(follow.moved, inch) if follow.moved is not None else "", "current_a": interval(follow.current),
        "volts_v": interval(volts) if volts is not None else None, "bath_c": interval(follow.bath),
        "charge_ah": interval(follow.charge), "film_um": interval(follow.film), "wanted_um": view.plan.run.film_um,
        "alarms": [alarm_words(alarm, inch) for alarm in follow.alarms] if view.in_acid else [],
        "readings": [
            {"at_s": r.at_s, "volts_v": r.volts_v, "current_a": r.current_a, "temperature_c": r.temperature_c,
             "expected_v": interval(e) if (e := expected.get(r.at_s)) is not None else None, "remark": r.remark}
            for r in view.readings
        ],
        "steps": _steps(view, inch),
        "cautions": [caution_text(each, inch) for each in step.cautions] if step is not None else [],
    }  # fmt: skip


def _overdue(view: View) -> bool:
    if view.due.kind is Do.OFF:
        return True
    return view.due.kind is Do.STEP and view.due.until_s is not None and view.now_s >= view.due.until_s


def _do(view: View, inch: bool) -> str:
    steps = steps_at_the_tank(view.plan)
    if view.due.kind is not Do.STEP:
        return tell(view.due.fact, inch)
    words = step_words(steps[view.step], inch)
    if not _overdue(view):
        return words.name.capitalize()
    if view.step + 1 >= len(steps):
        return f"{words.name.capitalize()}: time is up"
    return f"{words.name.capitalize()}: time is up; next: {step_words(steps[view.step + 1], inch).name}"


def _then(view: View, inch: bool) -> str:
    if view.in_acid:
        later = next((due for due in view.follow.dues if due.from_s > view.now_s), None)
        if later is not None:
            return tell(later.fact, inch)
    steps = steps_at_the_tank(view.plan)
    return step_words(steps[view.step + 1], inch).name if view.step + 1 < len(steps) else ""


def _steps(view: View, inch: bool) -> list[TankStepDocument]:
    out: list[TankStepDocument] = []
    for i, step in enumerate(steps_at_the_tank(view.plan)):
        words = step_words(step, inch)
        begun_s = view.begun[i].at_s if i < len(view.begun) else None
        minutes = step.minutes
        due_s = None if begun_s is None or minutes is None else begun_s + 60.0 * minutes.value
        if i == 0:
            due_s = view.follow.end.value
        out.append({"name": words.name, "does": words.does, "look_for": words.look_for, "begun_s": begun_s,
                    "due_s": due_s})  # fmt: skip
    return out
