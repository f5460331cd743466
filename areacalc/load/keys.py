"""Every table and key of the load file, written once in keys.toml, and a new file with all of them, commented."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from importlib.resources import files
from pathlib import PurePath
from typing import Any

from areacalc.bath.electrolyte import BATH_TEMPERATURE
from areacalc.bath.etch import CAUSTIC, TEMPERATURE
from areacalc.bath.film import RULES, WAYS
from areacalc.bath.fits import KINDS
from areacalc.bath.heat import Agitation
from areacalc.bath.seal import SEALS, UNSEALED
from areacalc.plant.strands import RackKind
from areacalc.quantity import MOST_COUNT, Dimension
from areacalc.sources import Kind, Source, Valid

_LIQUID = Valid(0.0, 100.0, "C", Source(Kind.DERIVED, "a seal bath is water, liquid from 0 to 100 C at sea level"))
BLANK = "?"
"""What stands in a new file where a person has to fill something in."""


class Holds(StrEnum):
    """What a key holds where it is not a quantity with a unit."""

    TEXT = "text"
    WORDS = "a text or a list of texts"
    COUNT = "a whole number"
    NUMBER = "a number"


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its name, what it holds, an example as it stands in the file, and what it is for.

    least is the smallest value allowed in the canonical unit; with `above` it must be more than that.
    most is the largest of a number with no unit; that of a quantity is what is the largest of its kind.
    written: the new file has it without a comment sign before it; usual: with one, even if it is short.
    within: the range that is known, where one is.
    sweeps: what a key of words is swept as. measured: only the person can know it, so the new file leaves it blank.
    label: what the page calls it, if not by its name.
    """

    name: str
    holds: Dimension | Holds
    example: str
    help: str
    needed: bool = False
    written: bool = False
    usual: bool = False
    least: float = 0.0
    above: bool = False
    among: tuple[str, ...] = ()
    within: Valid | None = None
    measured: bool = False
    most: float = float(MOST_COUNT)
    sweeps: Dimension | None = None
    label: str = ""

    @property
    def called(self) -> str:
        """What the page calls it."""
        return self.label or self.name.replace("_", " ")


_OF_CODE: dict[tuple[str, str], dict[str, Any]] = {
    ("part.fit", "kind"): {"among": KINDS, "help": f"{', '.join(KINDS)}; of a thread the pitch diameter"},
    ("bath", "agitation"): {"among": Agitation},
    ("bath", "temperature"): {"within": BATH_TEMPERATURE},
    ("bath", "measured_temperature"): {"within": BATH_TEMPERATURE},
    ("rack", "kind"): {"among": RackKind},
    ("finish", "density"): {"sweeps": Dimension.CURRENT_DENSITY},
    ("finish", "etch_caustic"): {"within": CAUSTIC},
    ("finish", "etch_temperature"): {"within": TEMPERATURE},
    ("finish", "seal"): {"among": (*SEALS, UNSEALED)},
    ("finish", "seal_temperature"): {"within": _LIQUID},
    ("finish", "rule"): {"among": RULES},
    ("finish", "growth"): {"among": WAYS},
}
"""What the code knows of a key: names that exist, and ranges that hold."""


def _key(table: str, name: str, told: dict[str, Any]) -> Key:
    kinds = {**Dimension.__members__, **Holds.__members__}
    told = {**told, "holds": kinds[told["holds"].upper()], **_OF_CODE.get((table, name), {})}
    return Key(**{**told, "name": name, "among": tuple(told.get("among", ()))})


_TOLD = tomllib.loads((files("areacalc.load") / "keys.toml").read_text("utf-8"))
TABLE_HELP: dict[str, str] = {name: table["help"] for name, table in _TOLD.items()}
TABLES: dict[str, tuple[Key, ...]] = {
    name: tuple(_key(name, key, told) for key, told in table["keys"].items()) for name, table in _TOLD.items()
}
PART, FIT = TABLES.pop("part"), TABLES.pop("part.fit")
NEEDED_TABLES = ("bath", "tank")
MEANT = {"colour": "dye", "color": "dye", "strength": "acid", "amps": "current", "volts": "voltage"}
"""Keys that people write, and the key that they mean."""


_HEAD = f"""\
# A load for areacalc: what hangs in the bath, the bath, the tank and the power supply.
# Write sizes in quotes, with their unit: "9 in2", "1/2 in", "180 g/L", "68 F", "0.16 A/in2".
# Replace every "{BLANK}" with what you measure. Paths of part files start at the folder of this file.
# Lines that start with # are not used; remove the # to use one. Next: areacalc plan THIS-FILE
"""
_SAY_NO_UNIT = (".stl", ".obj", ".ply", ".off")
_OPTIONAL = ("cathodes", "rack", "split_tube", "meters")
_MORE = "# More keys (rack, fits, meters ...): areacalc init --full\n"


def new_load(
    name: str = "first load",
    files: Sequence[str] = (),
    unit: str | None = None,
    examples: bool = False,
    full: bool = False,
) -> str:
    """The text of a new load file, with a part table for each of the files and the usual keys, or with `full` all.

    What only a person can measure stands as a blank that `plan` asks for; with `examples` every key has its example.
    unit: what the numbers of files that say no unit are in.

    >>> new_load("desk set", ["pen_body.toml"]).splitlines()[5]
    'name = "desk set"'
    """
    blocks = [_HEAD, f"name = {_quoted(name)}\n"]
    for file in files or ("",):
        keys = list(PART) if examples and not file else [_of_part(key, file, unit) for key in PART]
        blocks.append(_table("[[part]]", TABLE_HELP["part"], _told(keys, full)))
    if full:
        blocks.append(_table("[[part.fit]]", TABLE_HELP["part.fit"], FIT, commented=True))
    for table, held in TABLES.items():
        shown = _told(held if examples else [_blank(key) for key in held], full)
        if full or table not in _OPTIONAL[1:]:
            blocks.append(_table(f"[{table}]", TABLE_HELP[table], shown, commented=table in _OPTIONAL and not examples))
    return "\n".join(blocks if full else [*blocks, _MORE])


def _told(keys: Sequence[Key], full: bool) -> list[Key]:
    return [key for key in keys if full or key.written or key.usual]


def _of_part(key: Key, file: str, unit: str | None) -> Key:
    if key.name == "file":
        return replace(key, example=_quoted(file or BLANK))
    if key.name == "name" and file:
        return replace(key, example=_quoted(PurePath(file).stem.replace("-", " ").replace("_", " ")), written=True)
    if key.name == "count":
        return replace(key, example="1")
    if key.name == "unit" and file.lower().endswith(_SAY_NO_UNIT):
        return replace(key, example=_quoted(unit or BLANK), written=True)
    return key


def _blank(key: Key) -> Key:
    if not key.measured:
        return key
    return replace(key, example=_quoted(BLANK), help=f"such as {key.example}: {key.help}")


def _table(head: str, help: str, keys: Sequence[Key], commented: bool = False) -> str:
    rows = [(f"{'' if key.written and not commented else '# '}{key.name} = {key.example}", key) for key in keys]
    width = max(len(row) for row, _ in rows)
    lines = [f"{row:{width}}  # {key.help}" for row, key in rows]
    return "\n".join([f"# {help}", f"# {head}" if commented else head, *lines]) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in escaped) + '"'
