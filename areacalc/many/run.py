"""A run over many files: what is known stays, the rest is measured, and every row is kept as it comes."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from areacalc.many.asked import Asked, digest, stamp
from areacalc.many.kept import Kept
from areacalc.many.record import Record

Jobs = Iterable[tuple[Path, str]]
RowsMade = Callable[[Jobs, Asked], Iterator[tuple[Path, str, Record]]]
"""Who measures: jobs of path and digest in, rows out as they are done (`Crew.records`, `Cluster.records`)."""


def bring_up_to_date(
    paths: Sequence[Path], asked: Asked, kept: Kept, measured: RowsMade, done: Callable[[bool], object]
) -> None:
    """Measure every file whose row is not there or no longer holds.

    A row of a file that changed meanwhile, or that could not be measured but may be another time, holds for nothing.

    done is called once a file; with True where its row was there already.
    """
    mark = asked.mark
    before: dict[Path, object] = {}

    def jobs() -> Jobs:
        for path in paths:
            before[path] = stamp(path)
            content = digest(path)
            if content and kept.has(path, content, mark):
                del before[path]
                done(True)
            else:
                yield path, content

    for path, content, record in measured(jobs(), asked):
        changed = before.pop(path) != stamp(path)
        passing = record.pop("passing", False)
        kept.put(path, "" if changed or passing else content, mark, record)
        done(False)
