"""The run at the tank as the page follows it: everything in the logbook, the plan of the load as it was then."""

import threading
from pathlib import Path
from typing import Any

from areacalc.errors import AreacalcError, BadInput, said_of
from areacalc.logbook.logbook import Logbook, rehearsal_logbook
from areacalc.plan.load_book import LoadBook
from areacalc.report.figures import shown
from areacalc.report.run_document import run_document
from areacalc.report.words.at_the_tank import over_words
from areacalc.report.words.places import named_as
from areacalc.run.held import SayAgain, begin, elapsed_s, end, take, view
from areacalc.run.typed import NoReading, Typed, Word, typed

from ..run.loop import undone_words

Document = dict[str, Any]
_METERS = {"volts_v": "Volts", "current_a": "Amperes", "temperature_c": "Bath"}
_ONCE_MORE = {
    "EARLY": "press once more to end this step now",
    "LATE": "press once more if it flowed until now; else give the minutes and seconds when it went off beside 'at'",
    "METER": "write it down once more if the meter shows that",
}


class AtTank:
    """The run that is at the tank, of all loads; speed: of a rehearsal, whose logbook is kept apart.

    Methods take long once for each run, while its load is planned, and are called from threads.
    """

    def __init__(self, speed: float = 1.0) -> None:
        self.speed = speed
        self._plans: dict[str, Any] = {}
        self._one = threading.Lock()
        self._asked: tuple[str, Any] = ("", None)  # the run and the line that were asked about

    def document(self, inch: bool) -> Document:
        """The run as it is now; None where nothing is at the tank, or one whose load cannot be opened: `lost` tells."""
        with self._one, self._book() as book:
            run = book.at_the_tank()
            shown = lost = None
            if run is not None:
                try:
                    plan = self._plan(run)
                    with named_as("page"):
                        shown = run_document(view(book, plan, run, elapsed_s(run, self.speed)), inch)
                except AreacalcError as bad:
                    lost = {"run": run.number, "load": run.load, "when": run.when, "why": said_of(bad.where, bad.what)}
        return {"run": shown, "lost": lost, "speed": self.speed, "real": self._real()}

    def _real(self) -> Document | None:
        """The run that is at the tank in earnest, beside which this is a rehearsal."""
        if self.speed == 1.0:
            return None
        with Logbook() as book:
            run = book.at_the_tank()
        return None if run is None else {"run": run.number, "load": run.load, "when": run.when}

    def begin(self, text: str, folder: str) -> None:
        """Write down that the current was switched on. Raises AreacalcError."""
        with self._one, self._book() as book:
            if (there := book.at_the_tank()) is not None:
                raise BadInput("the run", f"run {there.number} of {there.load} is at the tank", "end that one first")
            held = LoadBook(Path(folder) / "the load", text)
            plan = held.plan()
            run = begin(book, held, plan)
            self._plans = {run.key: plan}

    def take(self, line: str, sure: bool = False, inch: bool = False) -> str:
        """Write down a line that was typed; what is to be said of it. sure: the page has asked already.

        Raises AreacalcError.
        """
        with self._one, self._book() as book:
            run = book.at_the_tank()
            if run is None:
                raise BadInput("the run", "nothing is at the tank", "begin a run first")
            (of, asked), self._asked = self._asked, ("", None)
            try:
                said, again = typed(line).meant(asked if of == run.key else None)
                sure = sure or again
                if sure and said == Typed(Word.END):  # of a run whose load cannot be opened too
                    end(book, run, elapsed_s(run, self.speed))
                    gone = None
                else:
                    gone = take(book, self._plan(run), run, said, elapsed_s(run, self.speed), sure, self.speed)
            except SayAgain as doubt:
                self._asked = run.key, doubt.about
                raise BadInput("", doubt.what, _ONCE_MORE[doubt.doubt.name]) from None
            except BadInput as bad:
                if bad.where != "the line":
                    raise type(bad)(_METERS.get(bad.where, bad.where), bad.what, bad.remedy) from None
                fields = "give volts, amperes and bath as numbers, each in its field"
                raise BadInput("", bad.what, fields if isinstance(bad, NoReading) else bad.remedy) from None
            if gone is None and book.run(run.number).ended is not None:
                return self._over(book, run.number, inch)
        return "" if gone is None else undone_words(gone, inch)

    def _over(self, book: Any, number: int, inch: bool) -> str:
        """What came of a run that has ended, and where it stands."""
        run = book.run(number)
        came = book.logged(run).came
        called = "The rehearsal" if self.speed > 1.0 else f"Run {number}"
        told = over_words(called, came.charge_ah, shown(came.film_um, "um", inch), came.planned_ah)
        return f"{told} {'The logbook has nothing of it.' if self.speed > 1.0 else 'It is in the logbook.'}"

    def _book(self) -> Any:
        return Logbook(rehearsal_logbook() if self.speed > 1.0 else None)

    def _plan(self, run: Any) -> Any:
        if run.key not in self._plans:
            self._plans = {run.key: LoadBook.of(run).plan()}
        return self._plans[run.key]
