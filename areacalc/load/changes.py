"""What if one setting of a load were another: the change in words, and a sweep of it from one value to another."""

import copy
import math
import re
from dataclasses import dataclass, replace
from typing import Any

from areacalc.bath.strength import acid_in_words
from areacalc.errors import BadInput, Field, UnknownName, said_of
from areacalc.load.keys import MEANT, PART, TABLES, Holds, Key
from areacalc.load.read_load import read_value
from areacalc.quantity import Dimension, parse, shown_unit

_CHANGE = re.compile(r"^\s*(?P<key>[^=]+?)\s*=\s*(?P<value>.+?)\s*$")
_SWEEP = re.compile(
    r"^\s*(?P<key>[^=]+?)\s*=\s*(?P<first>.+?)\s+to\s+(?P<last>.+?)(?:\s+in\s+(?P<steps>\d+)(?:\s+steps)?)?\s*$"
)
_MOST_STEPS = 200
_MEANT = {"count": "part", "thickness": "finish"}  # where a bare key stands in several tables


@dataclass(frozen=True, slots=True)
class Setting:
    """One key of a load: the table it stands in and, for a key of a part, the part's number (None: every part)."""

    table: str
    key: Key
    part: int | None = None

    @property
    def words(self) -> str:
        return f"{self.table}.{self.key.name}"


@dataclass(frozen=True, slots=True)
class Sweep:
    """One setting at several values in its canonical unit, with each value's text."""

    setting: Setting
    values: tuple[float, ...]
    texts: tuple[str, ...]


def changed(data: dict[str, Any], words: str) -> dict[str, Any]:
    """A load file's data with one setting changed: "count=6", "bath.temperature=18 C", "pen body.count=6".

    Raises BadInput, and UnknownName for a key that no table has.

    >>> changed({"part": [{"name": "cap", "count": 4}]}, "count = 6")
    {'part': [{'name': 'cap', 'count': 6}]}
    """
    found = _CHANGE.match(words)
    if found is None:
        raise BadInput(Field.WHAT_IF, f"'{words}' is not a change", "write it like 'count=6' or 'temperature=18 C'")
    setting = find_setting(data, found["key"])
    value = _typed(setting.key, found["value"])
    try:
        read_value(setting.key, value)
    except BadInput as bad:
        raise BadInput(Field.WHAT_IF, said_of(setting.words, bad.what), bad.remedy) from None
    return _with(data, setting, value)


def find_setting(data: dict[str, Any], words: str) -> Setting:
    """The setting named "key", "table.key" or "part's name.key"; a bare key is looked for in every table."""
    place, _, name = words.rpartition(".")
    keys = {"part": PART, **TABLES}
    if place and place not in keys:
        names = [part.get("name") or part.get("file") or f"part {i}" for i, part in enumerate(_parts(data), 1)]
        numbers = [i for i, each in enumerate(names) if each == place]
        if not numbers:
            raise UnknownName.among(Field.WHAT_IF, place, [*keys, *map(str, names)])
        if len(numbers) > 1:
            raise BadInput(Field.WHAT_IF, f"{len(numbers)} parts are named '{place}'", "give each a name of its own")
        return Setting("part", _key(PART, name), numbers[0])
    tables = [place] if place else [t for t, table in keys.items() if any(k.name == name for k in table)]
    if not tables:
        raise UnknownName.among(Field.WHAT_IF, name, sorted({k.name for table in keys.values() for k in table}))
    if len(tables) > 1:
        if name not in _MEANT:
            raise BadInput(Field.WHAT_IF, f"'{name}' stands in {' and '.join(tables)}", f"write {tables[0]}.{name}")
        tables = [_MEANT[name]]
    return Setting(tables[0], _key(keys[tables[0]], name))


def sweep(data: dict[str, Any], words: str) -> Sweep:
    """A sweep in words: "temperature = 16 C to 24 C in 5". Raises BadInput.

    Counts go by ones unless the number of values is told; other settings take 9 values. Each value's text has the unit
    that the last one was given in.

    >>> [t for t in sweep({}, "temperature = 60 F to 70 F in 3").texts]
    ['60 F', '65 F', '70 F']
    """
    found = _SWEEP.match(words)
    if found is None or " by " in found["last"]:
        what = "'by' is not known" if found is not None else f"'{words}' is not a sweep"
        raise BadInput(Field.SWEEP, what, "tell how many values: 'temperature = 16 C to 24 C in 5' has 5")
    setting = find_setting(data, found["key"])
    key = setting.key if setting.key.sweeps is None else replace(setting.key, holds=setting.key.sweeps)
    if not isinstance(key.holds, Dimension) and key.holds not in (Holds.COUNT, Holds.NUMBER):
        raise BadInput(Field.SWEEP, f"{setting.words} holds {key.holds}, not a number", "sweep a quantity or a count")
    unit = re.sub(r"^[\d.,/\s+-]*(?:e[+-]?\d+)?", "", found["last"])
    first, last = (_number(key, text, unit) for text in (found["first"], found["last"]))
    whole = key.holds is Holds.COUNT
    steps = int(found["steps"] or (abs(last - first) + 1 if whole else 9))
    if not 2 <= steps <= _MOST_STEPS or first == last:
        remedy = f"ask for 2 to {_MOST_STEPS}, from one value to another"
        raise BadInput(Field.SWEEP, f"'{words}' has {steps} values", remedy)
    values = [first + (last - first) * i / (steps - 1) for i in range(steps)]
    if whole:
        values = list(dict.fromkeys(float(round(v)) for v in values))
    return Sweep(setting, tuple(values), tuple(_text(key, value, unit) for value in values))


def _text(key: Key, value: float, unit: str) -> str:
    if not isinstance(key.holds, Dimension):
        return f"{value:.6g}"
    if key.name == "acid":  # weight per cent is not in proportion to g/L
        return f"{value:.6g} {shown_unit(key.holds)}"
    one, two = (parse(f"{n} {unit}", key.holds, Field.SWEEP) for n in (1, 2))
    return f"{1.0 + (value - one) / (two - one):.6g} {unit}"


def at_value(data: dict[str, Any], swept: Sweep, number: int) -> dict[str, Any]:
    """The data with a sweep's setting at one of its values."""
    value: object = swept.texts[number]
    if swept.setting.key.holds is Holds.COUNT:
        value = round(swept.values[number])
    elif swept.setting.key.holds is Holds.NUMBER:
        value = swept.values[number]
    return _with(data, swept.setting, value)


def _number(key: Key, text: str, unit: str) -> float:
    if key.name == "acid":
        return acid_in_words(text if re.search(r"[a-z%]", text, re.I) else f"{text} {unit}", Field.SWEEP)
    if isinstance(key.holds, Dimension):
        return parse(text, key.holds, Field.SWEEP, unit or None)
    whole = key.holds is Holds.COUNT
    try:
        value = float(int(text) if whole else float(text))
    except (ValueError, OverflowError):
        value = math.nan
    if not math.isfinite(value):
        said = f"{key.name}: '{text}' is not {key.holds.value if isinstance(key.holds, Holds) else 'a number'}"
        raise BadInput(Field.SWEEP, said, f"write such as {key.name} = {1 if whole else 5} to 8")
    return value


def _typed(key: Key, text: str) -> object:
    if key.holds in (Holds.COUNT, Holds.NUMBER):
        try:
            return int(text) if key.holds is Holds.COUNT else float(text)
        except ValueError:
            return text  # its reader says what is wrong
    if key.holds is Holds.WORDS:
        return [each.strip() for each in text.split(";") if each.strip()]
    return text.strip().strip("\"'")


def _with(data: dict[str, Any], setting: Setting, value: object) -> dict[str, Any]:
    made = copy.deepcopy(data)
    if setting.table == "part":
        for i, part in enumerate(_parts(made)):
            if setting.part is None or i == setting.part:
                part[setting.key.name] = value
        return made
    table = made.setdefault(setting.table, {})
    if isinstance(table, dict):
        for rival in _RIVALS.get((setting.table, setting.key.name), ()):
            table.pop(rival, None)
        if (setting.table, setting.key.name) == ("bath", "temperature") and "measured_voltage" in table:
            table.setdefault("measured_temperature", table.get("temperature", value))  # that run stays as it was
        table[setting.key.name] = value
    return made


# a change to one of these takes the other out, since they may not stand together
_RIVALS = {
    ("finish", "thickness"): ("shade",), ("finish", "shade"): ("thickness",),
    ("finish", "rule"): ("coating_efficiency",), ("finish", "coating_efficiency"): ("rule",),
    ("tank", "volume"): ("length", "width", "depth"),
    **{("tank", side): ("volume",) for side in ("length", "width", "depth")},
}  # fmt: skip


def are_rivals(one: Setting, other: Setting) -> bool:
    return one.table == other.table and other.key.name in _RIVALS.get((one.table, one.key.name), ())


def _parts(data: dict[str, Any]) -> list[dict[str, Any]]:
    parts = data.get("part", [])
    return [p for p in parts if isinstance(p, dict)] if isinstance(parts, list) else []


def _key(keys: tuple[Key, ...], name: str) -> Key:
    named = {key.name: key for key in keys}
    if name not in named:
        raise UnknownName.among(Field.WHAT_IF, name, named, MEANT.get(name, ""))
    return named[name]
