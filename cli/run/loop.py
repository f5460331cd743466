"""The loop of a run in the terminal: lines come in, the screen or the lines of a log go out, a bell when it is due."""

from __future__ import annotations

import os
import queue
import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING

from .. import show as out

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Logbook
    from areacalc.logbook.records import Run
    from areacalc.plan.plan import Plan
    from areacalc.report.run_document import RunDocument

_LOOK_S, _DRAW_S = 0.1, 1.0


def follow(book: Logbook, plan: Plan, run: Run, speed: float, inch: bool, load_file: Path) -> None:
    """Follow a run until it is ended, left, or the lines are over."""
    from areacalc.report.run_document import run_document
    from areacalc.run.held import elapsed_s, view

    from .screen import Screen
    from .told import Told

    shown = Screen() if _is_screen() else Told()
    lines = _lines()
    drawn_s, answer = 0.0, ""
    try:
        while True:
            line = _next_line(lines)
            if line is not None:
                now_s = elapsed_s(run, speed)
                leave, answer = _taken(book, plan, run, line, now_s) if line else (True, "")
                run = book.run(run.number)
                if leave:
                    break
            if line is not None or time.monotonic() - drawn_s >= _DRAW_S:
                drawn_s = time.monotonic()
                shown(run_document(view(book, plan, run, elapsed_s(run, speed)), inch), answer, line is not None)
    finally:
        shown.close()
    _goodbye(run, load_file, run_document(view(book, plan, run, elapsed_s(run, speed)), inch))


def _is_screen() -> bool:
    """Whether a person sees this: a terminal at both ends that can move its cursor."""
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"


def _lines() -> queue.SimpleQueue[str]:
    """The lines of standard input as they come; an empty one when they are over."""
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()

    def read() -> None:
        for line in sys.stdin:
            lines.put(line if line.strip() else "\n")
        lines.put("")

    threading.Thread(target=read, daemon=True).start()
    return lines


def _next_line(lines: queue.SimpleQueue[str]) -> str | None:
    try:
        return lines.get(timeout=_LOOK_S)
    except queue.Empty:
        return None


def _taken(book: Logbook, plan: Plan, run: Run, line: str, now_s: float) -> tuple[bool, str]:
    """Write down one line; whether the run is left, and what is wrong with the line."""
    from areacalc.errors import BadInput
    from areacalc.run.held import take
    from areacalc.run.typed import Word, typed

    if not line.strip():
        return False, ""
    try:
        said = typed(line)
        if said.word is Word.LEAVE:
            return True, ""
        take(book, plan, run, said, now_s)
    except BadInput as bad:
        return False, f"not taken: {bad.what}; {bad.remedy}"
    return book.run(run.number).ended is not None, ""


def _goodbye(run: Run, load_file: Path, document: RunDocument) -> None:
    from areacalc.digits import three

    if run.ended is None:
        out.say(f"Run {run.number} goes on; areacalc run {load_file} picks it up again.")
        return
    charge, film = three(document["charge_ah"]["value"]), document["film_um"]
    coating = f"{three(film['value'])} um ({three(film['low'])} to {three(film['high'])})"
    out.say(f"Run {run.number} is over: {charge} Ah, a coating of {coating} by the charge. "
            f"areacalc logbook result {run.number} --film ... adds what you measure.")  # fmt: skip
