"""A new load file with every key in it, commented, for a person to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath

from areacalc.load.keys import BLANK, FIT, PART, TABLE_HELP, TABLES, Key

_HEAD = f"""\
# A load for areacalc: what hangs in the bath, the bath, the tank and the power supply.
# Write sizes in quotes, with their unit: "9 in2", "1/2 in", "180 g/L", "68 F", "0.16 A/in2".
# Replace every "{BLANK}" with what you measure. Paths of part files start at the folder of this file.
# Lines that start with # are not used; remove the # to use one. Next: areacalc plan THIS-FILE
"""
_SAY_NO_UNIT = (".stl", ".obj", ".ply", ".off")
_OPTIONAL = ("cathodes", "rack", "split_tube", "meters")


def new_load(
    name: str = "first load", files: Sequence[str] = (), unit: str | None = None, examples: bool = False
) -> str:
    """The text of a new load file, with a part table for each of the files.

    What only a person can measure stands as a blank that `plan` asks for; with `examples` every key has its example.
    unit: what the numbers of files that say no unit are in.

    >>> new_load("desk set", ["pen_body.toml"]).splitlines()[5]
    'name = "desk set"'
    """
    blocks = [_HEAD, f"name = {_quoted(name)}\n"]
    for file in files or ("",):
        keys = list(PART) if examples and not file else [_of_part(key, file, unit) for key in PART]
        blocks.append(_table("[[part]]", TABLE_HELP["part"], keys))
    blocks.append(_table("[[part.fit]]", TABLE_HELP["part.fit"], FIT, commented=True))
    for table, held in TABLES.items():
        shown = held if examples else [_blank(key) for key in held]
        blocks.append(_table(f"[{table}]", TABLE_HELP[table], shown, commented=table in _OPTIONAL and not examples))
    return "\n".join(blocks)


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
