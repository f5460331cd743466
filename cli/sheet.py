"""`areacalc sheet`: the run sheet of a load, to print and to write on."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from . import show as out
from .options import Force, LoadFile, Show, ShowOption

Out = Annotated[
    Path | None, typer.Option("--out", "-o", metavar="FILE", help="Write it: .html to print, .txt; else text is shown.")
]


def sheet(load_file: LoadFile, to: Out = None, show: ShowOption = Show.MM, force: Force = False) -> None:
    """Make the run sheet: what to set, steps with boxes to tick, faults, cautions, blanks for readings.

    Example: areacalc sheet desk-set.toml --out sheet.html
    """
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.sheet_text import sheet_text

    from .write import target, write

    suffix = target(to, "--out", (".html", ".txt"), force) if to is not None else ".txt"
    made = LoadBook(load_file).plan()
    if suffix == ".html":
        from areacalc.report.sheet_html import sheet_html

        text = sheet_html(made, show is Show.IN)
    else:
        text = sheet_text(made, show is Show.IN)
    if to is None:
        out.say(text)
    else:
        write(to, text, force)
        out.say(f"Wrote {to}.")
    if not made.can_run:
        raise typer.Exit(3)
