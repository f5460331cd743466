"""The logbook of a load: one line of JSON a run, only ever added to, so that a colour can be repeated next month."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING

from areacalc.errors import BadInput, UnknownName

if TYPE_CHECKING:
    from areacalc.run.plan import Plan

SUFFIX = ".log.jsonl"
SCHEMA = "areacalc/log/1"


@dataclass(frozen=True, slots=True)
class Entry:
    """One run as it was: what was set, what the meters said, what came out. Figures that nobody read are None.

    `when` is the local date and time as ISO 8601.
    """

    when: str
    load: str
    area_mm2: float
    current_a: float
    density_a_per_dm2: float
    run_s: float
    film_um: float
    acid_g_per_l: float
    aluminium_g_per_l: float
    temperature_c: float
    alloy: str | None = None
    look: str = "gloss"
    shade: str | None = None
    dye: str | None = None
    dye_s: float | None = None
    seal: str | None = None
    seal_s: float | None = None
    etch_s: float | None = None
    start_v: float | None = None
    end_v: float | None = None
    end_temperature_c: float | None = None
    remark: str = ""


def logbook_of(load_file: str | os.PathLike[str]) -> Path:
    """The logbook beside a load file.

    >>> str(logbook_of("desk/pens.toml").name)
    'pens.log.jsonl'
    """
    path = Path(load_file)
    return path.with_name(path.stem + SUFFIX)


def entry_of(made: Plan, when: str, remark: str, **read: float | None) -> Entry:
    """The run of a plan as it is to be remembered, with what was read on the day."""

    def value(name: str) -> float:
        return made.figures[name].estimate.value

    load, finish = made.load, made.load.finish
    alloys = {p.line.alloy for p in made.parts} - {None}
    return Entry(
        when=when, load=load.name, area_mm2=value("area"), current_a=value("current"),
        density_a_per_dm2=value("density"), run_s=value("time"), film_um=value("film"),
        acid_g_per_l=load.bath.acid_g_per_l, aluminium_g_per_l=load.bath.aluminium_g_per_l,
        temperature_c=load.bath.temperature_c, alloy=alloys.pop() if len(alloys) == 1 else None,
        look=finish.look.value, shade=finish.shade, dye=finish.dye, seal=finish.seal,
        etch_s=finish.etching.minutes * 60.0 if finish.look.value == "matte" else None, remark=remark, **read,
    )  # fmt: skip


def append(book: Path, entry: Entry) -> None:
    """Add a run at the end of the book; what is in it stays as it is. Raises BadInput where it cannot be written."""
    line = json.dumps({"schema": SCHEMA, **asdict(entry)}, ensure_ascii=False, allow_nan=False) + "\n"
    try:
        handle = os.open(book, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o644)
        try:
            os.write(handle, line.encode("utf-8"))
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as fault:
        raise BadInput(
            book.name, f"cannot be written ({fault.strerror})", "check the folder and its permissions"
        ) from None


def read(book: Path) -> tuple[Entry, ...]:
    """All the runs, oldest first; an absent book is an empty one. Raises BadInput: file, line, what is wrong."""
    try:
        text = book.read_text("utf-8-sig")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError):
        raise BadInput(book.name, "cannot be read as text", "move it away; a new one is begun") from None
    return tuple(_entry(line, f"{book.name}, line {n}") for n, line in enumerate(text.splitlines(), 1) if line.strip())


def _entry(line: str, where: str) -> Entry:
    remedy = "mend the line, or take it out"
    try:
        data = json.loads(line)
    except json.JSONDecodeError:
        raise BadInput(where, "is not a line of JSON", remedy) from None
    if not isinstance(data, dict) or data.get("schema") != SCHEMA:
        raise BadInput(where, f"is not a run of the kind {SCHEMA}", remedy)
    known = {f.name: f for f in fields(Entry)}
    wrong = [name for name in data if name not in known and name != "schema"]
    missing = [name for name in ("when", "load", "area_mm2", "current_a", "run_s", "film_um") if name not in data]
    if wrong or missing:
        raise BadInput(where, f"{wrong[0]} is not known" if wrong else f"{missing[0]} is missing", remedy)
    mistyped = [name for name, value in data.items() if name in known and not _fits(value, str(known[name].type))]
    if mistyped:
        raise BadInput(where, f"{mistyped[0]} is {data[mistyped[0]]!r}, which it cannot be", remedy)
    try:
        return Entry(**{name: value for name, value in data.items() if name != "schema"})
    except TypeError:
        raise BadInput(where, "lacks something", remedy) from None


def _fits(value: object, kind: str) -> bool:
    """Whether a value is what the field's type says: a finite number, a text, or nothing where that is allowed."""
    if value is None:
        return "None" in kind
    if "float" in kind:
        return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
    return isinstance(value, str)


def find(entries: Sequence[Entry], words: str, where: str = "repeat") -> Entry:
    """The latest run whose date, load, dye, shade or remark holds all of the words. Raises UnknownName.

    >>> runs = [Entry("2026-03-03T10:00", "pens", 1e4, 2.5, 2.5, 1800.0, 14.0, 180.0, 3.0, 20.0, dye="night blue")]
    >>> find(runs, "blue pens").film_um
    14.0
    """
    wanted = words.lower().replace(",", " ").split()
    for entry in reversed(entries):
        text = " ".join(str(x) for x in (entry.when, entry.load, entry.dye, entry.shade, entry.remark) if x).lower()
        if wanted and all(word in text for word in wanted):
            return entry
    named = [f"{e.when[:10]} {e.load} {e.dye or e.shade or ''}".strip() for e in entries]
    raise UnknownName.among(where, words, named)
