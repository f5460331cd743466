"""A load file held open: planned as it is, with a setting changed, or at every value of a sweep."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from areacalc.errors import BadInput, CannotRun, Field
from areacalc.load.changes import Setting, Sweep, are_rivals, at_value, changed, find_setting, sweep
from areacalc.load.load import Load
from areacalc.load.read_load import BadLoad, Values, data_of, load_from, names_in, read_text, with_tables
from areacalc.logbook.came import Came
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Run
from areacalc.part.part import Shelf
from areacalc.plan.plan import Plan, plan_of
from areacalc.plant.stock import METRIC, Sold


@dataclass(frozen=True, slots=True)
class SweptPlan:
    """One value of a sweep: its text, the plan, or the reason why it has none."""

    value: float
    text: str
    plan: Plan | None
    refused: str = ""


class LoadBook:
    """A load file held open: its text, its data with the named bath and tank, and the parts opened so far."""

    def __init__(self, path: Path, text: str | None = None, named: Values | None = None, stock: Sold = METRIC) -> None:
        """Open a load file, or a text that is taken for it; named: tables of the bath and tank that it names.

        stock: the sizes that its rods and tanks are sold in.
        """
        self.path, self.stock = path, stock
        self.text = read_text(path) if text is None else text
        written = data_of(self.text, path.name)
        self.names = names_in(written)
        self.data = with_tables(written, self.text, path.name) if named is None else {**written, **named}
        self.shelf = Shelf()

    @classmethod
    def of(cls, run: Run) -> LoadBook:
        """The load of a logged run as it was written, in the bath of that day. Raises BadInput."""
        if not run.text:
            raise BadInput(f"run {run.number}", "was logged without its load file", "plan the load file itself")
        named = {
            kind: dict(run.settings[kind]) for kind in names_in(data_of(run.text, run.load)) if kind in run.settings
        }
        return cls(Path(run.folder) / f"the load of run {run.number}", run.text, named)

    def written(self) -> dict[str, str]:
        """The load as it is written down with a run: its text, its folder, the bath and tank that it names."""
        return {"text": self.text, "folder": str(self.path.parent.resolve()), **self.names}

    def load(self, changes: Sequence[str] = ()) -> Load:
        """The load with changes in words. Raises BadLoad, BadInput."""
        return self._load(self._changed(changes))

    def plan(self, changes: Sequence[str] = ()) -> Plan:
        """The plan with changes in words. Raises BadLoad, BadInput, CannotRun."""
        return self._plan(self._changed(changes))

    def plan_in_bath(self, keys: Values) -> Plan:
        """The plan with keys of the bath in place of its own. Raises BadLoad, BadInput, CannotRun."""
        return self._plan({**self.data, "bath": {**self.data["bath"], **keys}})

    def swept(self, words: str, changes: Sequence[str] = ()) -> tuple[Sweep, Iterator[SweptPlan]]:
        """A sweep in words and its rows, which are planned as they are asked for."""
        data = self._changed(changes)
        asked = sweep(data, words)
        if asked.setting in self._settings(changes):
            raise BadInput(Field.SWEEP, f"{asked.setting.words} is changed by what-if as well", "leave one of them out")
        return asked, (self._row(data, asked, number) for number in range(len(asked.values)))

    def _changed(self, changes: Sequence[str]) -> Values:
        data = self.data
        for words in changes:
            data = changed(data, words)
        told = self._settings(changes)
        twice = next((setting for i, setting in enumerate(told) if setting in told[:i]), None)
        if twice is not None:
            raise BadInput(Field.WHAT_IF, f"changes {twice.words} twice", "give each change once")
        for one, other in itertools.combinations(told, 2):
            if are_rivals(one, other):
                raise BadInput(
                    Field.WHAT_IF, f"{one.words} and {other.words} exclude each other", "give one of the two"
                )
        return data

    def _settings(self, changes: Sequence[str]) -> list[Setting]:
        return [find_setting(self.data, words.partition("=")[0].strip()) for words in changes]

    def _load(self, data: Values) -> Load:
        return replace(load_from(data, self.text, self.path.name, str(self.path.parent)), stock=self.stock)

    def _plan(self, data: Values) -> Plan:
        load = self._load(data)
        run, came = self._repeat(load)
        return plan_of(load, run, self.shelf, came)

    def _repeat(self, load: Load) -> tuple[Run, Came] | tuple[None, None]:
        if load.finish.repeat is None:
            return None, None
        line = load.lines.get(("finish", "repeat"), 1)
        with Logbook() as book:
            where = f"{load.source}, line {line}, [finish] repeat"
            return book.to_repeat(load.finish.repeat, where, load.parts[0].alloy, self.names.get("bath"))

    def _row(self, data: Values, asked: Sweep, number: int) -> SweptPlan:
        value, text = asked.values[number], asked.texts[number]
        try:
            return SweptPlan(value, text, self._plan(at_value(data, asked, number)))
        except CannotRun as refused:
            return SweptPlan(value, text, None, str(refused))
        except BadLoad as refused:
            if not all(each.place.endswith(f" {asked.setting.key.name}") for each in refused.mistakes):
                raise  # the load is wrong elsewhere, whatever the value
            return SweptPlan(value, text, None, f"{refused.mistakes[0].what}; {refused.mistakes[0].remedy}")
