"""A text that a person wrote: read to a limit, whatever stands behind the name, and its TOML: which of the three files
that a person writes it is, so that the wrong one is told where it belongs."""

import re
import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput

MOST_BYTES = 1_000_000
_QUOTED = re.compile(r"\"(?:[^\"\\\n]|\\.)*+\"|'[^'\n]*+'")
_LONG_KEY = re.compile(r"(?<![\w.-])(?:[\w-]++[ \t]*+\.[ \t]*+){33}")  # tomllib takes the square of its parts


def small_text(path: Path, wanted: str) -> str:
    """The text of a file or a pipe. Raises BadInput: a device, too large for `wanted`; OSError; UnicodeDecodeError."""
    mode = path.stat().st_mode
    if stat.S_ISCHR(mode) or stat.S_ISBLK(mode):
        raise BadInput(str(path), f"is a device, not {wanted}", "name a file")
    with path.open("rb") as file:
        content = file.read(MOST_BYTES + 1)  # a pipe does not say its size, and may have no end
    if len(content) > MOST_BYTES:
        raise BadInput(path.name, f"is too large for {wanted}", "name another file")
    return content.decode("utf-8-sig")


def toml_table(text: str, where: str) -> dict[str, object]:
    """The table of a TOML text. Raises tomllib.TOMLDecodeError; BadInput for what Python itself will not take."""
    if _LONG_KEY.search(_QUOTED.sub("q", text)):
        raise BadInput(where, "has a key of more than 32 parts with points between", "write it flat")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadInput(where, "has lists or tables too deep in one another", "write it flat") from None
    except tomllib.TOMLDecodeError:
        raise
    except ValueError:
        raise BadInput(where, "holds a whole number with too many figures", "write a smaller one") from None


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
