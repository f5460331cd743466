"""A run at the tank as the logbook holds it: everything is written down at once, and read back from there."""

import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

from areacalc.errors import BadInput, CannotRun
from areacalc.logbook.checks import check
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Begun, Reading, Run, seconds_of
from areacalc.plan.entry import run_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import Plan
from areacalc.run.follow_up import Due, FollowUp, due_in_step, follow_up, step_now, steps_at_the_tank
from areacalc.run.judged import judged_alone
from areacalc.run.typed import Typed, Word

_DONE = "done"
_TICK_S = 1e-3  # dates are kept to it
_HAND_S = 60.0  # chosen: a hand that is busy at the tank types that much later
_MUCH = 0.1  # chosen: of the time of a step
_FAR, _LATE = 2.0, 0.5  # chosen: a slip is twice or half; in the ramp a hand is half the full current behind at most
_JUMP_K = 5.0  # chosen: ice and heat take a bath no further from one reading to the next
_SHORT_S = 30.0  # chosen: a rinse that is that much shorter is not asked about


@dataclass(frozen=True, slots=True)
class View:
    """A run at one moment: due is what to do now, follow the run in the acid until it was switched off.

    step is the number of the step that is on, among those at the tank. changed: a part file is another now.
    """

    plan: Plan
    run: Run
    now_s: float
    readings: tuple[Reading, ...]
    begun: tuple[Begun, ...]
    follow: FollowUp
    due: Due
    step: int
    changed: bool

    @property
    def in_acid(self) -> bool:
        """Whether the current still flows."""
        return self.step == 0

    @property
    def early_s(self) -> float | None:
        """How long before its time the current went off [s], in the step after it; None where it was not early."""
        left_s = self.follow.end.value - self.follow.now_s
        return left_s if self.step == 1 and left_s > _MUCH * self.follow.end.value else None


def begin(book: Logbook, load: LoadBook, plan: Plan, when: str | None = None) -> Run:
    """Write down that the current was switched on, now or at a time (ISO 8601). Raises CannotRun."""
    if not plan.can_run:
        raise CannotRun(plan.load.source, "the plan cannot be run as it stands", "areacalc plan tells why")
    begun = when or datetime.now().astimezone().isoformat(timespec="milliseconds")
    run, _ = book.add_run(run_of(plan, begun, "", load.data, key=uuid.uuid4().hex, **load.written()))
    book.begin(Begun(run=run.number, at_s=0.0, step=steps_at_the_tank(plan)[0].kind.value))
    return run


def elapsed_s(run: Run, factor: float = 1.0) -> float:
    """How long ago the current was switched on [s], on a clock so many times as fast."""
    return max(datetime.now().timestamp() - seconds_of(run.when), 0.0) * factor


def move_clock(book: Logbook, run: Run, at_s: float, factor: float) -> Run:
    """The run of a rehearsal, begun earlier where a time [s into it] is still to come, so that it is now."""
    ahead_s = (at_s - elapsed_s(run, factor)) / factor
    if ahead_s <= 0.0:
        return run
    earlier = datetime.fromisoformat(run.when) - timedelta(seconds=ahead_s + _TICK_S)
    book.correct("run", run.number, when=earlier.isoformat(timespec="milliseconds"))
    return book.run(run.number)


def view(book: Logbook, plan: Plan, run: Run, now_s: float) -> View:
    """The run as it stands in the logbook, at a time [s]."""
    readings, begun = tuple(book.readings(run.number)), tuple(book.begun(run.number))
    off_s = begun[1].at_s if len(begun) > 1 else now_s
    measured = [reading for reading in readings if reading.at_s <= off_s and is_measured(reading)]
    follow, step = follow_up(plan, measured, off_s), step_now(plan, begun)
    due = follow.now if step == 0 else due_in_step(plan, begun)
    planned = run_of(plan, run.when)
    changed = any(abs(getattr(planned, name) - getattr(run, name)) > 1e-3 * getattr(run, name)
                  for name in ("area_mm2", "current_a", "run_s"))  # fmt: skip
    return View(plan, run, now_s, readings, begun, follow, due, step, changed)


class Doubt(Enum):
    """What is asked about before it is taken."""

    EARLY = "a step is over long before its time"
    LATE = "the current went off long after its time"
    METER = "a meter shows what is far from expected"


class SayAgain(BadInput):
    """What is asked about, and taken when it is said once more; about: the word, or the meters asked about."""

    def __init__(self, doubt: Doubt, about: Typed, what: str, remedy: str) -> None:
        super().__init__("the line", what, remedy)
        self.doubt, self.about = doubt, about
        self.args = (doubt, about, what, remedy)


def take(
    book: Logbook, plan: Plan, run: Run, line: Typed, now_s: float, is_sure: bool = False, factor: float = 1.0
) -> Reading | Begun | None:  # fmt: skip
    """Write down what was typed: a reading, a remark, or that the next step is begun; what `undo` or `on` took back.

    Raises BadInput.

    Raises SayAgain, unless is_sure, for `next` or `end` while more than a tenth of a step is left, and once the current
    has flowed a tenth longer than it should, and a minute on a clock so many times as fast (factor);
    for a meter that shows what is far from expected. That the current is off is taken at once: `on` takes it back.
    """
    at_s, run = now_s if line.at_s is None else line.at_s, book.run(run.number)
    if line.at_date is not None:
        at_s = _into(run, line.at_date) * factor
    if run.ended is not None:
        raise BadInput("the line", f"run {run.number} is over", "areacalc logbook adds readings and what came out")
    _refuse_back(book, run, line, now_s)
    if at_s > now_s:
        raise BadInput("the line", f"{at_s / 60.0:.3g} min into the run is still to come", "leave the time out")
    if line.word in (Word.NEXT, Word.END) and not is_sure:
        _doubt(view(book, plan, run, at_s), at_s, line.word, factor)
    if line.word is Word.NEXT:
        _next(book, plan, run, at_s)
    elif line.word is Word.UNDO:
        return book.undo(run.number, line.at_s)
    elif line.word is Word.ON:
        return book.undo_off(run.number)
    elif line.word is Word.END:
        end(book, run, at_s)
    elif line.word is None:
        _read(book, plan, run, line, at_s, is_sure)
    return None


def _refuse_back(book: Logbook, run: Run, line: Typed, now_s: float) -> None:
    """Refuse a line of now where the logbook has a later one: the computer's clock was set back. Raises BadInput."""
    told = [*(each.at_s for each in book.readings(run.number)), *(each.at_s for each in book.begun(run.number))]
    is_of_now = line.at_s is None and line.at_date is None and line.word not in (Word.UNDO, Word.ON)
    if is_of_now and now_s < max(told) - 1.0:
        last = f"the line before is of {max(told) / 60.0:.3g} min"
        raise BadInput("the line", f"the clock was set back: {now_s / 60.0:.3g} min by it, but {last}",
                       "set the clock right")  # fmt: skip


def _into(run: Run, date: str) -> float:
    """A date and time as seconds into a run. Raises BadInput for an impossible one, or one before the run."""
    try:
        at_s = seconds_of(date) - seconds_of(run.when)
    except ValueError:
        raise BadInput("the line", f"'{date}' is not a date and time", "leave it out") from None
    if at_s < 0.0:
        raise BadInput("the line", f"{date} is before the run began", "leave the date out")
    return at_s


def _doubt(seen: View, off_s: float, word: Word, factor: float) -> None:
    """Ask about a step that is said to be over far from its time. Raises SayAgain."""
    due_s, begun_s = seen.follow.end.value if seen.in_acid else seen.due.until_s, seen.begun[-1].at_s
    if due_s is None:
        return
    much_s, about = _MUCH * (due_s - begun_s), Typed(word, off_s)
    is_off = seen.in_acid and word is Word.NEXT
    if not is_off and due_s - off_s > (much_s if seen.in_acid else max(much_s, _SHORT_S)):
        raise SayAgain(Doubt.EARLY, about, f"{(due_s - off_s) / 60.0:.3g} min still to go",
                         f"type {word} again to end {'the run' if word is Word.END else 'this step'}")  # fmt: skip
    if seen.in_acid and off_s - due_s > max(much_s, _HAND_S * factor):
        raise SayAgain(Doubt.LATE, about, f"the current was due off {(off_s - due_s) / 60.0:.3g} min ago",
                         f"type {word} again if the current flowed until now; else tell when it went off, such as "
                         f"{round(due_s) // 60}:{round(due_s) % 60:02d} {word}")  # fmt: skip


def _doubt_reading(book: Logbook, plan: Plan, run: Run, line: Typed, at_s: float) -> None:
    """Ask about a meter that shows what is far from the plan and from what the readings before let expect.

    Raises SayAgain.
    """
    course, due = plan.run.course, view(book, plan, run, at_s).follow
    late_a = _LATE * course.setting.full_a if at_s < course.setting.ramp_s else 0.0
    far: dict[str, float] = {}
    said = []
    for read, now, rows, late, unit, meter in (
        (line.current_a, due.current, course.current_a, late_a, "A", "ammeter"),
        (line.volts_v, due.volts, course.supply_v, 0.0, "V", "voltmeter"),
    ):
        if read is not None and now is not None:
            planned = course.cases.bounds(course.at(rows, at_s))
            low, high = min(now.low, planned.low) - late, max(now.high, planned.high) + 2.0 * late
            if not low / _FAR <= read <= high * _FAR:
                far[unit] = read
                said.append((f"{read:.3g} {unit} is far from the {now.value:.3g} {unit} expected", meter))
    read_c, bath = line.temperature_c, due.bath
    warm = [each.temperature_c for each in book.readings(run.number) if each.temperature_c is not None]
    last_c = [plan.load.bath.temperature_c, *warm][-1]
    if read_c is not None and not min(last_c, bath.low) - _JUMP_K <= read_c <= max(last_c, bath.high) + _JUMP_K:
        far["C"] = read_c
        said.append((f"{read_c:.3g} C is far from the {bath.value:.3g} C expected of the bath", "thermometer"))
    if said:
        about = Typed(volts_v=far.get("V"), current_a=far.get("A"), temperature_c=far.get("C"))
        raise SayAgain(Doubt.METER, about, said[0][0], f"type it again if the {said[0][1]} shows that")


def end(book: Logbook, run: Run, at_s: float) -> None:
    """Write down that the run is over, so many seconds after its start, with its first and last volts past the ramp."""
    readings = [each for each in book.readings(run.number) if each.volts_v and each.at_s >= (run.ramp_s or 0.0)]
    ended = datetime.fromisoformat(run.when) + timedelta(seconds=round(at_s, 3))
    warm = [reading.temperature_c for reading in book.readings(run.number) if reading.temperature_c is not None]
    volts = {"start_v": readings[0].volts_v, "end_v": readings[-1].volts_v} if readings else {}
    bath = {"end_temperature_c": warm[-1]} if warm else {}
    book.correct("run", run.number, ended=ended.isoformat(), **volts, **bath)


def _next(book: Logbook, plan: Plan, run: Run, at_s: float) -> None:
    steps, begun = steps_at_the_tank(plan), book.begun(run.number)
    if at_s < begun[-1].at_s:
        raise BadInput("the line", "that is before the step that is on was begun", "leave the time out")
    step = steps[len(begun)].kind.value if len(begun) < len(steps) else _DONE
    book.begin(Begun(run=run.number, at_s=at_s, step=str(step)))
    if step == _DONE:
        end(book, run, at_s)


def _read(book: Logbook, plan: Plan, run: Run, line: Typed, at_s: float, is_sure: bool) -> None:
    reading = Reading(run=run.number, at_s=round(at_s, 2), volts_v=line.volts_v, current_a=line.current_a,
                      temperature_c=line.temperature_c, remark=line.remark)  # fmt: skip
    if is_measured(reading):
        judged_alone(plan, reading)
        check(reading, run)
        if not is_sure:
            _doubt_reading(book, plan, run, line, at_s)
    book.add_reading(reading)


def is_measured(reading: Reading) -> bool:
    """Whether a reading holds what a meter showed, and not a remark alone."""
    return any(v is not None for v in (reading.volts_v, reading.current_a, reading.temperature_c))
