"""One row of the table: all that the single answer has, or what is wrong; and the table on the disk."""

import csv
import io
import itertools
import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, BinaryIO

from areacalc.cell import quoted
from areacalc.errors import AreacalcError, BadInput, Field, Passing
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
        part = with_those_that_fit(open_part(path, asked.unit, asked.choices, asked.as_drawn), asked.said)
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


ENDINGS = (".csv", ".jsonl", ".parquet")
_AT_ONCE = 10_000  # rows of Parquet


def check_ending(ending: str) -> None:
    """Raise BadInput where this ending needs a library that is not installed."""
    if ending == ".parquet":
        try:
            import pyarrow  # noqa: F401
        except ImportError:
            raise BadInput(
                Field.TABLE, "Parquet needs pyarrow", "pip install 'areacalc[table]', or write .csv"
            ) from None


def write_table(file: BinaryIO, ending: str, names: Sequence[str], records: Iterable[Record]) -> None:
    """Write all records, in their order, each with the columns named."""
    {".csv": _csv, ".jsonl": _json_lines, ".parquet": _parquet}[ending](file, names, records)


def _csv(file: BinaryIO, names: Sequence[str], records: Iterable[Record]) -> None:
    text = io.TextIOWrapper(file, "utf-8", newline="", write_through=True)
    rows = csv.writer(text)  # lines end as RFC 4180 has them; a name with a return in it is quoted then
    rows.writerow(names)
    rows.writerows(map(quoted, _cells(names, record)) for record in records)
    text.detach()


def _json_lines(file: BinaryIO, names: Sequence[str], records: Iterable[Record]) -> None:
    for record in records:
        row = {name: record.get(name) for name in names}
        file.write(json.dumps(row, ensure_ascii=False).encode("utf-8", "replace") + b"\n")


def _parquet(file: BinaryIO, names: Sequence[str], records: Iterable[Record]) -> None:
    import pyarrow as pa
    from pyarrow import parquet

    kinds = {**dict.fromkeys((*TEXTS, *LISTS), pa.string()), **dict.fromkeys(COUNTS, pa.int64()),
             **dict.fromkeys(TRUTHS, pa.bool_())}  # fmt: skip
    schema = pa.schema([(name, kinds.get(name, pa.float64())) for name in names])
    waiting = iter(records)
    with parquet.ParquetWriter(file, schema) as table:
        while some := list(itertools.islice(waiting, _AT_ONCE)):
            columns = zip(*(_cells(names, record) for record in some), strict=True)
            table.write_table(pa.table([list(column) for column in columns], schema=schema))


def _cells(names: Sequence[str], record: Record) -> list[Any]:
    """A record as plain cells: what is a list stands as JSON."""
    return [
        json.dumps(value, ensure_ascii=False) if name in LISTS and value is not None else value
        for name in names
        for value in [record.get(name)]
    ]
