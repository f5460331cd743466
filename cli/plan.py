"""`areacalc plan`: what to set and what to expect for one load."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from areacalc.errors import BadInput, CannotRun
from areacalc.plant.stock import sold

from . import show as out
from .grouped import grouped, option
from .options import Force, Full, Json, LoadFile, Show, ShowOption
from .write import target, write

if TYPE_CHECKING:
    from areacalc.plan.load_book import LoadBook
    from areacalc.plan.plan import Plan


@dataclass(frozen=True)
class PlanOptions:
    """What is planned otherwise: a setting swept and what is told of it, or changed; and the rack drawn."""

    sweep: str | None = option("Plan for 5 values of a range: 'temperature = 16 C to 24 C in 5'.", metavar="RANGE")
    figure: list[str] | None = option("Figure to show in the sweep's table; may be repeated.", metavar="NAME")
    plot: Path | None = option("Draw the sweep as curves.", metavar="FILE.svg")
    what_if: list[str] | None = option(
        "Plan with a change: 'count=6', 'temperature=18 C'; may be repeated.", "--what-if", "-w", metavar="CHANGE"
    )
    draw: Path | None = option("Draw the rack in its tank: front, side and top view.", metavar="FILE.svg")


@grouped
def plan(
    load_file: LoadFile, over: PlanOptions, force: Force = False, full: Full = False, show: ShowOption = Show.MM,
    json: Json = False,
) -> None:  # fmt: skip
    """Plan a load: current, volts, minutes, coating, heat, equipment, faults.

    Example: areacalc plan desk-set.toml --what-if "count=6"
    """
    from areacalc.plan.load_book import LoadBook

    changes, inch = over.what_if or (), show is Show.IN
    book = LoadBook(load_file, stock=sold(inch))
    if over.sweep is not None and over.draw is not None:
        raise BadInput("--draw", "draws one plan, not a sweep", "give --plot, or leave --sweep out")
    if over.sweep is not None:
        _sweep(book, over, json, inch, force)
        return
    if over.draw is not None:
        target(over.draw, "--draw", (".svg",), force)
    if over.figure or over.plot:
        raise BadInput("--plot" if over.plot else "--figure", "is for a sweep", "give --sweep as well")
    from .plan_tables import print_plan, print_what_if

    made = book.plan(changes)
    if over.draw is not None:
        _draw(made, over.draw, force, inch)
    if json:
        from areacalc.report.plan_document import plan_document
        from areacalc.report.sweep_document import what_if_document

        out.json_out(what_if_document(changes, book.plan(), made) if changes else plan_document(made))
    elif changes:
        print_what_if(changes, book.plan(), made, inch, full)
    elif full:
        print_plan(made, inch)
    else:
        from areacalc.report.plan_summary import plan_summary

        sheet = f"areacalc sheet {shlex.quote(str(load_file))} --out sheet.pdf"
        for line in plan_summary(made, inch, sheet if made.can_run else ""):
            out.say(line)
    if not made.can_run:
        raise typer.Exit(3)


def _draw(made: Plan, path: Path, force: bool, inch: bool) -> None:
    """Write the rack's drawing. Raises CannotRun for a load that is not laid out."""
    from areacalc.plan.rack_drawing import rack_drawing
    from areacalc.plant.paper import svg

    drawing = rack_drawing(made, inch)
    if drawing is None:
        what = "the load is not laid out: the parts do not go in, or their files or the tank's sizes are not known"
        raise CannotRun("--draw", what, "give part files and length, width and depth of the tank")
    write(path, svg(drawing), force)


def _sweep(book: LoadBook, over: PlanOptions, json: bool, inch: bool, force: bool) -> None:
    from areacalc.report.sweep_document import SHOWN, sweep_document

    from .plan_tables import print_sweep

    plot, figures = over.plot, over.figure or ()
    if plot is not None:
        target(plot, "--plot", (".svg",), force)
    asked, planned = book.swept(over.sweep or "", over.what_if or ())
    rows = list(out.progress(planned, "planning", len(asked.values)))
    names = tuple(figures or SHOWN)
    made = [row.plan for row in rows if row.plan is not None]
    if not made:
        raise CannotRun(
            "--sweep", f"no value of it can be planned; the first says: {rows[0].refused}", "sweep another range"
        )
    for name in figures:
        made[0].figure(name)
    if plot is not None:
        from areacalc.report.sweep_plot import sweep_svg

        write(plot, sweep_svg(made[0].load.name, asked, rows, names), force)
    if json:
        out.json_out(sweep_document(asked, rows, names))
    else:
        print_sweep(asked, rows, names, inch)
