"""Every table and key of the load file, written once in keys.toml: reader, messages and the new file read them."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
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
    written: the new file has it without a comment sign before it. within: the range that is known, where one is.
    sweeps: what a key of words is swept as. measured: only the person can know it, so the new file leaves it blank.
    """

    name: str
    holds: Dimension | Holds
    example: str
    help: str
    needed: bool = False
    written: bool = False
    least: float = 0.0
    above: bool = False
    among: tuple[str, ...] = ()
    within: Valid | None = None
    measured: bool = False
    most: float = float(MOST_COUNT)
    sweeps: Dimension | None = None


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
