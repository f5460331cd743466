"""A run as lines of a log, for output that is not a terminal: a line for each reading, alarm and thing due."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from .. import show as out

if TYPE_CHECKING:
    from areacalc.logbook.records import Begun, Reading
    from areacalc.report.run_document import RunDocument


class Told:
    """Prints what has changed since the last time."""

    def __init__(self, inch: bool = False) -> None:
        self._inch = inch
        self._do = ""
        self._alarms: list[str] = []
        self._read = -1

    def __call__(self, run: RunDocument, answer: str, is_new: bool) -> None:
        from areacalc.report.words.at_the_tank import into_run

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
        for alarm in run["alarms"]:
            if alarm not in self._alarms:
                out.say(f"{at}  ALARM: {alarm}")
        self._alarms = run["alarms"]
        sys.stdout.flush()

    def close(self) -> None:
        """Nothing is left open."""


def reading_words(run: RunDocument, inch: bool = False) -> str:
    """The last reading, what was expected, the coating so far and the end, on one line."""
    from areacalc.digits import three
    from areacalc.report.words.at_the_tank import into_run

    read = run["readings"][-1]
    shown = meter_words(read["volts_v"], read["current_a"], read["temperature_c"], inch)
    expected = read["expected_v"]
    if expected is not None:
        shown += f" (expected {three(expected['low'])} to {three(expected['high'])} V)"
    if not shown:
        return str(read["remark"])
    off = f"; off at {into_run(run['end_s'])}{', a new end' if run['moved'] else ''}" if run["in_acid"] else ""
    return f"{shown}: coating {film_words(run, inch)}{off}"


def meter_words(volts_v: float | None, current_a: float | None, temperature_c: float | None, inch: bool = False) -> str:
    """What the meters showed, of those that were read."""
    from areacalc.report.figures import shown

    values = ((volts_v, "V"), (current_a, "A"), (temperature_c, "C"))
    return ", ".join(shown(value, unit, inch) for value, unit in values if value is not None)


def undone_words(gone: Reading | Begun, inch: bool) -> str:
    """What was taken back: a reading, a remark, or that a step was begun."""
    from areacalc.logbook.records import Reading
    from areacalc.report.words.at_the_tank import into_run

    what = f"'{gone.step}' begun" if not isinstance(gone, Reading) else gone.remark
    if isinstance(gone, Reading) and not what:
        what = meter_words(gone.volts_v, gone.current_a, gone.temperature_c, inch)
    return f"taken back: {what} at {into_run(gone.at_s)}"


def film_words(run: RunDocument, inch: bool = False) -> str:
    """The coating so far with its bounds, to a hundredth of a micrometre or a thousandth of a mil."""
    from areacalc.digits import three

    unit, um, places = ("mil", 25.4, 3) if inch else ("um", 1.0, 2)
    low, value, high = (three(round(run["film_um"][end] / um, places)) for end in ("low", "value", "high"))
    return f"{value} {unit} ({low} to {high})"


def _until(run: RunDocument) -> str:
    from areacalc.report.words.at_the_tank import into_run

    return f", until {into_run(run['due_s'])}" if run["due_s"] is not None and not run["overdue"] else ""
