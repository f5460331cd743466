"""`areacalc logbook`: the runs of a load, and a run added to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from . import show as out
from .options import Json, LoadFile

if TYPE_CHECKING:
    from areacalc.run.logbook import Entry

Done = Annotated[bool, typer.Option("--done", help="Add the run as planned, with what you read.")]
When = Annotated[str | None, typer.Option("--when", metavar="DATE", help="2026-03-03T10:00; else now.")]
Volts = Annotated[str | None, typer.Option(metavar="V", help="Volts read.")]
Bath = Annotated[str | None, typer.Option("--end-temperature", help="The bath at the end.")]
Minutes = Annotated[str | None, typer.Option(metavar="TIME", help="Minutes it was in.")]
Remark = Annotated[str, typer.Option("--remark", help="Anything worth knowing next month.")]


def logbook(
    load_file: LoadFile,
    done: Done = False,
    when: When = None,
    start_volts: Volts = None,
    end_volts: Volts = None,
    end_temperature: Bath = None,
    dye_time: Minutes = None,
    seal_time: Minutes = None,
    remark: Remark = "",
    json: Json = False,
) -> None:
    """Show the runs of a load, or add one, so that a colour can be repeated: repeat = "its words" under finish.

    Example: areacalc logbook desk-set.toml --done --start-volts "16.8 V" --remark "even, deep"
    """
    from areacalc.quantity import Dimension, parse
    from areacalc.run.logbook import append, entry_of, logbook_of, read
    from areacalc.run.sweep import LoadBook

    book = logbook_of(load_file)
    if done:
        at = _when(when)
        made = LoadBook(load_file).plan()

        def read_as(text: str | None, dimension: Dimension, where: str) -> float | None:
            return None if text is None else parse(text, dimension, where)

        append(book, entry_of(
            made, at, remark,
            start_v=read_as(start_volts, Dimension.VOLTAGE, "--start-volts"),
            end_v=read_as(end_volts, Dimension.VOLTAGE, "--end-volts"),
            end_temperature_c=read_as(end_temperature, Dimension.TEMPERATURE, "--end-temperature"),
            dye_s=read_as(dye_time, Dimension.TIME, "--dye-time"),
            seal_s=read_as(seal_time, Dimension.TIME, "--seal-time"),
        ))  # fmt: skip
    entries = read(book)
    if json:
        from areacalc.run.plan_document import logbook_document

        out.json_out(logbook_document(entries))
        return
    if not entries:
        out.say(f"No runs yet in {book.name}; add one with --done.")
        return
    out.table(book.name, ("when", "load", "A", "min", "um", "colour", "remark"), [_row(e) for e in entries],
              right=(2, 3, 4))  # fmt: skip


def _row(entry: Entry) -> tuple[str, ...]:
    from areacalc.digits import three

    return (entry.when[:16].replace("T", " "), entry.load, three(entry.current_a), three(entry.run_s / 60.0),
            three(entry.film_um), entry.dye or entry.shade or entry.look, entry.remark)  # fmt: skip


def _when(text: str | None) -> str:
    """The time given, or now, as ISO 8601. Raises BadInput."""
    from datetime import datetime

    from areacalc.errors import BadInput

    if text is None:
        return datetime.now().astimezone().isoformat(timespec="minutes")
    try:
        return datetime.fromisoformat(text).isoformat(timespec="minutes")
    except ValueError:
        raise BadInput("--when", f"'{text}' is not a date", "write it like 2026-03-03T10:00") from None
