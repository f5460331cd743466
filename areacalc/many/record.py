"""One row of the table: everything that the single answer has, or the one line that says what is wrong."""

from pathlib import Path
from typing import Any

from areacalc.errors import AreacalcError, Passing
from areacalc.many.asked import Asked
from areacalc.part.part import open_part, with_those_that_fit
from areacalc.report.documents import Interval, PartDocument, part_document
from areacalc.shape.fence import keep_one_fence

Record = dict[str, Any]
"""A row by its columns: text, numbers, truth values, and lists of documents for LISTS."""

_BORES = ("through-bore", "blind-bore")
_PART = ("path", "problem", "name", "source", "count", "unit", "unit_how", "size_x_mm", "size_y_mm", "size_z_mm",
         "triangles", "bodies", "closed", "total_area_mm2", "facet_area_mm2", "wetted_area_mm2",
         "wetted_area_low_mm2", "wetted_area_high_mm2", "bores", "warnings")  # fmt: skip
_HUNG = ("airlocked_area_mm2", "airlocked_area_low_mm2", "airlocked_area_high_mm2", "above_line_area_mm2",
         "above_line_area_low_mm2", "above_line_area_high_mm2", "trapped_air_mm3", "trapped_air_low_mm3",
         "trapped_air_high_mm3", "carried_out_mm3", "up", "pockets", "cups", "narrow")  # fmt: skip
LISTS = ("up", "pockets", "cups", "narrow", "features", "notes")
TEXTS = ("path", "problem", "name", "source", "unit", "unit_how", "warnings", "digest")
COUNTS = ("count", "triangles", "bodies", "bores")
TRUTHS = ("closed",)


def columns(asked: Asked) -> tuple[str, ...]:
    """The columns of the table, in their order; the same for every row of a run."""
    return (*_PART, *(_HUNG if asked.up is not None else ()), "features", "notes", "digest")


def measure(path: Path, asked: Asked) -> Record:
    """The row of one file, read and measured in this process, whose readers share one fence."""
    keep_one_fence()
    try:
        part = open_part(path, asked.unit, asked.choices, asked.as_drawn)
        said = asked.said
        part = with_those_that_fit(part, said)
        part = part.with_choices(wet_only=said.wet_only, contact=said.contact, add=said.add)
        if asked.up is not None:
            part = part.hung(asked.up, asked.line, asked.by)
        return _record(part_document(part, part.wetted(), 1))
    except AreacalcError as refused:
        return refused_record(refused)


def refused_record(refused: AreacalcError) -> Record:
    """The row of a file that cannot be measured; passing: that it may be another time, which no table shows."""
    return {"problem": str(refused), "passing": isinstance(refused, Passing)}


def _record(part: PartDocument) -> Record:
    given: dict[str, Any] = dict(part)
    unit, size = given.pop("unit"), given.pop("size_mm")
    record: Record = {"problem": "", "unit": unit["name"], "unit_how": unit["how"]}
    record |= {f"size_{axis}_mm": length for axis, length in zip("xyz", size, strict=True)}
    record["bores"] = sum(feature["kind"] in _BORES for feature in part["features"])
    record["warnings"] = "; ".join(note["text"] for note in part["notes"] if note["warns"])
    for name, value in given.items():
        is_interval = isinstance(value, dict) and value.keys() == Interval.__annotations__.keys()
        record |= _ends(name, value) if is_interval else {name: value}
    return record


def _ends(name: str, value: Interval) -> Record:
    """An interval as three columns, the unit last: wetted_area_mm2, wetted_area_low_mm2, wetted_area_high_mm2."""
    stem, _, unit = name.rpartition("_")
    return {name: value["value"], f"{stem}_low_{unit}": value["low"], f"{stem}_high_{unit}": value["high"]}
