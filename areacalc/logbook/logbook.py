"""The shop's logbook: every run with what was read and what came out, and the baths and tanks that runs share."""

from __future__ import annotations

import dataclasses
import os
import uuid
from collections.abc import Sequence
from contextlib import AbstractContextManager, suppress
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

import msgspec
from platformdirs import user_data_path

from areacalc.errors import BadInput, UnknownName
from areacalc.logbook.came import Came, Logged, Why, most_film_um
from areacalc.logbook.checks import check, check_film
from areacalc.logbook.database import Database, R
from areacalc.logbook.records import TABLES, Begun, Event, Outcome, Reading, Run, TableSettings, Vessel, seconds_of

_AGAIN_S = 60.0
_AT_TANK = "struck = '' AND number IN (SELECT run FROM begun)"
_MOST_NUMBER = 1 << 63  # SQLite's
_FORGOTTEN_S = 86_400.0  # chosen: nobody stands at the tank for a day


def shop_folder() -> Path:
    """The user's data folder. Raises BadInput for a user without a home."""
    folder = Path("~")
    with suppress(RuntimeError):  # by some versions; others give "~" as it stands
        folder = user_data_path("areacalc")
    if not folder.is_absolute():
        raise BadInput("home folder", "this user has none", "set HOME to a folder of yours")
    return folder


def shop_logbook() -> Path:
    """The logbook's file: one for the shop, in the user's data folder, unless AREACALC_LOGBOOK names another."""
    return Path(os.environ.get("AREACALC_LOGBOOK") or shop_folder() / "logbook.sqlite")


def rehearsal_logbook() -> Path:
    return shop_logbook().with_name("rehearsal.sqlite")


class Logbook(AbstractContextManager["Logbook"]):
    """The logbook in a file, to be used in a `with`. All methods raise BadInput where the file cannot be used.

    What a method adds or corrects is on the disk once the method returns.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or shop_logbook()
        self.database = Database(self.path)

    def __exit__(self, *_: object) -> None:
        self.database.close()

    def runs(self, with_struck: bool = False) -> list[Run]:
        """All runs, oldest first, those of one minute as they were written; those struck out where asked for."""
        found = self.database.find(Run, "struck = '' OR ?", with_struck)
        return sorted(found, key=lambda run: (seconds_of(run.when) // 60.0, run.number))

    def run(self, number: int) -> Run:
        return self._one(Run, number, f"run {number}")

    def add_run(self, run: Run) -> tuple[Run, bool]:
        """Add a run; the run as it is kept, and whether it was there already.

        It was there where one of the same key is, or, without a key, one that differs in nothing but the time and was
        begun within one run's length of it: the same tank does not do the same run twice at once, so this is a retry.
        """
        check(run)
        with self.database.change():
            there = next((each for each in self.database.find(Run, "key = ? OR load = ?", run.key, run.load)
                          if _is_same(each, run)), None)  # fmt: skip
            if there is not None:
                return there, True
            kept = msgspec.structs.replace(run, key=run.key or uuid.uuid4().hex)
            return msgspec.structs.replace(kept, number=self.database.add("run", kept)), False

    def named(self, words: str, where: str = "RUN", is_one: bool = False) -> Run:
        """The run of a number, or the latest that words name; is_one: the only one. Raises UnknownName, BadInput."""
        if words.strip().isdecimal():
            return self.run(int(words))
        found = find([self.logged(run) for run in self.runs()], words, where)
        if is_one and len(found) > 1:
            numbers = ", ".join(str(each.run.number) for each in found[-10:])
            raise BadInput(where, f"'{words}' names several runs: {numbers}", "give the number of one")
        return found[-1].run

    def readings(self, run: int) -> list[Reading]:
        """The readings of a run, in the order of their times."""
        return sorted(self.database.find(Reading, "run = ?", run), key=lambda each: each.at_s)

    def add_reading(self, reading: Reading) -> Reading:
        """Add a reading; the same one again finds the first. Raises BadInput for another at the same time."""
        check(reading, self.run(reading.run))
        with self.database.change():
            there = self.database.find(Reading, "run = ? AND at_s = ?", reading.run, reading.at_s)
            if there and msgspec.structs.replace(there[0], number=0) != reading:
                raise BadInput(f"run {reading.run}", f"has another reading at {reading.at_s:g} s",
                               f"correct that one, reading {there[0].number}, or give another time")  # fmt: skip
            return there[0] if there else self._kept("reading", reading)

    def begun(self, run: int) -> list[Begun]:
        """The steps of a run that were begun at the tank, the first first."""
        return sorted(self.database.find(Begun, "run = ?", run), key=lambda each: (each.at_s, each.number))

    def begin(self, step: Begun) -> Begun:
        """Add a step that is begun; the same step again finds the first. Raises UnknownName for an unknown run."""
        self.run(step.run)
        with self.database.change():
            there = self.database.find(Begun, "run = ? AND step = ?", step.run, step.step)
            return there[0] if there else self._kept("begun", step)

    def at_the_tank(self, load: str | None = None) -> Run | None:
        """The latest run, of a load or of any, that was begun at the tank within a day and has not ended; else None."""
        runs = self.database.find(Run, f"ended IS NULL AND load = ifnull(?, load) AND {_AT_TANK}", load)
        return runs[-1] if runs and not is_forgotten(runs[-1]) else None

    def forgotten(self, load: str) -> Run | None:
        """The latest run of a load, where it was begun at the tank more than a day ago and never ended; else None."""
        runs = self.database.find(Run, f"load = ? AND {_AT_TANK}", load)
        return runs[-1] if runs and runs[-1].ended is None and is_forgotten(runs[-1]) else None

    def outcomes(self, run: int) -> list[Outcome]:
        return self.database.find(Outcome, "run = ?", run)

    def undo(self, run: int, at_s: float | None = None) -> Reading | Begun:
        """Take back the reading or remark that was added last, or the step begun after it; it stays as history.

        at_s: the last reading or remark of that second into the run. Raises BadInput where nothing was.
        """
        with self.database.change():
            there, steps = self.database.find(Reading, "run = ?", run), self.begun(run)[1:]
            if at_s is not None:
                there, steps = [each for each in there if at_s <= each.at_s < at_s + 1.0], []
            if steps and not (there and there[-1].at_s > steps[-1].at_s):
                self.database.remove("begun", steps[-1].number)
                return steps[-1]
            if not there and at_s is not None:
                raise BadInput(f"run {run}", f"no reading or note stands at {at_s // 60:.0f}:{at_s % 60:02.0f}",
                               "undo alone takes back the last line")  # fmt: skip
            if not there:
                raise BadInput(f"run {run}", "there is no line to take back", "type one first")
            self.database.remove("reading", there[-1].number)
        return there[-1]

    def undo_off(self, run: int) -> Begun:
        """Take back that the current was switched off, of a run in the step after it. Raises BadInput."""
        with self.database.change():
            begun = self.begun(run)
            if len(begun) != 2:
                raise BadInput(f"run {run}", "is not in the step after the current", "use undo")
            self.database.remove("begun", begun[-1].number)
        return begun[-1]

    def logged(self, run: Run) -> Logged:
        of = run.number
        return Logged(run, tuple(self.readings(of)), tuple(self.begun(of)), tuple(self.outcomes(of)))

    def to_repeat(
        self, words: str, where: str = "repeat", alloy: str | None = None, bath: str | None = None
    ) -> tuple[Run, Came]:  # fmt: skip
        """The run to repeat that words name, on an alloy in a bath: the one that most speaks for, else the latest.

        Raises UnknownName; BadInput where hardly any charge passed in all that the words name.
        """
        logged = [self.logged(run) for run in self.runs()]
        found = find(logged, words, where, [each for each in logged if each.came.is_worth_repeating])
        worth = [each for each in found if each.came.is_worth_repeating]
        if not worth:
            run, came = found[-1].run, found[-1].came
            passed = "no current flowed" if came.is_none else f"{came.charge_ah:.3g} of {came.planned_ah:.3g} Ah"
            raise BadInput(where, f"run {run.number} had hardly any charge ({passed})", "name another run")
        speaks = [each.speaks(alloy, bath) for each in worth]
        best = max(range(len(worth)), key=lambda i: (speaks[i], i))
        why = tuple(why for i, why in enumerate(Why) if speaks[best][i] and not all(each[i] for each in speaks))
        return worth[best].run, dataclasses.replace(worth[best].came, why=why)

    def add_outcome(self, outcome: Outcome) -> Outcome:
        """Add something that came out of a run; the same again finds the first."""
        check(outcome)
        self._check_film(outcome)
        with self.database.change():
            there = [o for o in self.outcomes(outcome.run) if msgspec.structs.replace(o, number=0) == outcome]
            return there[0] if there else self._kept("outcome", outcome)

    def correct(self, table: Literal["run", "reading", "outcome"], number: int, **values: Any) -> None:
        """Correct a record; what it was stays as history. Raises UnknownName, BadInput."""
        with self.database.change():
            named = f"{'result' if table == 'outcome' else table} {number}"
            record = self._one(TABLES[table], number, named)
            if (own := getattr(record, "run", None)) != values.get("run", own):
                raise BadInput(named, f"is of run {own}", "name that run")
            new = msgspec.structs.replace(record, **values)
            check(new, self.run(new.run) if isinstance(new, Reading) else None)
            if isinstance(new, Outcome) and new.film_um != getattr(record, "film_um", None):
                self._check_film(new)
            if new != record:
                self.database.update(table, new)

    def strike(self, number: int, is_struck: bool) -> None:
        """Strike a run out, so that nothing is learned, repeated or added up from it, or take that back.

        Raises BadInput for the run at the tank.
        """
        if is_struck and (there := self.at_the_tank()) is not None and there.number == number:
            raise BadInput(f"run {number}", "is at the tank", "end it first")
        self.correct("run", number, struck=now() if is_struck else "")

    def vessels(self, kind: Literal["bath", "tank"]) -> list[Vessel]:
        return self.database.find(Vessel, "kind = ?", kind)

    def vessel(self, kind: Literal["bath", "tank"], name: str, where: str = "") -> Vessel:
        """The bath or tank of that name. Raises UnknownName."""
        found = self.database.find(Vessel, "kind = ? AND name = ?", kind, name)
        if not found:
            raise UnknownName.among(where or kind, name, [each.name for each in self.vessels(kind)])
        return found[0]

    def keep_vessel(
        self, kind: Literal["bath", "tank"], name: str, settings: TableSettings, volume_l: float | None = None
    ) -> Vessel:
        """Keep a bath or tank under a name, or change its settings; what they were stays as history.

        Raises BadInput for no name.
        """
        if not name.strip():
            raise BadInput(kind, "has no name", f"give the {kind} a name, such as 'the small one'")
        with self.database.change():
            there = self.database.find(Vessel, "kind = ? AND name = ?", kind, name)
            if not there:
                return self._kept("vessel", Vessel(kind=kind, name=name, settings=settings, volume_l=volume_l))
            new = msgspec.structs.replace(there[0], settings=settings, volume_l=volume_l or there[0].volume_l)
            if new != there[0]:
                self.database.update("vessel", new)
            return new

    def forget_vessel(self, kind: Literal["bath", "tank"], name: str) -> None:
        """Take a bath or tank out; what it was stays as history. Raises UnknownName, BadInput for one with events."""
        with self.database.change():
            vessel = self.vessel(kind, name)
            if self.events(vessel):
                raise BadInput(f"{kind} '{name}'", "has analyses or additions, which stay", "keep it, or change it")
            self.database.remove("vessel", vessel.number)

    def events(self, bath: Vessel) -> list[Event]:
        """What happened to a bath, oldest first."""
        return sorted(self.database.find(Event, "vessel = ?", bath.number), key=lambda each: seconds_of(each.when))

    def add_event(self, event: Event) -> Event:
        """Add something that happened to a bath; the same again finds the first.

        An analysis also sets the acid and the aluminium of the bath, which loads that name it then have.
        """
        check(event)
        with self.database.change():
            vessel = self._one(Vessel, event.vessel, "bath")
            there = [e for e in self.events(vessel) if msgspec.structs.replace(e, number=0) == event]
            if there:
                return there[0]
            if event.what == "analysis":
                measured = {"acid": event.acid_g_per_l, "aluminium": event.aluminium_g_per_l}
                new = {key: f"{value:g} g/L" for key, value in measured.items() if value is not None}
                self.database.update("vessel", msgspec.structs.replace(vessel, settings={**vessel.settings, **new}))
            return self._kept("event", event)

    def runs_in(self, bath: Vessel, since: Event | None = None, load: str | None = None) -> list[Run]:
        """The runs in a bath since something happened to it; else since it was new, or was first kept.

        load: with those of this load that were logged before it named a bath.
        """
        new_s = max((seconds_of(e.when) for e in self.events(bath) if e.what == "new"), default=0.0)
        since_s = new_s if since is None else seconds_of(since.when)
        named = "struck = '' AND (bath = ? COLLATE NOCASE OR (bath IS NULL AND load = ?))"
        runs = self.database.find(Run, named, bath.name, load)
        return [run for run in runs if seconds_of(run.when) >= since_s]

    def _check_film(self, outcome: Outcome) -> None:
        run = self.run(outcome.run)
        came = self.logged(run).came
        if outcome.film_um is not None and self.begun(run.number) and not came.is_followed:
            raise BadInput("film_um", f"the current of run {run.number} is still on, as the logbook has it",
                           f"write down when it ended: areacalc logbook correct {run.number}")  # fmt: skip
        check_film(outcome, came, most_film_um(run, came.charge_ah))

    def _kept(self, table: str, record: R) -> R:
        return msgspec.structs.replace(record, number=self.database.add(table, record))

    def _one(self, kind: type[R], number: int, where: str) -> R:
        found = self.database.find(kind, "number = ?", number) if number < _MOST_NUMBER else []
        if not found:
            raise UnknownName(where, "is not in the logbook", "areacalc logbook list lists the runs")
        return found[0]


def is_forgotten(run: Run) -> bool:
    """Whether a run that was never ended was begun too long ago to be at the tank still."""
    return datetime.now().timestamp() - seconds_of(run.when) > _FORGOTTEN_S


def now() -> str:
    """This minute, as runs are dated."""
    return datetime.now().astimezone().isoformat(timespec="minutes")


def find(
    logged: Sequence[Logged], words: str, where: str = "repeat", offered: Sequence[Logged] | None = None
) -> list[Logged]:  # fmt: skip
    """The runs that hold all of the words: a number (`run 3`), a date, a load, a colour.

    Raises UnknownName for none, with the names of the runs offered (None: of all).

    >>> made = Run(number=1, when="2026-03-03T10:00", load="pens", area_mm2=1e4, current_a=2.5, density_a_per_dm2=2.5,
    ...            run_s=1800.0, film_um=14.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0,
    ...            dye="night blue")
    >>> find([Logged(made, ())], "blue pens")[0].run.film_um, find([Logged(made, ())], "run 1")[0].run.film_um
    (14.0, 14.0)
    """
    wanted = words.lower().replace(",", " ").split()
    if found := [each for each in logged if wanted and each.holds(wanted)]:
        return found
    if not logged:
        raise UnknownName(where, f"there is no '{words}': the logbook has no runs yet",
                          "write a run down first, or leave repeat out")  # fmt: skip
    named = {", ".join(dict.fromkeys(filter(None, (e.run.load, e.run.dye or e.run.shade)))): e.run
             for e in (logged if offered is None else offered)}  # fmt: skip
    raise UnknownName.among(where, words, [f"{told} (run {run.number})" for told, run in named.items()])


def _is_same(kept: Run, new: Run) -> bool:
    if new.key:
        return kept.key == new.key
    alike = msgspec.structs.replace(kept, number=0, key="", when="") == msgspec.structs.replace(new, key="", when="")
    return alike and abs(seconds_of(kept.when) - seconds_of(new.when)) < max(new.run_s, _AGAIN_S)
