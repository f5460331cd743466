"""`areacalc sheet`: the run sheet of a load, to print and to write on."""

from pathlib import Path
from typing import Annotated

import typer
from typer import Option

from areacalc.plant.stock import sold

from . import show as out
from .options import Force, LoadFile, Show, ShowOption
from .write import target, write

Out = Annotated[Path | None, Option("--out", "-o", metavar="FILE", help="File to write: .pdf or .html.")]
Back = Annotated[bool, Option("--back", help="Add pages to the PDF: the rack to scale, derivations, sources.")]


def sheet(
    load_file: LoadFile, to: Out = None, back: Back = False, show: ShowOption = Show.MM, force: Force = False
) -> None:
    """Make the run sheet: one page with settings, cautions, steps to tick, blanks for readings.

    Example: areacalc sheet desk-set.toml --out sheet.pdf
    """
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.sheet import sheet_of

    to = to or load_file.with_suffix(".sheet.pdf")
    suffix = target(to, "--out", (".pdf", ".html"), force)
    inch = show is Show.IN
    plan = LoadBook(load_file, stock=sold(inch)).plan()
    made = sheet_of(plan, inch)
    if suffix == ".pdf":
        from areacalc.report.sheet_pdf import sheet_pdf

        write(to, sheet_pdf(made, inch, back), force)
    else:
        from areacalc.report.sheet_html import sheet_html

        write(to, sheet_html(made, inch), force)
    out.say(f"Wrote {to}.")
    if not plan.can_run:
        raise typer.Exit(3)
