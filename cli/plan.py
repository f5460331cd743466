"""`areacalc plan`: what to set and what to expect for one load."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from . import show as out
from .options import Json

if TYPE_CHECKING:
    from areacalc.figure import Figure
    from areacalc.run.plan import Plan

LoadFile = Annotated[Path, typer.Argument(metavar="LOAD", help="A load file; `areacalc init` writes a new one.")]

_GROUPS = (
    ("Set", ("current-least", "current", "current-most", "time", "voltage-start", "voltage-end")),
    ("Expect", ("area", "density", "charge", "film", "growth-outward", "ceiling")),
    ("Heat", ("heat", "warming", "bath-end", "time-in-band", "cooling", "ice")),
    ("Equipment", ("cathode-face", "cathode-over-part", "current-a-strip", "voltage-supply", "rack-drop")),
    ("Bath", ("hydrogen", "air", "aluminium-rise", "acid-used", "drag-out", "rinse", "runs-left")),
)


def plan(load_file: LoadFile, json: Json = False) -> None:
    """Plan a load: current, volts, minutes, film, heat, equipment, steps, and what would spoil it.

    Example: areacalc plan desk-set.toml
    """
    from areacalc.run.load_file import read_load
    from areacalc.run.plan import plan_of

    made = plan_of(read_load(load_file))
    if json:
        from areacalc.run.plan_document import plan_document

        out.json_out(plan_document(made))
    else:
        print_plan(made)
    if not made.can_run:
        raise typer.Exit(3)


def print_plan(made: Plan) -> None:
    """The plan as tables, then what would spoil it, worst first."""
    out.say(f"{made.load.name}: {made.load.count} parts, window '{made.currents.window.name}'")
    out.table("Parts", ("part", "count", "area each", "area in all", "least to most"), [
        (p.line.name, str(p.line.count), *_words(p.each)[:1], *_words(p.all)) for p in made.parts
    ], right=(1, 2, 3, 4))  # fmt: skip
    for title, names in _GROUPS:
        rows = [(made.figures[n].name, *_words(made.figures[n]), n) for n in names if n in made.figures]
        out.table(title, ("", "figure", "least to most", "name"), rows, right=(1, 2))
    _print_supply(made)
    _print_spoilers(made)


def _words(figure: Figure) -> tuple[str, str]:
    from areacalc.run.plan_text import bounds_text, value_text

    return value_text(figure), bounds_text(figure)


def _print_supply(made: Plan) -> None:
    if made.course:
        spans = [f"{by.value} from {a / 60:.3g} to {b / 60:.3g} min" for by, a, b in made.course.spans()]
        out.say(f"What decides the current: {'; '.join(spans)}.")
    if made.plant.ways_out:
        out.say("Ways out of a supply that is too small:")
        for sentence in made.plant.ways_out.sentences():
            out.say(f"  - {sentence}")


def _print_spoilers(made: Plan) -> None:
    from areacalc.run.plan import CARRIED

    found = "What would spoil the run, worst first:"
    out.say(found if made.spoilers else "Nothing was found that would spoil the run.")
    for number, each in enumerate(made.spoilers, 1):
        out.say(f"  {number}. {each.weight.word}: {each.text}")
    out.say(CARRIED)
