"""What lies on the bench: the parts with a person's choices, and the settings; plain values that go to disk as JSON."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Literal

import msgspec
from msgspec.structs import replace

from areacalc.bath.window import window
from areacalc.errors import BadInput, UnknownName
from areacalc.load.keys import TABLES
from areacalc.quantity import MOST_COUNT

Document = dict[str, Any]
CHOICES = ("plug", "mask", "wet_only", "contact", "add", "fill")
MOST_PARTS = 200
KEPT_S = 30 * 86_400.0
"""How long what was taken off stays in the bin [s]."""
_HANGS = {"unit", "choices", "up", "liquid_line"}  # what may change the air that a part traps
_LONGEST = 300  # characters of one text
MOST_MOVED = 6000  # characters of all parts that hang elsewhere
_MOST = 1e12  # of a bare number in a table: no key of a load goes so far
_STORED = re.compile(r"[0-9a-f]{32}/part\.[a-z0-9]+")


class BenchPart(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of part on the rack, as a person wants it; what is found of it is worked out again at every start.

    file is the stored file, `DIGEST/part.SUFFIX`. checked: stations where the person said that it is well as it is.
    revision counts the changes that people make to it.
    """

    id: str
    name: str
    file: str
    count: int = 1
    unit: str | None = None
    choices: dict[str, tuple[str, ...]] = {}
    up: str | None = None
    liquid_line: str | None = None
    alloy: str | None = None
    sketch: Document | None = None
    checked: tuple[str, ...] = ()
    revision: int = 1

    def __post_init__(self) -> None:
        if not _STORED.fullmatch(self.file):
            raise ValueError(f"no stored file is called {self.file!r}")
        if not 1 <= self.count <= MOST_COUNT or set(self.choices) - set(CHOICES):
            raise ValueError(f"what is chosen for {self.name!r} cannot be")


UNNAMED = "my load"


class Settings(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Density window, unit shown, and the tables of the load file (bath, tank ...) as a person wrote them."""

    revision: int = 1
    name: str = UNNAMED
    density: str = "small-tank"
    show: Literal["mm", "in"] = "mm"
    tables: dict[str, dict[str, str | int | float]] = {}


class Removed(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A part in the bin, and when it was taken off [seconds since 1970]."""

    part: BenchPart
    at_s: float


class Bench(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything that a person put on the page.

    removed: the bin. awaited: what a load file says of parts whose files are not here yet. shop: baths and tanks
    that an earlier page kept here; they go to the logbook.
    """

    schema: Literal["areacalc/bench/1"] = "areacalc/bench/1"
    parts: tuple[BenchPart, ...] = ()
    settings: Settings = Settings()
    removed: tuple[Removed, ...] = ()
    awaited: tuple[Document, ...] = ()
    shop: dict[str, dict[str, dict[str, str | int | float]]] = {}
    last_id: int = 0

    def __post_init__(self) -> None:
        if len({p.id for p in self.parts}) < len(self.parts):
            raise ValueError("two parts have one id")

    def part(self, id: str) -> BenchPart:
        """The part of that id. Raises KeyError."""
        for part in self.parts:
            if part.id == id:
                return part
        raise KeyError(id)

    def with_part(self, part: BenchPart) -> Bench:
        """With a part in the place of the one of its id, or at the end under a name that no other has."""
        if any(p.id == part.id for p in self.parts):
            return replace(self, parts=tuple(part if p.id == part.id else p for p in self.parts))
        name = self._free(part)
        sketch = {**part.sketch, "name": name} if part.sketch else None
        return replace(self, parts=(*self.parts, replace(part, name=name, sketch=sketch)))

    def _free(self, part: BenchPart) -> str:
        """The part's name, with a number before its ending where another part has it."""
        ending = Path(part.file).suffix
        first, taken = part.name.removesuffix(ending), {p.name for p in self.parts}
        ending = part.name[len(first) :]
        return next(name for n in range(1, len(taken) + 2)
                    if (name := f"{first} {n}{ending}" if n > 1 else part.name) not in taken)  # fmt: skip

    def without(self, id: str, now_s: float) -> Bench:
        """With a part moved to the bin. Raises KeyError."""
        gone = self.part(id)
        return replace(self, parts=tuple(p for p in self.parts if p.id != id),
                       removed=(*self.removed, Removed(gone, now_s)))  # fmt: skip

    def with_back(self, id: str) -> Bench:
        """With a part of the bin back on the rack. Raises KeyError."""
        back = [r.part for r in self.removed if r.part.id == id]
        if not back:
            raise KeyError(id)
        return replace(self.with_part(back[-1]), removed=tuple(r for r in self.removed if r.part.id != id))

    def kept(self, now_s: float) -> Bench:
        """Without what has been in the bin for long enough."""
        return replace(self, removed=tuple(r for r in self.removed if now_s - r.at_s < KEPT_S))

    @property
    def files(self) -> set[str]:
        """The stored files that parts use, those in the bin too."""
        return {p.file for p in (*self.parts, *(r.part for r in self.removed))}


def changed_part(part: BenchPart, change: Mapping[str, Any]) -> BenchPart:
    """The part with the values of a PartChange laid on it, one revision on. Raises BadInput."""
    values = dict(change)
    if "choices" in values:
        said = {key: _texts(words, f"choices, {key}") for key, words in values["choices"].items()}
        values["choices"] = {**part.choices, **said}
    if "checked" in values:
        values["checked"] = _texts(values["checked"], "checked")
    elif _HANGS & values.keys():
        values["checked"] = tuple(c for c in part.checked if c != "hang")
    if "name" in values:
        values["name"] = text(values["name"], "name") or part.name
    for key in ("unit", "up", "liquid_line", "alloy"):
        if key in values:
            values[key] = text(values[key], key) or None
    return replace(part, **values, revision=part.revision + 1)


def changed_settings(settings: Settings, change: Mapping[str, Any]) -> Settings:
    """The settings with the values of a SettingsChange laid on them, one revision on. Raises BadInput, UnknownName."""
    values = {key: text(change[key], key) for key in ("name", "density", "show") if key in change}
    if "density" in values:
        window(values["density"])
    tables = bench_tables(change["tables"]) if "tables" in change else settings.tables
    return replace(settings, **values, tables=tables, revision=settings.revision + 1)


def text(given: object, where: str, longest: int = _LONGEST) -> str:
    """One text of bearable length, on one line. Raises BadInput."""
    if given is None:
        return ""
    if not isinstance(given, str) or len(given) > longest:
        raise BadInput(where, "is not a text of bearable length", f"write up to {longest} characters")
    return " ".join("".join(c if c.isprintable() else " " for c in given).split())


def _texts(given: Iterable[str], where: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for each in given if (word := text(each, where))))


def bench_tables(given: Mapping[str, Mapping[str, Any]]) -> dict[str, dict[str, Any]]:
    """Tables of the load file whose keys are known; their values are judged when the load is planned."""
    made: dict[str, dict[str, Any]] = {}
    for name, table in given.items():
        if name not in TABLES:
            raise UnknownName.among("tables", name, TABLES)
        keys = [key.name for key in TABLES[name]]
        for key, value in table.items():
            if key not in keys:
                raise UnknownName.among(f"tables, {name}", key, keys)
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                value = text(value, key, MOST_MOVED if key == "moved" else _LONGEST)
            elif not (math.isfinite(value) and abs(value) < _MOST):
                raise BadInput(key, f"{value} is beyond any load", "write a smaller number")
            if value != "":
                made.setdefault(name, {})[key] = value
    return made
