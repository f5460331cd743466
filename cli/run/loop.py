"""The loop of a run in the terminal: lines come in, the screen or the lines of a log go out, a bell when it is due."""

import os
import queue
import sys
import threading
import time

from areacalc.errors import BadInput
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Run
from areacalc.plan.plan import Plan
from areacalc.report.run_document import RunDocument, run_document
from areacalc.report.words.at_the_tank import over_words
from areacalc.run.held import SayAgain, elapsed_s, move_clock, take, view
from areacalc.run.typed import Typed, Word, typed

from .. import show as out
from .screen import Screen, Told, film_words, undone_words

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
