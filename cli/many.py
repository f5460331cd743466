"""`areacalc area ... --out TABLE`: many files, a row each, in one table."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

from areacalc.many.asked import Asked
from areacalc.many.crew import Cluster, Crew
from areacalc.many.kept import SUFFIX, Kept, bring_up_to_date
from areacalc.many.record import ENDINGS, Record, check_ending, columns, write_table
from areacalc.many.rows import crew_size
from areacalc.surface.choice import read_choices

from . import show as out
from .options import refuse
from .part_options import HangOptions, PartOptions, TableOptions
from .write import DONE, target, write

_TOLD = 5  # files that could not be measured, named on the screen


def make_table(
    files: Sequence[Path], numbers: Sequence[int], of: PartOptions, hangs: HangOptions, many: TableOptions
) -> None:
    """Measure the files and write the table; exit code 2 where one of them could not be measured."""
    assert many.table is not None
    name = many.table
    choices = read_choices(of.choices) if of.choices is not None else None
    asked = Asked(of.unit_said, of.as_drawn, of.said(), choices, hangs.up, hangs.liquid_line, hangs.by())
    ending = target(name, "--out", ENDINGS, many.force)
    check_ending(ending)
    refused: list[str] = []
    warned: list[str] = []
    with _workers(many, len(files)) as crew, Kept(Path(f"{name}{SUFFIX}")) as kept:
        known = _brought_up_to_date(files, asked, kept, crew)

        def put(file: BinaryIO) -> None:
            write_table(file, ending, columns(asked), _records(files, numbers, kept, refused, warned))

        write(name, put, many.force)
    measured = len(files) - known
    read = out.counted(measured, "file")
    out.say(f"{out.counted(len(files) - len(refused), 'part')} in {name} ({read} read, {known} unchanged)")
    if warned:
        some = ", ".join(warned[:_TOLD]) + (" ..." if len(warned) > _TOLD else "")
        out.say(f"{out.counted(len(warned), 'part')} with a warning ({some}): see the column 'warnings'")
    for line in refused[:_TOLD]:
        out.say(f"not measured: {line}")
    if len(refused) > _TOLD:
        out.say(f"and {len(refused) - _TOLD} more; the column 'problem' says why")
    if refused:
        raise typer.Exit(2)


def _workers(many: TableOptions, files: int) -> Crew | Cluster:
    """Who measures: workers on this machine, or those of a cluster. Raises BadInput."""
    if many.cluster is None:
        refuse({"--send": many.send or None}, "needs --cluster", "give the scheduler's address, or leave it out")
        return Crew(crew_size(many.jobs, files))
    refuse({"--jobs": many.jobs}, "cannot be used with --cluster, which has workers of its own", "leave it out")
    return Cluster(many.cluster, many.send)


def _brought_up_to_date(files: Sequence[Path], asked: Asked, kept: Kept, crew: Crew | Cluster) -> int:
    """Measure what is not kept yet; how many rows were."""
    known = done = 0
    with _progress(len(files)) as step:

        def count(was_there: bool) -> None:
            nonlocal known, done
            known, done = known + was_there, done + 1
            DONE[:] = [f"{done} of {out.counted(len(files), 'row')} are kept; the same command goes on from there"]
            step()

        bring_up_to_date(files, asked, kept, crew.records, count)
    DONE.clear()
    return known


def _records(
    files: Sequence[Path], numbers: Sequence[int], kept: Kept, refused: list[str], warned: list[str]
) -> Iterator[Record]:
    """The rows in the order of the files; the lines of those refused and the names of those warned of are gathered."""
    for path, number in zip(files, numbers, strict=True):
        record = kept.record(path)
        if record["problem"]:
            refused.append(record["problem"])
        elif record["warnings"]:
            warned.append(path.name)
        yield {**record, "count": number}


@contextmanager
def _progress(total: int) -> Iterator[Callable[[], object]]:
    """How many files are done and how long the rest takes, on standard error where a person watches."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    shown = (BarColumn(), MofNCompleteColumn(), "files, time left", TimeRemainingColumn())
    with Progress(*shown, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=total)
        yield lambda: bar.advance(task)
