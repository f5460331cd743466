"""What lies on the bench: the parts with a person's choices, and the settings; plain values that go to disk as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from areacalc.errors import BadInput, UnknownName
from areacalc.quantity import MOST_COUNT

Document = dict[str, Any]
CHOICES = ("plug", "mask", "wet_only", "contact", "declare")
MOST_PARTS = 200
_LONGEST = 300  # characters of one text


@dataclass(frozen=True, slots=True)
class BenchPart:
    """One kind of part on the rack.

    file is the stored file, `DIGEST/part.SUFFIX`. revision counts the changes that people make to it. result is its
    part of the area document, refused the error that stands in its place; view names its stored picture.
    """

    id: str
    name: str
    file: str
    count: int = 1
    unit: str | None = None
    choices: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    up: str | None = None
    liquid_line: str | None = None
    alloy: str | None = None
    sketch: Document | None = None
    revision: int = 1
    result: Document | None = None
    refused: Document | None = None
    view: str | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """Density window, unit shown, and the tables of the load file (bath, tank ...) as a person wrote them."""

    revision: int = 1
    name: str = "my load"
    density: str = "small-tank"
    show: str = "mm"
    tables: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Bench:
    """Everything that a person put on the page.

    removed: parts taken off, to be put back. awaited: what a load file says of parts whose files are not here yet.
    """

    parts: tuple[BenchPart, ...] = ()
    settings: Settings = Settings()
    removed: tuple[BenchPart, ...] = ()
    awaited: tuple[Document, ...] = ()
    last_id: int = 0

    def part(self, id: str) -> BenchPart:
        """The part of that id. Raises KeyError."""
        return next(p for p in self.parts if p.id == id) if any(p.id == id for p in self.parts) else _none(id)

    def with_part(self, part: BenchPart) -> Bench:
        """With a part in the place of the one of its id, or at the end."""
        if any(p.id == part.id for p in self.parts):
            return replace(self, parts=tuple(part if p.id == part.id else p for p in self.parts))
        return replace(self, parts=(*self.parts, part))

    def without(self, id: str) -> Bench:
        """Without a part, which is kept aside to be put back."""
        gone = self.part(id)
        kept = tuple(p for p in self.parts if p.id != id)
        return replace(self, parts=kept, removed=(*self.removed, gone)[-20:])


def _none(id: str) -> BenchPart:
    raise KeyError(id)


def bench_document(bench: Bench) -> Document:
    """The bench as JSON."""
    return asdict(bench)


def bench_from(document: Mapping[str, Any]) -> Bench:
    """The bench in a JSON document that bench_document wrote. Raises KeyError, TypeError, ValueError for others."""

    def part(each: Mapping[str, Any]) -> BenchPart:
        made = BenchPart(**{**each, "choices": {k: tuple(v) for k, v in each["choices"].items()}})
        folder, _, name = made.file.partition("/")
        if not (folder.isalnum() and name.startswith("part.") and name[5:].isalnum()):
            raise ValueError(made.file)
        return made

    return Bench(
        tuple(part(p) for p in document["parts"]),
        Settings(**document["settings"]),
        tuple(part(p) for p in document["removed"]),
        tuple(dict(each) for each in document["awaited"]),
        int(document["last_id"]),
    )


def changed_part(part: BenchPart, change: Mapping[str, Any]) -> BenchPart:
    """The part with changes from the page laid on it, one revision on. Raises BadInput, UnknownName."""
    known = ("name", "count", "unit", "choices", "up", "liquid_line", "alloy")
    for key in change:
        if key not in known:
            raise UnknownName.among("part", key, known)
    values = dict(change)
    if "choices" in values:
        values["choices"] = {**part.choices, **_choices(values["choices"])}
    if "count" in values and (type(values["count"]) is not int or not 1 <= values["count"] <= MOST_COUNT):
        raise BadInput("count", f"{values['count']!r} is no number of parts", f"give 1 to {MOST_COUNT}")
    if "name" in values:
        values["name"] = text(values["name"], "name") or part.name
    for key in ("unit", "up", "liquid_line", "alloy"):
        if key in values:
            values[key] = text(values[key], key) or None
    return replace(part, **values, revision=part.revision + 1)


def changed_settings(settings: Settings, change: Mapping[str, Any]) -> Settings:
    """The settings with changes laid on them, one revision on. Raises BadInput, UnknownName."""
    known = ("name", "density", "show", "tables")
    for key in change:
        if key not in known:
            raise UnknownName.among("settings", key, known)
    values = {key: text(change[key], key) for key in ("name", "density", "show") if key in change}
    if values.get("show", "mm") not in ("mm", "in"):
        raise UnknownName.among("show", values["show"], ("mm", "in"))
    if "density" in values:
        from areacalc.bath.window import window

        window(values["density"])
    tables = _tables(change["tables"]) if "tables" in change else settings.tables
    return replace(settings, **values, tables=tables, revision=settings.revision + 1)


def text(given: object, where: str) -> str:
    """One text of bearable length, on one line. Raises BadInput."""
    if given is None:
        return ""
    if not isinstance(given, str) or len(given) > _LONGEST:
        raise BadInput(where, "is not a text of bearable length", f"write up to {_LONGEST} characters")
    return " ".join("".join(c if c.isprintable() else " " for c in given).split())


def _choices(given: object) -> dict[str, tuple[str, ...]]:
    if not isinstance(given, dict):
        raise BadInput("choices", "is not a table", 'write {"plug": ["bore-1"]}')
    made = {}
    for key, words in given.items():
        if key not in CHOICES:
            raise UnknownName.among("choices", key, CHOICES)
        if not isinstance(words, list) or len(words) > 100:
            raise BadInput(f"choices, {key}", "is not a list of texts", 'write ["bore-1"]')
        made[key] = tuple(dict.fromkeys(word for each in words if (word := text(each, f"choices, {key}"))))
    return made


def _tables(given: object) -> dict[str, dict[str, Any]]:
    """Tables of the load file whose keys are known; their values are judged when the load is planned."""
    from areacalc.load.keys import TABLES

    if not isinstance(given, dict):
        raise BadInput("tables", "is not a table", 'write {"bath": {"acid": "180 g/L"}}')
    made: dict[str, dict[str, Any]] = {}
    for name, table in given.items():
        if name not in TABLES:
            raise UnknownName.among("tables", name, TABLES)
        if not isinstance(table, dict):
            raise BadInput(f"tables, {name}", "is not a table", 'write {"acid": "180 g/L"}')
        keys = [key.name for key in TABLES[name]]
        for key, value in table.items():
            if key not in keys:
                raise UnknownName.among(f"tables, {name}", key, keys)
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                value = text(value, key)
            if value != "":
                made.setdefault(name, {})[key] = value
    return made
