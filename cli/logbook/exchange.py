"""The logbook written out, taken in, and copied."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from typer import Argument

from areacalc.errors import BadInput, UnknownName

from .. import show as out
from ..options import Force
from ..write import done, target, write

if TYPE_CHECKING:
    from areacalc.logbook.logbook import Logbook

To = Annotated[Path, Argument(metavar="FILE", help="File to write.")]


def export(to: To, force: Force = False) -> None:
    """Write the logbook out: all of it as .json, the runs and what came of them as .csv for a spreadsheet.

    Example: areacalc logbook export runs.csv
    """
    from areacalc.logbook.exchange import to_csv, to_json
    from areacalc.logbook.logbook import Logbook

    ending = target(to, "FILE", (".json", ".csv"), force)
    with Logbook() as book:
        refuse_itself(book, to)
        write(to, to_json(book) if ending == ".json" else to_csv(book), force)
    out.say(f"Wrote {to}." if ending == ".json" else f"Wrote {to}, one run on each line; .json has the readings too.")


def refuse_itself(book: Logbook, to: Path) -> None:
    """Refuse to write over the logbook that is open. Raises BadInput."""
    if to.resolve() == book.path.resolve():
        raise BadInput(str(to), "is the logbook itself", "write to another file")


def import_(file: Annotated[Path, Argument(metavar="FILE", help="An exported .json or .csv.")]) -> None:
    """Add the runs in a file that the logbook lacks. Importing a file twice adds nothing.

    Example: areacalc logbook import runs.csv
    """
    from areacalc.logbook.exchange import ENDINGS, take_in
    from areacalc.logbook.logbook import Logbook

    if file.suffix.lower() not in ENDINGS:
        raise UnknownName.among("FILE", file.suffix or str(file), ENDINGS)
    with Logbook() as book, done(f"{file} is in the logbook"):
        added, there = take_in(book, file)
    more = f"{added} added to runs, readings, results, baths and tanks" if added else "nothing new"
    out.say(f"{file}: {more}; {there} already in the logbook.")


def backup(to: To, force: Force = False) -> None:
    """Copy the whole logbook to one file, which can replace the logbook.

    Example: areacalc logbook backup logbook-copy.sqlite
    """
    import tempfile

    from areacalc.logbook.logbook import Logbook

    target(to, "FILE", (".sqlite",), force)
    with Logbook() as book, tempfile.TemporaryDirectory() as folder:
        refuse_itself(book, to)
        copy = Path(folder) / "copy.sqlite"
        book.database.copy_to(copy)
        write(to, copy.read_bytes(), force)
    out.say(f"Wrote {to}.")
