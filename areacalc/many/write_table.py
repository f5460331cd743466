"""The table on the disk: CSV, JSON lines, or Parquet, by the ending of its name."""

import csv
import io
import itertools
import json
from collections.abc import Iterable, Sequence
from typing import Any, BinaryIO

from areacalc.cell import quoted
from areacalc.errors import BadInput, Field
from areacalc.many.record import COUNTS, LISTS, TEXTS, TRUTHS, Record

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
