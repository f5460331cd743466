"""Which of the three TOML files a person writes this one is, so that the wrong one is told where it belongs."""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput

PROFILE, LOAD, CHOICES = "a lathe profile", "a load file", "a file of choices"
_CHOICES = {"plug", "mask", "wet-only", "contact", "add", "fill"}
_BELONGS = {
    PROFILE: "areacalc area {0} measures it, and areacalc init new-load.toml {0} starts a load with it",
    LOAD: "areacalc plan {0} works out the load, and areacalc tank {0} a tank for it; here give its part files",
    CHOICES: "give it beside a part, as in areacalc area PART --choices {0}",
}


def table_of(path: Path) -> dict[str, Any]:
    """The table of a TOML file; an empty one where it is not sound, which its reader refuses with the line."""
    try:
        return tomllib.loads(path.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}


def kind_of_table(table: Mapping[str, object]) -> str | None:
    """PROFILE, LOAD, CHOICES, or None where the keys do not tell.

    >>> kind_of_table({"outside": ["0 12", "40 12"]}), kind_of_table({"plug": ["bore-1"]}), kind_of_table({})
    ('a lathe profile', 'a file of choices', None)
    """
    if "outside" in table:
        return PROFILE
    if "part" in table or {"bath", "tank"} <= set(table):
        return LOAD
    return CHOICES if table and set(table) <= _CHOICES else None


def refuse_others(table: Mapping[str, object], wanted: str, name: str) -> None:
    """Raise BadInput where the table is plainly another kind of file than the one wanted."""
    kind = kind_of_table(table)
    if kind is not None and kind != wanted:
        raise BadInput(name, f"is {kind}, not {wanted}", _BELONGS[kind].format(name))
