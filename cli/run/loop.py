"""A run in the terminal: lines come in; a screen with a large clock, or the lines of a log, go out; a bell when due."""

import os
import queue
import shutil
import sys
import threading
import time

from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import quantity
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Begun, Reading, Run
from areacalc.plan.plan import Plan
from areacalc.report.documents import Interval
from areacalc.report.figures import shown, whole_quantity
from areacalc.report.lines import wrapped
from areacalc.report.run_document import RunDocument, run_document
from areacalc.report.words.at_the_tank import clock, into_run, over_words
from areacalc.run.held import SayAgain, elapsed_s, move_clock, take, view
from areacalc.run.typed import Typed, Word, typed

from .. import show as out

_ROWS = {
    "0": "███|█ █|█ █|█ █|███", "1": " █ |██ | █ | █ |███", "2": "███|  █|███|█  |███", "3": "███|  █| ██|  █|███",
    "4": "█ █|█ █|███|  █|  █", "5": "███|█  |███|  █|███", "6": "███|█  |███|█ █|███", "7": "███|  █| █ | █ | █ ",
    "8": "███|█ █|███|█ █|███", "9": "███|█ █|███|  █|███", ":": " |█| |█| ",
}  # fmt: skip
_BOLD, _RED, _YELLOW, _PLAIN = "\x1b[1m", "\x1b[1;97;41m", "\x1b[1;30;43m", "\x1b[0m"
_HELP = "volts amps bath + Enter;  next: step done;  undo;  note ...;  leave: pick up later;  end: run over"


def large(text: str) -> list[str]:
    """Digits and colons, five rows high.

    >>> print("\\n".join(row.rstrip() for row in large("1:7")))
     █   ███
    ██  █  █
     █    █
     █  █  █
    ███   █
    """
    return ["  ".join(_ROWS[c].split("|")[row] for c in text).replace("  ", " ") for row in range(5)]


class Screen:
    """Draws a run over the whole terminal; the last line stays for what is typed."""

    def __init__(self, inch: bool = False) -> None:
        self._inch = inch
        self._rung: tuple[str, tuple[str, ...]] | None = None
        sys.stdout.write("\x1b[2J")

    def __call__(self, run: RunDocument, answer: str, is_new: bool) -> None:
        """Draw the run; the bell rings when what to do changes, and with an alarm."""
        size = shutil.get_terminal_size()
        now = (run["do"], tuple(run["alarms"]))
        bell = "\a" if self._rung not in (None, now) else ""
        typing = f"\x1b[{size.lines};1H\x1b[K> " if is_new or self._rung is None else "\x1b8"
        self._rung = now
        rows = lines(run, answer, size.columns, self._inch)[: size.lines - 1]
        rows += [""] * (size.lines - 1 - len(rows))
        drawn = "".join(f"\x1b[{i + 1};1H{row}\x1b[K" for i, row in enumerate(rows))
        sys.stdout.write(f"\x1b7{drawn}{typing}{bell}")
        sys.stdout.flush()

    def close(self) -> None:
        """Leave the cursor below."""
        sys.stdout.write("\n")
        sys.stdout.flush()


def lines(run: RunDocument, answer: str, width: int, inch: bool = False) -> list[str]:
    """The screen's lines, each no wider than the terminal."""
    colour = _RED if run["alarms"] else _YELLOW if run["overdue"] else _BOLD
    out = [f"{run['load']}, run {run['run']}", "", *(f"  {row}" for row in large(clock(run["now_s"]))), ""]
    out.append(f"{colour} {run['do'].upper()} {_PLAIN}")
    if run["due_s"] is not None and not run["overdue"]:
        then = f", then: {run['then']}" if run["then"] else ""
        out.append(f"for {into_run(run['due_s'] - run['now_s'])}, until {into_run(run['due_s'])}{then}")
    if run["in_acid"]:
        out += [*wrapped(switch_off_words(run), "", "  ", width), "", *_expected(run, inch)]
    for alarm in _alarms(run, inch):
        out += ["", *(f"{_RED}{row}{_PLAIN}" for row in wrapped(f"ALARM: {alarm}", "", "", width))]
    for caution in run["cautions"][:3]:
        out += wrapped(f"Caution: {caution}", "", "  ", width)
    if run["changed"]:
        out += wrapped("A part file has changed since this run was begun; the figures are those of the file now.",
                       "", "  ", width)  # fmt: skip
    out += ["", *wrapped(_HELP, "", "  ", width), *wrapped(answer, "", "  ", width)]
    return out


def _expected(run: RunDocument, inch: bool) -> list[str]:
    """What the meters should show now, beside what was read last."""

    def bounds(found: Interval | None, unit: str) -> str:
        if found is None:
            return "from half the current on"
        estimate = Estimate(found["value"], found["low"], found["high"])
        return whole_quantity(quantity(estimate, unit), inch)

    read = run["readings"][-1] if run["readings"] else None
    was = f"   read at {into_run(read['at_s'])}" if read else ""
    rows = [f"          expected now{was}"]
    last = (read["volts_v"], read["current_a"], read["temperature_c"]) if read else (None, None, None)
    due = (run["volts_v"], run["current_a"], run["bath_c"])
    for name, unit, found, value in zip(("volts", "amperes", "bath"), "VAC", due, last, strict=True):
        read_now = "" if value is None else shown(value, unit, inch)
        rows.append(f"{name:9} {bounds(found, unit):30} {read_now}")
    rows.append(
        f"{'coating':9} {film_words(run, inch)}; {run['aimed'] or shown(run['wanted_um'], 'um', inch) + ' wanted'}"
    )
    rows.append(f"{'charge':9} {bounds(run['charge_ah'], 'Ah')}")
    return rows


def _alarms(run: RunDocument, inch: bool) -> list[str]:
    """What is wrong now; a current that went off early with the coating so far."""
    said = f"{run['early']} Coating so far {film_words(run, inch)}. If the current is still on, type on."
    early = [said] if run["early"] else []
    return [*run["alarms"], *early]


class Told:
    """Prints what has changed since the last time."""

    def __init__(self, inch: bool = False) -> None:
        self._inch = inch
        self._do = ""
        self._alarms: list[str] = []
        self._read = -1

    def __call__(self, run: RunDocument, answer: str, is_new: bool) -> None:
        at = into_run(run["now_s"])
        if answer and is_new:
            out.say(f"{at}  {answer}")
        if run["do"] != self._do:
            self._do = run["do"]
            out.say(f"{at}  {run['do']}{_until(run)}")
            for caution in run["cautions"][:2] if not run["in_acid"] else ():
                out.say(f"{at}  Caution: {caution}")
        if len(run["readings"]) != self._read:
            more, self._read = len(run["readings"]) > self._read, len(run["readings"])
            if run["readings"] and more:
                out.say(f"{at}  {reading_words(run, self._inch)}")
        alarms = _alarms(run, self._inch)
        for alarm in alarms:
            if alarm not in self._alarms:
                out.say(f"{at}  ALARM: {alarm}")
        self._alarms = alarms
        sys.stdout.flush()

    def close(self) -> None:
        """Nothing is left open."""


def reading_words(run: RunDocument, inch: bool = False) -> str:
    """The last reading, what was expected, the coating so far and the end, on one line."""
    read = run["readings"][-1]
    shown = meter_words(read["volts_v"], read["current_a"], read["temperature_c"], inch)
    expected = read["expected_v"]
    if expected is not None:
        shown += f" (expected {three(expected['low'])} to {three(expected['high'])} V)"
    if not shown:
        return str(read["remark"])
    shown += f" ({read['remark']})" if read["remark"] else ""
    return "; ".join(filter(None, (f"{shown}: coating {film_words(run, inch)}", switch_off_words(run))))


def switch_off_words(run: RunDocument) -> str:
    """When to switch off, and why that is not as planned; nothing where the current is off, or none flows."""
    if not run["in_acid"] or run["end_s"] is None:
        return ""
    planned = f" (planned {into_run(run['planned_end_s'])}: {run['moved']})" if run["moved"] else ""
    due = "the current was due off at" if run["overdue"] else "switch off at"
    return f"{due} {into_run(run['end_s'])}{planned}"


def meter_words(volts_v: float | None, current_a: float | None, temperature_c: float | None, inch: bool = False) -> str:
    """What the meters showed, of those that were read."""
    values = ((volts_v, "V"), (current_a, "A"), (temperature_c, "C"))
    return ", ".join(shown(value, unit, inch) for value, unit in values if value is not None)


def undone_words(gone: Reading | Begun, inch: bool) -> str:
    """What was taken back: a reading, a remark, or that a step was begun."""
    if isinstance(gone, Begun):
        return f"taken back: '{gone.step}' begun at {into_run(gone.at_s)}"
    shown = meter_words(gone.volts_v, gone.current_a, gone.temperature_c, inch)
    return f"taken back: {', '.join(filter(None, (shown, gone.remark)))} at {into_run(gone.at_s)}"


def film_words(run: RunDocument, inch: bool = False) -> str:
    """The coating so far with its bounds, to a hundredth of a micrometre or a thousandth of a mil."""
    unit, um, places = ("mil", 25.4, 3) if inch else ("um", 1.0, 2)
    low, value, high = (three(round(run["film_um"][end] / um, places)) for end in ("low", "value", "high"))
    return f"{value} {unit}" + (f" ({low} to {high})" if low != high else "")


def _until(run: RunDocument) -> str:
    return f", until {into_run(run['due_s'])}" if run["due_s"] is not None and not run["overdue"] else ""


_LOOK_S, _DRAW_S = 0.1, 1.0


def follow(book: Logbook, plan: Plan, run: Run, speed: float, inch: bool, again: str) -> None:
    """Follow a run until it is ended, left, or the lines are over; again: what `areacalc run` takes to go on."""
    shown = Screen(inch) if _is_screen() else Told(inch)
    lines = _lines()
    line: str | None
    drawn_s, answer, asked = 0.0, "", None
    try:
        while True:
            try:
                line = lines.get(timeout=_LOOK_S)
            except queue.Empty:
                line = None
            if line is not None:
                leave, answer, asked = _taken(book, plan, run, line, speed, asked, inch) if line else (True, "", None)
                if leave:
                    break
            if line is not None or time.monotonic() - drawn_s >= _DRAW_S:
                drawn_s, run = time.monotonic(), book.run(run.number)
                if run.ended is not None:  # by another hand: the page, a second terminal
                    break
                shown(run_document(view(book, plan, run, elapsed_s(run, speed)), inch), answer, line is not None)
    finally:
        shown.close()
    run = book.run(run.number)
    document = run_document(view(book, plan, run, elapsed_s(run, speed)), inch)
    _goodbye(run, again, document, book.logged(run).came.charge_ah, inch, speed > 1.0)


def _is_screen() -> bool:
    """Whether a person sees this: a terminal at both ends that can move its cursor."""
    return bool(sys.stdin and sys.stdin.isatty()) and sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"


def _lines() -> queue.SimpleQueue[str]:
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()

    def read() -> None:
        for line in sys.stdin or ():  # None where it was closed
            lines.put(line if line.strip() else "\n")
        lines.put("")

    threading.Thread(target=read, daemon=True).start()
    return lines


def _taken(
    book: Logbook, plan: Plan, run: Run, line: str, speed: float, asked: Typed | None, inch: bool
) -> tuple[bool, str, Typed | None]:
    """Write down one line; whether the run is left, what is to be said of the line, and what is asked once more.

    asked: what was asked about the line before. Minutes that are still to come move a rehearsal's clock on.
    """
    if not line.strip():
        return False, "", asked
    try:
        said, is_sure = typed(line, inch).meant(asked)
        if said.word is Word.LEAVE:
            return True, "", None
        if speed > 1.0 and said.at_s is not None:
            run = move_clock(book, run, said.at_s, speed)
        gone = take(book, plan, run, said, elapsed_s(run, speed), is_sure, speed)
    except SayAgain as doubt:
        return False, f"{doubt.what}; {doubt.remedy}", doubt.about
    except BadInput as bad:
        return False, f"not taken: {bad.what}; {bad.remedy}", None
    return book.run(run.number).ended is not None, undone_words(gone, inch) if gone is not None else "", None


def _goodbye(run: Run, again: str, document: RunDocument, charge_ah: float, inch: bool, rehearsed: bool) -> None:
    if run.ended is None:
        on = ", the current is still on" if document["in_acid"] else ""
        out.say(f"Run {run.number} goes on: its clock runs{on}. areacalc run {again} picks it up again.")
        return
    then = "" if rehearsed else f" areacalc logbook result {run.number} --coating ... adds what you measure."
    called = "The rehearsal" if rehearsed else f"Run {run.number}"
    out.say(over_words(called, charge_ah, film_words(document, inch), run.charge_ah) + then)
