"""The JSON document of the runs in the logbook: each as planned, what came of it, and what was found on the parts."""

from collections.abc import Iterable, Mapping
from typing import Literal, TypedDict, cast

import msgspec

from areacalc.logbook.came import FilmFrom, Logged
from areacalc.logbook.records import Outcome, Run


class CameDocument(TypedDict):
    """What came of a run: minutes, charge and coating with what tells them; colour is None where hardly any flowed."""

    run_s: float
    charge_ah: float
    film_um: float
    film_from: FilmFrom
    is_followed: bool
    colour: str | None


class LoggedRun(Run, frozen=True, kw_only=True):
    """A run with what came of it."""

    came: CameDocument
    unfinished: bool
    results: tuple[Outcome, ...]


class LogbookDocument(TypedDict):
    """The runs in the logbook, oldest first."""

    schema: Literal["areacalc/logbook/1"]
    runs: list[LoggedRun]


def logbook_document(runs: Iterable[Logged]) -> Mapping[str, object]:
    """The runs in the order given: a LogbookDocument."""
    return {"schema": "areacalc/logbook/1", "runs": [run_row(each) for each in runs]}


def run_row(each: Logged) -> Mapping[str, object]:
    """One run with what came of it: a LoggedRun."""
    came = each.came
    document: CameDocument = {
        "run_s": came.run_s, "charge_ah": came.charge_ah, "film_um": came.film_um, "film_from": came.film_from,
        "is_followed": came.is_followed, "colour": each.run.colour if came.is_worth_repeating else None,
    }  # fmt: skip
    run = LoggedRun(
        **msgspec.structs.asdict(each.run), came=document, unfinished=each.is_unfinished, results=each.outcomes
    )
    return cast("Mapping[str, object]", msgspec.to_builtins(run))
