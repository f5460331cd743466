"""The logbook of a load: one line of JSON a run, only ever added to, so that a colour can be repeated next month."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from areacalc.bath.electrolyte import acid_wt_pct, freezing_c
from areacalc.errors import BadInput, OutOfRange, UnknownName

SUFFIX = ".log.jsonl"
SCHEMA = "areacalc/log/1"
_MOST = 1e15
_ABOVE_ZERO = ("area_mm2", "current_a", "density_a_per_dm2", "run_s", "film_um", "acid_g_per_l")
_BOILS_C = 100.0  # water at sea level; dilute acid boils a little above it


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
    """The logbook beside a load file. Raises BadInput for a name that is none.

    >>> str(logbook_of("desk/pens.toml").name)
    'pens.log.jsonl'
    """
    path = Path(load_file)
    if not path.name:
        raise BadInput("logbook", f"'{path}' names no load file", "name a load file")
    return path.with_name(path.stem + SUFFIX)


def reading(name: str, value: float, acid_g_per_l: float, where: str) -> float:
    """A reading for the field `name` of an entry, if a run can have had it. Raises BadInput.

    >>> reading("start_v", 16.8, 180.0, "--start-volts")
    16.8
    """
    remedy = "read it again, or leave it out"
    if name.endswith("_c"):
        ice = freezing_c(acid_wt_pct(acid_g_per_l)).low
        if not ice <= value < _BOILS_C:
            liquid = f"a bath of {acid_g_per_l:.4g} g/L is liquid from about {ice:.0f} to {_BOILS_C:g} C"
            raise OutOfRange(where, f"{value:g} C cannot be: {liquid}", remedy)
    elif not 0.0 < value < _MOST:
        unit = "V" if name.endswith("_v") else "s"
        raise OutOfRange(where, f"{value:g} {unit} is not more than nothing", remedy)
    return value


def append(book: Path, entry: Entry) -> None:
    """Add a run at the end of the book; what is in it stays as it is.

    Raises BadInput, with nothing added: for a book that is damaged, for a reading that no run can have had, and where
    it cannot be written.
    """
    read(book)  # a run added to a damaged book would be added again by every retry
    for name in ("start_v", "end_v", "end_temperature_c", "dye_s", "seal_s"):
        value = getattr(entry, name)
        if value is not None:
            reading(name, value, entry.acid_g_per_l, name)
    try:
        line = (json.dumps({"schema": SCHEMA, **asdict(entry)}, ensure_ascii=False, allow_nan=False) + "\n").encode()
    except UnicodeEncodeError:
        raise BadInput("remark", "holds what is no text", "type it again") from None
    try:
        _add(book, line)
    except OSError as fault:
        raise BadInput(
            book.name, f"cannot be written ({fault.strerror})", "check the folder and its permissions"
        ) from None


def _add(book: Path, line: bytes) -> None:
    """Add a line of its own, whole or not at all. Raises OSError."""
    handle = os.open(book, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o644)
    try:
        size = os.fstat(handle).st_size
        if size:
            os.lseek(handle, size - 1, os.SEEK_SET)
            line = line if os.read(handle, 1) == b"\n" else b"\n" + line  # the last line was left open by an editor
        try:
            if os.write(handle, line) < len(line):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            os.fsync(handle)
        except OSError:
            os.ftruncate(handle, size)
            raise
    finally:
        os.close(handle)


def read(book: Path) -> tuple[Entry, ...]:
    """All the runs, oldest first; an absent book is an empty one. Raises BadInput: file, line, what is wrong."""
    if os.path.exists(book) and not os.path.isfile(book):
        raise BadInput(book.name, "is no file", "move it away; a new one is begun")
    try:
        text = book.read_text("utf-8-sig")
    except FileNotFoundError:
        return ()
    except UnicodeDecodeError:
        raise BadInput(book.name, "cannot be read as text", "move it away; a new one is begun") from None
    except OSError as fault:
        raise BadInput(
            book.name, f"cannot be read ({fault.strerror})", "check the folder and its permissions"
        ) from None
    return tuple(_entry(line, f"{book.name}, line {n}") for n, line in enumerate(text.split("\n"), 1) if line.strip())


def _entry(line: str, where: str) -> Entry:
    remedy = "mend the line, or take it out"
    try:
        data = json.loads(line)
    except (ValueError, RecursionError):
        raise BadInput(where, "is not a line of JSON", remedy) from None
    if not isinstance(data, dict) or data.get("schema") != SCHEMA:
        raise BadInput(where, f"is not a run of the kind {SCHEMA}", remedy)
    known = {f.name: f for f in fields(Entry)}
    wrong = [name for name in data if name not in known and name != "schema"]
    missing = [name for name in ("when", "load", *_ABOVE_ZERO) if name not in data]
    if wrong or missing:
        raise BadInput(where, f"{wrong[0]} is not known" if wrong else f"{missing[0]} is missing", remedy)
    mistyped = [name for name in _ABOVE_ZERO if not (_fits(data[name], "float") and data[name] > 0.0)]
    mistyped += [name for name, value in data.items() if name in known and not _fits(value, str(known[name].type))]
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
        # as whole numbers the figures have no end, and those past a float's are no figures of a run
        return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < _MOST
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
    if not entries:
        raise UnknownName(where, f"there is no '{words}': this load's own logbook has no runs yet",
                          "write a run down first, or leave repeat out")  # fmt: skip
    named = [f"{e.when[:10]} {e.load} {e.dye or e.shade or ''}".strip() for e in entries]
    raise UnknownName.among(where, words, named)
