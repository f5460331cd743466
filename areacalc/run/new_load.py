"""A new load file with every key in it, commented, for a person to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from areacalc.run.load_keys import FIT, PART, TABLE_HELP, TABLES, Key

_HEAD = """\
# A load for areacalc: what hangs in the bath, the bath itself, the tank and the supply.
# Sizes are texts with their unit, as you would write them: "6 in2", "1/2 in", "180 g/L", "68 F", "0.16 A/in2".
# A line that starts with # is left out; take the sign away to use it. Then: areacalc plan THIS-FILE
"""


def new_load(name: str = "first load", files: Sequence[str] = ()) -> str:
    """The text of a new load file, with a part table for each of the files.

    >>> new_load("desk set", ["pen_body.toml"]).splitlines()[4]
    'name = "desk set"'
    """
    blocks = [_HEAD, f"name = {_quoted(name)}\n"]
    for file in files or ("",):
        keys = [replace(k, example=_quoted(file)) if k.name == "file" and file else k for k in PART]
        blocks.append(_table("[[part]]", TABLE_HELP["part"], keys))
    blocks.append(_table("[[part.fit]]", TABLE_HELP["part.fit"], FIT, commented=True))
    blocks += [_table(f"[{name}]", TABLE_HELP[name], keys) for name, keys in TABLES.items()]
    return "\n".join(blocks)


def _table(head: str, help: str, keys: Sequence[Key], commented: bool = False) -> str:
    rows = [(f"{'' if key.written and not commented else '# '}{key.name} = {key.example}", key) for key in keys]
    width = max(len(row) for row, _ in rows)
    lines = [f"{row:{width}}  # {key.help}" for row, key in rows]
    return "\n".join([f"# {help}", f"# {head}" if commented else head, *lines]) + "\n"


def _quoted(text: str) -> str:
    """A TOML basic string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in escaped) + '"'
