"""The bench as a load file, and a load file's tables for the bench: the same TOML that the command line reads."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any

from .bench import Bench, BenchPart

_PART_KEYS = ("unit", "plug", "mask", "wet_only", "contact", "declare", "up", "liquid_line", "alloy")


def load_text(bench: Bench, file_of: Callable[[BenchPart], str] = lambda part: part.file) -> str:
    """The load in TOML; part files are called by file_of (their stored names, unless told otherwise)."""
    settings = bench.settings
    lines = [f"name = {_value(settings.name)}"]
    for part in bench.parts:
        lines += ["", "[[part]]", f"name = {_value(part.name)}", f"file = {_value(file_of(part))}"]
        lines.append(f"count = {part.count}")
        for key in _PART_KEYS:
            value = part.choices.get(key) if key in part.choices else getattr(part, key, None)
            if value:
                lines.append(f"{key} = {_value(value)}")
    tables = {name: dict(table) for name, table in settings.tables.items()}
    tables["finish"] = {"density": settings.density} | tables.get("finish", {})
    for name, table in tables.items():
        lines += ["", f"[{name}]", *(f"{key} = {_value(value)}" for key, value in table.items())]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    """A TOML value: a JSON text of plain characters is a TOML basic string."""
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, Iterable):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return json.dumps(value)
