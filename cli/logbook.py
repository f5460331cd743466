"""`areacalc logbook`: the runs of a load, and a run added to them."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from . import show as out
from .options import Json, LoadFile, Show, ShowOption

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Entry

_FIRST_YEAR = 1950  # chosen: an older one is a slip of the hand

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
    show: ShowOption = Show.MM,
    json: Json = False,
) -> None:
    """Show the runs of a load, or add one, so that a colour can be repeated: repeat = "its words" under finish.

    Example: areacalc logbook desk-set.toml --done --start-volts "16.8 V" --remark "even, deep"
    """
    from areacalc.logbook.logbook import logbook_of, read
    from areacalc.plan.load_book import LoadBook

    told = {"--start-volts": start_volts, "--end-volts": end_volts, "--end-temperature": end_temperature,
            "--dye-time": dye_time, "--seal-time": seal_time}  # fmt: skip
    book = logbook_of(load_file)
    if done:
        _add(load_file, when, {option: words for option, words in told.items() if words is not None}, remark)
    else:
        _refuse_without_done({**told, "--when": when, "--remark": remark or None})
        if not os.path.exists(book):
            LoadBook(load_file)  # tells a file that is none
    entries = read(book)
    if json:
        from areacalc.report.plan_document import logbook_document

        out.json_out(logbook_document(entries))
        return
    if not entries:
        out.say(f"No runs yet in {book.name}; add one with --done.")
        return
    film = "mil" if show is Show.IN else "um"
    heads = ("when", "load", "A", "min", film, "colour", "remark")
    out.table(book.name, heads, [_row(each, show) for each in entries], right=(2, 3, 4))


def _add(load_file: Path, when: str | None, told: dict[str, str], remark: str) -> None:
    """Add the run as planned. Raises BadInput, CannotRun; nothing is added then."""
    from areacalc.errors import CannotRun
    from areacalc.logbook.logbook import append, logbook_of, reading
    from areacalc.plan.entry import entry_of
    from areacalc.plan.load_book import LoadBook
    from areacalc.quantity import Dimension, parse

    fields = {
        "--start-volts": ("start_v", Dimension.VOLTAGE), "--end-volts": ("end_v", Dimension.VOLTAGE),
        "--end-temperature": ("end_temperature_c", Dimension.TEMPERATURE),
        "--dye-time": ("dye_s", Dimension.TIME), "--seal-time": ("seal_s", Dimension.TIME),
    }  # fmt: skip
    at = _when(when)
    values = {option: parse(words, fields[option][1], option) for option, words in told.items()}
    made = LoadBook(load_file).plan()
    if not made.can_run:
        raise CannotRun(made.load.source, "the plan cannot be run as it stands, so no such run is logged",
                        "areacalc plan tells why; change the load file to what was run")  # fmt: skip
    acid = made.load.bath.acid_g_per_l
    read = {fields[option][0]: reading(fields[option][0], value, acid, option) for option, value in values.items()}
    append(logbook_of(load_file), entry_of(made, at, remark, **read))


def _refuse_without_done(told: dict[str, str | None]) -> None:
    from areacalc.errors import BadInput

    for option, words in told.items():
        if words is not None:
            raise BadInput(option, "is for a run that is added", "give --done as well")


def _row(entry: Entry, show: Show) -> tuple[str, ...]:
    from areacalc.digits import three

    film = three(entry.film_um / (25.4 if show is Show.IN else 1.0))
    return (entry.when[:16].replace("T", " "), entry.load, three(entry.current_a), three(entry.run_s / 60.0), film,
            entry.dye or entry.shade or entry.look, entry.remark)  # fmt: skip


def _when(text: str | None) -> str:
    """The time given, or now, as ISO 8601. Raises BadInput."""
    from datetime import datetime

    from areacalc.errors import BadInput

    now = datetime.now().astimezone()
    if text is None:
        return now.isoformat(timespec="minutes")
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput("--when", f"'{text}' is not a date", "write it like 2026-03-03T10:00") from None
    if at.year < _FIRST_YEAR:
        raise BadInput("--when", f"'{text}' is long past", "write the year in full, as in 2026-03-03T10:00")
    if at > (now if at.tzinfo else now.replace(tzinfo=None)):
        raise BadInput("--when", f"'{text}' is still to come: it is {now:%Y-%m-%dT%H:%M}", "log a run once it is over")
    return at.isoformat(timespec="minutes")
