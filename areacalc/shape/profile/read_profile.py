"""Lathe profiles from files: TOML, two-column CSV, DXF."""

from __future__ import annotations

import csv
import re
import tomllib
from dataclasses import replace
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.kinds import Note, UnitBasis, UnitHow
from areacalc.shape.profile.profile import Profile
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.sketch import Sketch
from areacalc.shape.profile.turn import profile_of
from areacalc.shape.small_text import toml_table
from areacalc.shape.toml_kind import PROFILE, refuse_others


def read(path: Path, unit: Unit | None = None) -> Body:
    """The profile in a file, turned into a Body. Raises BadInput."""
    return revolve(read_profile(path, unit))


def read_profile(path: Path, unit: Unit | None = None) -> Profile:
    """The profile in a TOML, CSV or DXF file; the unit given wins over the file's. Raises BadInput."""
    kind = path.suffix.lower()
    if kind == ".dxf":
        from areacalc.shape.profile.read_dxf import read_dxf

        return read_dxf(path, unit)
    return _in_unit(_toml(path) if kind == ".toml" else _csv(path), path.name, unit)


def _text(path: Path) -> str:
    try:
        return path.read_text("utf-8-sig")
    except UnicodeDecodeError as mistake:
        raise BadInput(f"{path.name}, byte {mistake.start}", "is not UTF-8 text", "save it as UTF-8") from None


def _toml(path: Path) -> Sketch:
    try:
        table = toml_table(_text(path), path.name)
    except tomllib.TOMLDecodeError as mistake:
        raise BadInput(
            path.name, f"is not TOML: {mistake}", 'write lines such as outside = ["0 12", "40 12"]'
        ) from None
    refuse_others(table, PROFILE, path.name)
    return Sketch.from_dict({"name": path.stem, **table}, path.name)


def _in_unit(sketch: Sketch, source: str, unit: Unit | None) -> Profile:
    if unit is None:
        return profile_of(sketch, source)
    profile = profile_of(replace(sketch, unit=unit.name), source)
    given = UnitBasis(unit.name, UnitHow.GIVEN, unit.mm)
    notes = profile.notes
    if sketch.unit_is_declared and sketch.unit != unit.name:
        text = f"{source} declares {sketch.unit}; {unit.name} taken, as you said"
        notes = (*notes, Note("unit-overruled", text, warns=True))
    return replace(profile, unit=given, notes=notes)


_HEAD = re.compile(r"(?:x|z|position|length)\b.*?(?P<measure>dia(?:meter)?|d|ø|radius|r)\b", re.I)
_HEAD_UNIT = re.compile(rf"[\[(/ ]({'|'.join(LENGTH_UNITS)})\b", re.I)


def _csv(path: Path) -> Sketch:
    """Position and diameter in two columns; a heading may say radius and the unit, as in `x [in], radius [in]`."""
    text = _text(path)
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    if not lines:
        raise BadInput(path.name, "holds no points", "write position and diameter, one point a line")
    mark = ";" if ";" in lines[0] else "\t" if "\t" in lines[0] else ","
    measure, unit, declared = "diameter", "mm", False
    first = next(csv.reader([lines[0]], delimiter=mark))
    if not re.match(r"\s*[-+.,\d]", first[0] or ""):
        head = _HEAD.search(lines[0])
        measure = "radius" if head and head["measure"].lower().startswith("r") else "diameter"
        named = _HEAD_UNIT.search(lines[0])
        unit, declared = (named[1].lower(), True) if named else (unit, False)
    points = []
    for number, line in enumerate(text.splitlines(), 1):
        cells = [c.strip() for c in next(csv.reader([line], delimiter=mark), [])]
        if (
            not any(cells)
            or line.lstrip().startswith("#")
            or (line == lines[0] and not re.match(r"[-+.,\d]", cells[0]))
        ):
            continue
        if len(cells) < 2 or not all(re.match(r"[-+.\d,/]+\S*$", c) for c in cells[:2]):
            raise BadInput(
                f"{path.name}, line {number}", f"'{line.strip()}' is no point", "write position and diameter"
            )
        points.append(" ".join(c for c in cells if c))
    return Sketch(tuple(points), (), unit, measure, path.stem, declared)
