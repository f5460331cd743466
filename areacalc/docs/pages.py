"""Pages of the documentation that are written from the code: commands, keys of the load file, constants, formulas."""

from __future__ import annotations

import importlib
import pkgutil
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

from areacalc.load.keys import TABLE_HELP, TABLES, Holds, Key
from areacalc.sources import Constant

ROOMS = ("bath", "plant", "throw", "surface.air")
"""The rooms whose formulas are told."""


def behind(page: str) -> str:
    """What stands behind the heading of a page, in Markdown; nothing where the page is written by hand."""
    made = {"commands": commands, "keys": keys, "constants": constants, "formulas": formulas}
    return made[page]() if page in made else ""


def commands() -> str:
    """Every command with its options, as typer tells them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "commands.md"
        typer = [sys.executable, "-m", "typer", "areacalc_cli.main", "utils", "docs", "--name", "areacalc"]
        subprocess.run([*typer, "--output", str(path)], check=True, capture_output=True)
        told = path.read_text("utf-8")
    return re.sub(r"^#+(.*)`areacalc (.*)`", r"##\1`areacalc \2`", told.partition("\n")[2], flags=re.M)


def keys() -> str:
    """Every table of the load file, a row a key."""
    return "".join(_table(name, TABLES[name]) for name in TABLES)


def _table(name: str, rows: tuple[Key, ...]) -> str:
    lines = "".join(f"| `{key.name}` | {_holds(key)} | `{key.example}` | {_cell(key.help)} |\n" for key in rows)
    head = "| key | holds | example | what it is |\n|---|---|---|---|\n"
    return f"\n\n## `[{name}]`\n\n{TABLE_HELP.get(name, '')}\n\n{head}{lines}"


def _holds(key: Key) -> str:
    kind = key.holds.value if isinstance(key.holds, Holds) else key.holds.name.lower().replace("_", " ")
    among = ": " + ", ".join(key.among) if key.among else ""
    return kind + among + (", needed" if key.needed else "")


def constants() -> str:
    """Every constant, by module, with its unit, its range where sources disagree, and its source."""
    return "".join(_told(module, found) for module in _modules() if (found := _constants(module)))


def _told(module: ModuleType, found: dict[str, Constant]) -> str:
    rows = ""
    for name, each in found.items():
        ends = "" if each.low == each.high else f"{each.low:g} to {each.high:g}"
        rows += f"| `{name}` | {each.value:g} {each.unit} | {ends} | {_cell(str(each.source))} |\n"
    return f"\n\n## {module.__name__}\n\n| name | value | range | source |\n|---|---|---|---|\n{rows}"


def _constants(module: ModuleType) -> dict[str, Constant]:
    text = Path(module.__file__ or "").read_text("utf-8")
    found = {name: each for name, each in vars(module).items() if isinstance(each, Constant)}
    return {name: each for name, each in found.items() if re.search(rf"^{name}\b.*=", text, re.M)}


def _modules() -> Iterator[ModuleType]:
    for room in ROOMS:
        package = importlib.import_module(f"areacalc.{room}")
        for name in sorted(each.name for each in pkgutil.iter_modules(package.__path__)):
            if not name.endswith("_loops"):
                yield importlib.import_module(f"areacalc.{room}.{name}")


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def formulas() -> str:
    """Every module of the rooms that reckon, with its functions as their docstrings tell them."""
    return "".join(
        f"\n\n## {module.__name__}\n\n```{{eval-rst}}\n.. automodule:: {module.__name__}\n   :members:\n```"
        for module in _modules()
    )
