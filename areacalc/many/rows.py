"""Rows of many files in memory: a list of records that shows as a table and becomes a data frame."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from areacalc.cell import html_table
from areacalc.digits import counted, five
from areacalc.errors import BadInput
from areacalc.many.asked import Asked
from areacalc.many.crew import Crew
from areacalc.many.kept import Kept, bring_up_to_date
from areacalc.many.part_files import part_files
from areacalc.many.record import Record, columns

if TYPE_CHECKING:
    import pandas

_SHOWN = 20  # rows in a notebook


class Rows(list[Record]):
    """Records by their columns, in the order of the files; each has all columns."""

    def frame(self) -> pandas.DataFrame:
        """The rows as a pandas data frame. Raises BadInput where pandas is not installed."""
        try:
            import pandas
        except ImportError:
            raise BadInput("frame", "a data frame needs pandas", "pip install 'areacalc[table]'") from None
        return pandas.DataFrame.from_records(list(self))

    def __repr__(self) -> str:
        refused = sum(bool(record["problem"]) for record in self)
        return f"<Rows: {counted(len(self), 'part')}, {refused} of them not measured>"

    def _repr_html_(self) -> str:
        rows = [(record["path"], *map(_cell, (record["wetted_area_mm2"], record["bores"])), record["problem"])
                for record in self[:_SHOWN]]  # fmt: skip
        more = f", the first {_SHOWN}" if len(self) > _SHOWN else ""
        return html_table(repr(self)[1:-1] + more, ("path", "wetted area [mm2]", "bores", "problem"), rows)


def rows_of(
    given: Iterable[str | os.PathLike[str]], asked: Asked, jobs: int | None = None,
    keep: str | os.PathLike[str] | None = None,
) -> Rows:  # fmt: skip
    """The rows of all files meant, measured `jobs` at once; kept in the file `keep`, where one is named."""
    paths = list(dict.fromkeys(part_files(given)))
    with Kept(Path(":memory:" if keep is None else keep)) as kept:
        with Crew(crew_size(jobs, len(paths))) as crew:
            bring_up_to_date(paths, asked, kept, crew.records, lambda was_there: None)
        every: Record = dict.fromkeys(columns(asked))
        return Rows({**every, **kept.record(path), "count": 1} for path in paths)


def crew_size(jobs: int | None, files: int) -> int:
    """How many workers: as asked or one a processor, and no more than files. Raises BadInput."""
    if jobs is not None and jobs < 1:
        raise BadInput("jobs", f"{jobs} is not a whole number from 1", "give how many files to measure at once")
    return max(1, min(jobs or os.cpu_count() or 1, files))


def _cell(value: float | None) -> str:
    return "" if value is None else five(value)
