"""The logbook out and in: everything as JSON, the runs as CSV."""

import csv
import hashlib
import io
import itertools
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import msgspec

from areacalc.cell import quoted, unquoted
from areacalc.errors import BadInput
from areacalc.logbook.came import FilmFrom, Logged
from areacalc.logbook.checks import check
from areacalc.logbook.database import Database, plain, record_of
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Begun, Event, Outcome, Reading, Run, Vessel

ENDINGS = (".json", ".csv")
_MEND = "export it again, or mend it"


class Shop(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All that a logbook holds, but for its history."""

    schema: Literal["areacalc/shop/1"]
    run: list[Run]
    reading: list[Reading]
    outcome: list[Outcome]
    vessel: list[Vessel]
    event: list[Event]
    begun: list[Begun] = []


def to_json(book: Logbook) -> bytes:
    find = book.database.find
    shop = Shop(
        "areacalc/shop/1", book.runs(True), find(Reading), find(Outcome), find(Vessel), find(Event), find(Begun)
    )
    return msgspec.json.format(msgspec.json.encode(shop), indent=1) + b"\n"


def to_csv(book: Logbook) -> str:
    """The runs, one a line: as planned, then what came of each."""
    text, rows = io.StringIO(), [plain(run) | _came(book.logged(run)) for run in book.runs(True)]
    names = dict.fromkeys((*(field.name for field in msgspec.structs.fields(Run)), *itertools.chain(*rows)))
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows({k: quoted(v) for k, v in row.items()} for row in rows)
    return text.getvalue()


_CAME = "came_"


def _came(logged: Logged) -> dict[str, object]:
    """What came of a run, by column; None where nobody read it."""
    came, by_charge = logged.came, replace(logged, outcomes=()).came
    remarks = [each.remark for each in logged.readings] + [each.remark for each in logged.outcomes]
    told = {
        "min": came.run_s / 60.0 if came.is_followed else None, "ah": came.charge_ah if came.is_followed else None,
        "by_charge_um": by_charge.film_um if by_charge.film_from is FilmFrom.CHARGE else None,
        "measured_um": came.film_um if came.film_from is FilmFrom.MEASURED else None,
        "colour": _said(each.colour for each in logged.outcomes),
        "judged": logged.judged, "fault": _said(each.fault for each in logged.outcomes),
        "remark": _said(remarks),
    }  # fmt: skip
    return {f"{_CAME}{name}": value for name, value in told.items()}


def _said(texts: Iterable[str]) -> str:
    return "; ".join(filter(None, texts))


def take_in(book: Logbook, file: Path) -> tuple[int, int]:
    """Add what a file holds and the logbook does not; how much was added, and how much was there already.

    The file is one that was exported; it stays as it is. Raises BadInput, with nothing added.
    """
    try:
        text = file.read_text("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput(str(file), "cannot be read as text", "name an exported file") from None
    except OSError as trouble:
        raise BadInput(str(file), f"cannot be read ({trouble.strerror})", "check name and permissions") from None
    is_csv = file.suffix.lower() == ".csv"
    shop = Shop("areacalc/shop/1", _csv_runs(text, file), [], [], [], []) if is_csv else _shop(text, file)
    try:
        return _added(book, _keyed(shop))
    except BadInput as bad:
        if bad.where == str(book.path):
            raise
        raise BadInput(f"{file.name}, {bad.where}", bad.what, _MEND) from None


def _shop(text: str, file: Path) -> Shop:
    try:
        return msgspec.json.decode(text, type=Shop)
    except (ValueError, RecursionError) as wrong:
        raise BadInput(file.name, f"is not an exported logbook: {wrong}", "export it again") from None


def _keyed(shop: Shop) -> Shop:
    """Each run that has no identity, as one made in a spreadsheet, has one of what it holds. Raises BadInput."""
    for kind in ("run", "reading", "begun", "outcome", "vessel", "event"):
        counts = Counter(each.number for each in getattr(shop, kind) if each.number)
        if twice := [number for number, count in counts.items() if count > 1]:
            raise BadInput(f"{kind} {twice[0]}", "stands there twice", _MEND)
    changed = msgspec.structs.replace
    held = [msgspec.json.encode(changed(run, number=0)) for run in shop.run]
    runs = [run if run.key else changed(run, key=hashlib.sha256(json).hexdigest()[:32])
            for run, json in zip(shop.run, held, strict=True)]  # fmt: skip
    return changed(shop, run=runs)


def _csv_runs(text: str, file: Path) -> list[Run]:
    runs, rows = [], csv.DictReader(io.StringIO(text))
    if "when" not in (rows.fieldnames or ()):
        raise BadInput(file.name, "is not an exported logbook: it has no column 'when'", "export it again")
    for number, row in enumerate(rows, 2):
        cells = {k: unquoted(v) for k, v in row.items()
                 if isinstance(k, str) and isinstance(v, str) and not k.startswith(_CAME)}  # fmt: skip
        given = {k: v for k, v in cells.items() if v or k == "remark"}
        runs.append(_run(given, f"{file.name}, line {number}"))
    return runs


def _run(row: dict[str, Any], where: str) -> Run:
    try:
        run = record_of(Run, row, False)
        check(run)
    except BadInput as bad:
        raise BadInput(f"{where}, {bad.where}", bad.what, "mend the line, or take it out") from None
    except (ValueError, RecursionError) as wrong:
        raise BadInput(where, f"is not a run: {wrong}", "mend the line, or take it out") from None
    return run


def _added(book: Logbook, shop: Shop) -> tuple[int, int]:
    """Add what is new. Numbers are those of the other logbook: here each record gets one of its own."""
    database, changed = book.database, msgspec.structs.replace
    added = there = 0
    with database.change():
        runs = {run.key: run.number for run in database.find(Run)}
        own: dict[int, int] = {}
        for run in shop.run:
            check(run)
            there += run.key in runs
            if run.key not in runs:
                runs[run.key] = database.add("run", changed(run, number=0))
                added += 1
            own[run.number] = runs[run.key]
        vessels: dict[int, int] = {}
        for vessel in shop.vessel:
            found = database.find(Vessel, "kind = ? AND name = ?", vessel.kind, vessel.name)
            there += bool(found)
            added += not found
            vessels[vessel.number] = found[0].number if found else database.add("vessel", changed(vessel, number=0))
        kept = {run.number: run for run in database.find(Run)}
        rest: Iterable[tuple[str, Reading | Outcome | Event | Begun]] = [
            *(("reading", changed(r, number=0, run=_own(own, r.run))) for r in shop.reading),
            *(("begun", changed(b, number=0, run=_own(own, b.run))) for b in shop.begun),
            *(("outcome", changed(o, number=0, run=_own(own, o.run))) for o in shop.outcome),
            *(("event", changed(e, number=0, vessel=_own(vessels, e.vessel))) for e in shop.event),
        ]
        held = {changed(each, number=0) for kind in (Reading, Outcome, Event, Begun) for each in database.find(kind)}
        for table, record in rest:
            if record in held:
                there += 1
                continue
            check(record, kept[record.run] if isinstance(record, Reading) else None)
            _refuse_another(database, table, record)
            database.add(table, record)
            added += 1
    return added, there


def _refuse_another(database: Database, table: str, record: Reading | Outcome | Event | Begun) -> None:
    """Refuse a reading at a time that has another, and a step begun at another time. Raises BadInput."""
    if isinstance(record, Reading) and database.find(Reading, "run = ? AND at_s = ?", record.run, record.at_s):
        raise BadInput(f"{table} at {record.at_s:g} s", f"run {record.run} has another then", _MEND)
    if isinstance(record, Begun) and database.find(Begun, "run = ? AND step = ?", record.run, record.step):
        raise BadInput(f"{table}, {record.step}", f"run {record.run} began it at another time", _MEND)


def _own(numbers: dict[int, int], number: int) -> int:
    if number not in numbers:
        raise BadInput(f"number {number}", "is told of, but does not stand in the file", _MEND)
    return numbers[number]
