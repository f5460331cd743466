"""The wetted area of a load: every part opened, its choices laid on it, its area with bounds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from areacalc.errors import AreacalcError, BadInput
from areacalc.estimate import total
from areacalc.figure import Figure, given, worked
from areacalc.run.load import Load, PartLine
from areacalc.run.load_file import BadLoad, Mistake
from areacalc.run.part import Part, open_part
from areacalc.shape.body import Note
from areacalc.sources import Kind, Source
from areacalc.surface.wetted import Row

Shelf = dict[tuple[str, str | None], Part]
"""Parts that are open already, by path and unit: a sweep opens each but once."""

_SUM = Source(Kind.DERIVED, "the areas of all parts added up, their bounds as well, since one cause may widen them all")
_COUNT = Source(Kind.DERIVED, "number of parts times the area of one")


@dataclass(frozen=True, slots=True)
class PartArea:
    """One kind of part of the load: the area of one and of all [mm2]; size_mm is known where there is a file."""

    line: PartLine
    each: Figure
    all: Figure
    size_mm: tuple[float, float, float] | None = None
    notes: tuple[Note, ...] = ()
    rows: tuple[Row, ...] = ()


def part_areas(load: Load, shelf: Shelf | None = None) -> tuple[PartArea, ...]:
    """Each part's area. Raises BadLoad with every part that cannot be opened or whose choices do not fit it."""
    kept: Shelf = {} if shelf is None else shelf
    made, mistakes = [], []
    for number, line in enumerate(load.parts):
        try:
            made.append(_part_area(load, line, kept))
        except AreacalcError as bad:
            key = "area" if line.file is None else _key_of(bad)
            at = load.lines.get(("part", number, key), load.lines.get(("part", number, "file"), line.line))
            mistakes.append(Mistake(at, f"[[part]] {number + 1} {key}", f"{bad.where}: {bad.what}", bad.remedy))
    if mistakes:
        raise BadLoad(load.source or load.name, tuple(mistakes))
    return tuple(made)


def whole_area(parts: tuple[PartArea, ...]) -> Figure:
    """The wetted area of the load [mm2]."""
    return Figure("wetted area of the load", total(p.all.estimate for p in parts), "mm2", "sum over the parts", _SUM,
                  tuple(p.all for p in parts))  # fmt: skip


def _part_area(load: Load, line: PartLine, shelf: Shelf) -> PartArea:
    if line.file is None:
        assert line.area_mm2 is not None
        each = given(f"area of one {line.name}", line.area_mm2, "mm2")
        return PartArea(line, each, _times(line, each))
    path = Path(load.folder) / line.file
    key = (str(path), line.unit)
    if key not in shelf:
        shelf[key] = open_part(path, line.unit)
    part = shelf[key]
    if line.plug or line.mask or line.wet_only or line.contact or line.declare:
        part = part.with_choices(line.plug, line.mask, line.wet_only, line.contact, line.declare)
    else:
        _ = part.skin  # found once, kept on the shelf
    wetted = part.wetted()
    if wetted.value.value <= 0.0:
        raise BadInput(line.name, "nothing of it is wet", "take a mask or plug away")
    words = "; ".join(filter(None, (f"wet skin of {line.file}", wetted.value.because)))
    each = given(f"area of one {line.name}", wetted.value, "mm2", Source(Kind.DERIVED, words))
    x, y, z = part.body.size_mm
    return PartArea(line, each, _times(line, each), (float(x), float(y), float(z)), wetted.notes, wetted.rows)


def _times(line: PartLine, each: Figure) -> Figure:
    number = given(f"count of {line.name}", float(line.count), "")
    return worked(f"area of all {line.name}", "mm2", "count x area", _COUNT, lambda n, a: n * a, number, each)


def _key_of(bad: AreacalcError) -> str:
    """The key of a part that an error is about, by the option it names."""
    for option in ("plug", "mask", "wet-only", "contact", "declare", "unit"):
        if f"--{option}" in bad.where:
            return option.replace("-", "_")
    return "file"
