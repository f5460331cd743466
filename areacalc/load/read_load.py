"""Read a load file, with the bath and the tank that it names: every mistake with its line, all of them at once."""

import os
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, fields
from difflib import get_close_matches
from pathlib import Path as FilePath
from typing import Any, Literal, TypeVar

from areacalc.bath.alloy import alloy_named
from areacalc.bath.fits import FLANKS_DEG, limits, times
from areacalc.bath.strength import acid_in_words
from areacalc.errors import BadInput, UnknownName
from areacalc.load import tables
from areacalc.load.keys import BLANK, FIT, MEANT, NEEDED_TABLES, PART, TABLES, Holds, Key
from areacalc.load.lines import Path, key_lines
from areacalc.load.load import FitLine, Load, PartLine
from areacalc.logbook.logbook import Logbook
from areacalc.plant.cathode import RATIOS, ratio
from areacalc.plant.moved import moved_in_words
from areacalc.plant.tank import Tank
from areacalc.quantity import Dimension, parse
from areacalc.shape.small_text import LOAD, refuse_others, small_text, toml_table
from areacalc.surface.area_in_words import area_in_words
from areacalc.surface.choice import Choices

T = TypeVar("T")
Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing wrong in a load file."""

    line: int
    place: str
    what: str
    remedy: str


_NAME_ONE = "name a load file; areacalc init writes one"


class BadLoad(BadInput):
    """All that is wrong in a load file, a line each."""

    def __init__(self, source: str, mistakes: tuple[Mistake, ...]) -> None:
        first = mistakes[0]
        super().__init__(f"{source}, line {first.line}, {first.place}", first.what, first.remedy)
        self.args = (source, mistakes)
        self.mistakes = mistakes
        self.source = source

    def __str__(self) -> str:
        places: dict[tuple[str, str], str] = {}
        for m in self.mistakes:  # one mistake in several places is told once
            said = m.what, m.remedy
            before = f"{places[said]}; " if said in places else f"{self.source}, "
            places[said] = f"{before}line {m.line}, {m.place}"
        return "\n".join(str(BadInput(place, *said)) for said, place in places.items())


def read_load(path: str | os.PathLike[str]) -> Load:
    """The load in a TOML file. Raises BadLoad with every mistake, BadInput for a file that cannot be read."""
    file = FilePath(path)
    return load_of(read_text(file), file.name, str(file.parent))


def read_text(file: FilePath) -> str:
    """The text of a load file. Raises BadInput: not there, a folder, not text, too large."""
    try:
        if file.is_file() and (not file.stat().st_size or _is_part(file)):
            raise _no_load(file)
        return small_text(file, "a load file")
    except FileNotFoundError:
        raise BadInput(file.name, "there is no such file", "check the name; areacalc init writes a new one") from None
    except IsADirectoryError:
        raise BadInput(file.name or str(file), "is a folder", "name a load file") from None
    except PermissionError:
        raise BadInput(file.name, "may not be read", "check its permissions") from None
    except UnicodeDecodeError:
        raise _no_load(file) from None
    except OSError as trouble:
        raise BadInput(file.name, f"cannot be read ({trouble.strerror})", "copy it to this machine") from None


def _is_part(file: FilePath) -> bool:
    from areacalc.shape.read import FORMATS

    return file.suffix.lower() in FORMATS and file.suffix.lower() != ".toml"


def _no_load(file: FilePath) -> BadInput:
    from areacalc.shape.file_kind import described

    words = f"areacalc init new-load.toml {file.name} starts a load with a part in it" if _is_part(file) else _NAME_ONE
    return BadInput(file.name, f"is {described(file)}, not a load file", words)


def load_of(text: str, source: str = "load", folder: str | None = None) -> Load:
    """The load in a text; `folder` is where its part files stand, None: not looked for yet. Raises BadLoad."""
    return load_from(data_of(text, source), text, source, folder)


_TWICE = ("Cannot declare", "Cannot overwrite a value")  # as tomllib words it


def data_of(text: str, source: str = "load") -> Values:
    """The tables and keys of a text. Raises BadLoad for a line that is no TOML."""
    try:
        table = toml_table(text, source)
    except tomllib.TOMLDecodeError as fault:
        what, _, at = str(fault).rpartition(" (at ")
        line = int("".join(c for c in at.split(",")[0] if c.isdigit()) or len(text.splitlines()) or 1)
        key, _, value = "".join(text.splitlines()[line - 1 : line]).partition("#")[0].partition("=")
        is_word = value.strip()[:1].isalnum()
        mend = f'put it in quotes: {key.strip()} = "{value.strip()}"' if is_word else "mend the line"
        unquoted = "'\\n'" in what
        said = "a text has no closing quote" if unquoted else what or str(fault)
        is_twice = what.startswith(_TWICE)
        mistake = Mistake(line, "TOML", "this table or key is there twice" if is_twice else said,
                          "delete one of the two" if is_twice else "add it" if unquoted else mend)  # fmt: skip
        raise BadLoad(source, (mistake,)) from None
    refuse_others(table, LOAD, source)
    return table


def load_from(data: Values, text: str, source: str = "load", folder: str | None = None) -> Load:
    """The load in data read from a text and perhaps changed since; lines are those of the text. Raises BadLoad."""
    reading = _Reading(data, key_lines(text), source, folder)
    load = reading.load()
    if reading.mistakes or load is None:
        raise BadLoad(source, tuple(sorted(reading.mistakes, key=lambda m: m.line)))
    return load


@dataclass
class _Reading:
    """The one pass over a file's data; mistakes are gathered, a value that is wrong counts as left out."""

    data: Values
    lines: dict[Path, int]
    source: str
    folder: str | None = None
    mistakes: list[Mistake] = field(default_factory=list)

    def load(self) -> Load | None:
        known = ("name", "part", *TABLES)
        for name in self.data:
            if name not in known:
                self._unknown((name,), name, known)
        parts = self._parts()
        read = {
            name: self._values((name,), self.data[name], keys) if name in self.data else None
            for name, keys in TABLES.items()
        }
        unknown = [name for name in self.data if name not in known]
        for name in NEEDED_TABLES:
            if name not in self.data and not get_close_matches(name, unknown, n=1):
                self.wrong((name,), "is missing", f"write a table [{name}]; areacalc init shows one")
        bath = self._made("bath", read["bath"], tables.bath_of)
        tank = self._made("tank", read["tank"], tables.tank_of)
        finish = self._made("finish", read["finish"] or {}, tables.finish_of)
        supply = self._made("supply", read["supply"], tables.supply_of)
        cathodes = self._made("cathodes", read["cathodes"], tables.cathodes_of)
        wanted = (read["cathodes"] or {}).get("ratio", "small-tank")
        chosen = self._made("cathodes", read["cathodes"] or {}, lambda _: ratio(wanted, "ratio"))
        rack = self._made("rack", read["rack"], tables.rack_of)
        moved = self._made("rack", read["rack"] or {}, lambda rack: moved_in_words(rack.get("moved", ""), "moved"))
        tube = self._made("split_tube", read["split_tube"], tables.split_tube_of)
        meters = self._made("meters", read["meters"] or {}, tables.meters_of)
        self._larger_than_the_tank(read, tank)
        room_l = (read["tank"] or {}).get("room")
        name = self.data.get("name", FilePath(self.source).stem)
        if not isinstance(name, str):
            self.wrong(("name",), f"{name!r} is not text", "put it in quotes")
        if self.mistakes or bath is None or tank is None or finish is None or meters is None:
            return None
        return Load(str(name), parts, bath, tank, finish, supply, cathodes, chosen or RATIOS["small-tank"], rack,
                    tables.spacing_of(read["rack"] or {}, read["tank"] or {}), moved or (),
                    None if room_l is None else room_l * 1e-3, tube, meters, self.source, self.folder or ".",
                    self.lines)  # fmt: skip

    def _larger_than_the_tank(self, read: dict[str, Values | None], tank: Tank | None) -> None:
        """Refuse sizes of what hangs in the tank that are longer than its longest side."""
        sides = [side for side in (tank.length_mm, tank.width_mm) if side is not None] if tank is not None else []
        for table, key in (("cathodes", "distance"), ("cathodes", "thickness"), ("rack", "wire"), ("rack", "spacing"),
                           ("rack", "wet")):  # fmt: skip
            size_mm = (read[table] or {}).get(key)
            if sides and size_mm is not None and size_mm > max(sides):
                said = f"{size_mm:g} mm is more than the tank's longest side, {max(sides):g} mm"
                self.wrong((table, key), said, "measure it again")

    def wrong(self, path: Path, what: str, remedy: str) -> None:
        """Note a mistake at the nearest table or key that stands in the file."""
        near = path
        while near and near not in self.lines:
            near = near[:-1]
        self.mistakes.append(Mistake(self.lines.get(near, 1), _place(path), what, remedy))

    def _parts(self) -> tuple[PartLine, ...]:
        entries = self.data.get("part")
        if isinstance(entries, dict):
            self.wrong(("part",), "stands in single brackets", "write it as [[part]], and again for the next")
            return ()
        if not isinstance(entries, list) or not entries:
            self.wrong(("part",), "holds no part", "write at least one table [[part]] with a file or an area")
            return ()
        made = [self._part(i, entry) for i, entry in enumerate(entries)]
        return tuple(part for part in made if part is not None)

    def _part(self, number: int, entry: object) -> PartLine | None:
        path: Path = ("part", number)
        values = self._values(path, entry, PART, also=("fit",))
        if values is None:
            return None
        assert isinstance(entry, dict)
        if ("file" in entry) == ("area" in entry):
            both = "both a file and an area" if "file" in entry else "neither a file nor an area"
            self.wrong(path, f"has {both}", "give one of the two")
        self._there(path, values.get("file"))
        for share in ("copper", "silicon"):
            if share in values:
                values[f"{share}_pct"] = 100.0 * values.pop(share)
        self._alloy(path, values)
        if "liquid_line" in entry and "up" not in entry:
            self.wrong((*path, "liquid_line"), "stands without up", "give what points up in the bath")
        fits = entry.get("fit", [])
        if not isinstance(fits, list):
            self.wrong((*path, "fit"), "is not a list of tables", "write it as [[part.fit]], and again for the next")
            fits = []
        fit_lines = [self._fit((*path, "fit", i), fit) for i, fit in enumerate(fits)]
        name = values.pop("name", None) or values.get("file") or f"part {number + 1}"
        renamed = {"area_mm2": values.pop("area", None), "count": values.pop("count", 1)}
        choices = Choices(**{each.name: values.pop(each.name, ()) for each in fields(Choices)})
        return PartLine(name=name, choices=choices, fits=tuple(f for f in fit_lines if f),
                        line=self.lines.get(path, 1), **renamed, **values)  # fmt: skip

    def _there(self, path: Path, file: str | None) -> None:
        if file is not None and self.folder is not None and not os.path.isfile(FilePath(self.folder) / file):
            folder = FilePath(self.folder)
            near = get_close_matches(file, [f.name for f in folder.iterdir()] if folder.is_dir() else [], n=1)
            hint = f" (did you mean '{near[0]}'?)" if near else ""
            self.wrong((*path, "file"), f"there is no file '{file}'{hint}", "give its path as seen from the load file")

    def _alloy(self, path: Path, values: Values) -> None:
        """Refuse what is not an aluminium alloy: the acid eats it and the bath is spoilt."""
        try:
            alloy_named(values.get("alloy"), "alloy", values.get("copper_pct"), values.get("silicon_pct"))
        except BadInput as bad:
            key = bad.where if bad.where in ("copper", "silicon") else "alloy"
            self.wrong((*path, key), bad.what, bad.remedy)

    def _fit(self, path: Path, entry: object) -> FitLine | None:
        values = self._values(path, entry, FIT)
        if values is None or any(key.needed and key.name not in values for key in FIT):
            return None
        with self._noted((*path, "wanted")):
            wanted, flank_deg = limits(values["wanted"], "wanted"), values.get("flank", FLANKS_DEG)
            with self._noted((*path, "flank")):
                times(values["kind"], flank_deg)
                return FitLine(values["name"], values["kind"], wanted, values.get("turned"), flank_deg)
        return None

    def _values(self, path: Path, entry: object, keys: tuple[Key, ...], also: tuple[str, ...] = ()) -> Values | None:
        if not isinstance(entry, dict):
            self.wrong(path, "is not a table", f"write it as {_place(path)} and its keys below")
            return None
        by_name = {key.name: key for key in keys}
        unknown = [name for name in entry if name not in by_name and name not in also]
        for name in unknown:
            self._unknown((*path, name), name, tuple(by_name))
        values = {}
        for key in keys:
            if key.name in entry:
                with self._noted((*path, key.name)):
                    values[key.name] = read_value(key, entry[key.name])
            elif key.needed and not get_close_matches(key.name, unknown):  # a slip of the hand is told as that alone
                self.wrong((*path, key.name), "is missing", f"write for example {key.name} = {key.example}")
        return values

    @contextmanager
    def _noted(self, path: Path) -> Iterator[None]:
        """What is refused inside is a mistake at this place."""
        try:
            yield
        except BadInput as bad:
            self.wrong(path, bad.what, bad.remedy)

    def _made(self, name: str, values: Values | None, make: Callable[[Values], T]) -> T | None:
        """The thing of a table, unless the table is out or something it needs was wrong."""
        if values is None or any(m.place.startswith(f"[{name}]") for m in self.mistakes):
            return None
        try:
            return make(values)
        except BadInput as bad:
            key = next((k.name for k in TABLES[name] if bad.where in (k.name, k.name.replace("_", " "))), None)
            self.wrong((name, key) if key else (name,), bad.what, bad.remedy)
            return None

    def _unknown(self, path: Path, name: str, known: tuple[str, ...]) -> None:
        said = UnknownName.among("", name, known, MEANT.get(name, ""))
        self.wrong(path, said.what, said.remedy)


def read_value(key: Key, given: object, example: str = "") -> Any:
    """One key's value in its canonical unit. Raises BadInput whose `what` and `remedy` say what is wrong with it.

    example: how it is written there; as a line of the load file unless told.

    >>> read_value(TABLES["supply"][3], "5 min")
    300.0
    """
    example = example or f"write for example {key.name} = {key.example}"
    if given == BLANK:
        remedy = example + ("" if key.needed else ", or leave the line out")
        raise BadInput(key.name, "is not filled in yet", remedy)
    if isinstance(key.holds, Dimension):
        if isinstance(given, bool) or not isinstance(given, (str, int, float)):
            raise BadInput(key.name, f"{given!r} is not a quantity", example)
        read = {"acid": acid_in_words, "area": area_in_words}.get(key.name)
        value = read(given, key.name) if read else parse(given, key.holds, key.name)
        return key.within.check(key.name, value) if key.within else _bounded(key, value, str(given), example)
    if key.holds is Holds.COUNT or key.holds is Holds.NUMBER:
        whole = key.holds is Holds.COUNT
        if isinstance(given, bool) or not isinstance(given, int if whole else (int, float)):
            raise BadInput(key.name, f"{given!r} is not {key.holds}", example)
        if given > key.most:
            raise BadInput(key.name, f"'{given}' is more than {key.most:g}, the most taken", example)
        return _bounded(key, given, str(given), example)
    if key.holds is Holds.WORDS:
        texts = [given] if isinstance(given, str) else given
        if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
            raise BadInput(key.name, f"{given!r} is not {key.holds}", example)
        return tuple(texts)
    is_number = isinstance(given, (int, float)) and not isinstance(given, bool)
    if is_number and key.name in ("alloy", "metal", "ratio", "rule"):
        given = str(given)  # people write alloy = 6061
    if not isinstance(given, str) or not given.strip():
        raise BadInput(key.name, f"{given!r} is not text", example)
    if key.among and given.strip().lower() not in key.among:
        said = UnknownName.among(key.name, given, key.among)
        raise BadInput(key.name, said.what, said.remedy)
    return given.strip().lower() if key.among else given.strip()


def _bounded(key: Key, value: float, given: str, example: str) -> float:
    if not (value > key.least if key.above else value >= key.least):
        least = f"above {key.least:g}" if key.above else f"{key.least:g} or more"
        raise BadInput(key.name, f"'{given}' must be {least}", example)
    return value


def _place(path: Path) -> str:
    """A place in words: [bath] acid, [[part]] 2 count, [[part]] 2 [[fit]] 1 least."""
    words, i = [], 0
    while i < len(path):
        if i + 1 < len(path) and isinstance(path[i + 1], int):
            words.append(f"[[{path[i]}]] {int(path[i + 1]) + 1}")
            i += 2
            continue
        is_table = i == 0 and (path[0] in TABLES or path[0] == "part")
        words.append(f"[{path[i]}]" if is_table else str(path[i]))
        i += 1
    return " ".join(words)


_VESSELS: tuple[Literal["bath", "tank"], ...] = ("bath", "tank")


def names_in(data: Values) -> dict[str, str]:
    """The baths and tanks that a load calls by name."""
    return {kind: data[kind] for kind in _VESSELS if isinstance(data.get(kind), str)}


def with_tables(data: Values, text: str, source: str) -> Values:
    """The load with the tables of the baths and tanks that it names. Raises UnknownName."""
    names = names_in(data)
    if not names:
        return data
    lines = key_lines(text)
    with Logbook() as book:
        found: Values = {
            kind: dict(book.vessel(kind, names[kind], f"{source}, line {lines.get((kind,), 1)}, {kind}").settings)
            for kind in _VESSELS
            if kind in names
        }
    return {**data, **found}
