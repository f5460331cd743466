"""A plan, a change of it and a sweep as tables in the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from . import show as out

if TYPE_CHECKING:
    from areacalc.figure import Figure
    from areacalc.load.changes import Sweep
    from areacalc.plan.load_book import Row
    from areacalc.plan.plan import Plan
    from areacalc.report.us_words import Wording

_GROUPS = (
    ("Set", ("current-least", "current", "current-most", "time", "voltage-start", "voltage-end")),
    (
        "Expect",
        (
            "area",
            "effective-area",
            "density",
            "charge",
            "film",
            "growth-outward",
            "growth-inward",
            "ceiling",
            "etch-lost",
            "etch-warming",
            "dye",
            "seal",
        ),
    ),
    ("Heat", ("heat", "heat-on-skin", "warming", "bath-end", "time-in-band", "cooling", "ice", "chilled-water")),
    (
        "Equipment",
        ("cathode-face", "cathode-over-part", "current-a-strip", "voltage-supply", "rack-drop", "current-a-contact"),
    ),
    (
        "Bath",
        (
            "hydrogen",
            "air-thin",
            "air",
            "air-changes",
            "hydrogen-in-room",
            "aluminium-rise",
            "acid-used",
            "drag-out",
            "rinse",
            "runs-left",
        ),
    ),
)


def print_plan(made: Plan, inch: bool = False) -> None:
    """The plan as tables, then what would spoil it, worst first."""
    from areacalc.report.sheet_text import STOPPED
    from areacalc.report.us_words import plan_wording

    said = plan_wording(made, inch)
    out.say(f"{made.load.name}: {made.load.count} parts, window '{made.currents.window.name}'")
    if not made.can_run:
        out.say(STOPPED)
    out.table("Parts", ("part", "count", "alloy", "area each", "area in all", "least to most", "film"), [
        (p.line.name, str(p.line.count), alloy.name, *_words(p.each, inch)[:1], *_words(p.all, inch),
         _words(grown.film, inch)[0])
        for p, alloy, grown in zip(made.parts, made.alloys.of_parts, made.film.by_part, strict=True)
    ], right=(1, 3, 4, 5, 6))  # fmt: skip
    for part in made.parts:
        if dry := part.kept_dry(inch):
            out.say(f"Kept dry on each {part.line.name}: {'; '.join(dry)}")
    for title, names in _GROUPS:
        rows = [(made.figures[n].name, *_words(made.figures[n], inch), n) for n in names if n in made.figures]
        out.table(title, ("", "figure", "least to most", "name"), rows, right=(1, 2))
    _print_supply(made, said)
    _print_bores(made, inch)
    for fit in made.fits:
        out.say(said(f"Fit: {fit.sentence}"))
    out.table("Steps", ("", "step", "minutes", "what"), [
        (str(n), s.name, s.minutes_text, said(s.does)) for n, s in enumerate(made.steps, 1)
    ])  # fmt: skip
    out.say("Expect of the alloy:")
    for each in made.alloys.expects:
        out.say(f"  - {each}")
    _print_spoilers(made, said)
    out.say("Cautions:")
    for caution in made.cautions:
        out.say(f"  - {caution}")


def _words(figure: Figure, inch: bool) -> tuple[str, str]:
    from areacalc.plan.figure_text import bounds_text, value_text

    return value_text(figure, inch), bounds_text(figure, inch)


def _print_bores(made: Plan, inch: bool) -> None:
    """The bores that get less than the outside, as shares of it."""
    from areacalc.plan.figure_text import whole_text
    from areacalc.plan.throw import deep_text, percent_text

    if made.bores:
        rows = [
            (f"{b.number}. {b.words}", percent_text(b.thrown.mouth_share), percent_text(b.thrown.mean_share),
             percent_text(b.thrown.least_share), deep_text(b, inch), whole_text(b.film, inch))
            for b in made.bores
        ]  # fmt: skip
        heads = ("", "at the mouth", "over all of it", "at the least", "where", "film there")
        out.table("Down the bores, as shares of the outside", heads, rows, right=(1, 2, 3, 4, 5))
        key = made.bores[0].key
        out.say(f"How the first was worked out: explain {key}.film, {key}.mouth, {key}.mean or {key}.least.")
    for said in made.throw.says(made.bores):
        out.say(said)


def _print_supply(made: Plan, said: Wording) -> None:
    if made.course:
        spans = [f"{by.value} from {out.three(a / 60)} to {out.three(b / 60)} min" for by, a, b in made.course.spans()]
        out.say(f"What decides the current: {'; '.join(spans)}.")
    if made.plant.ways_out:
        out.say("Ways out of a supply that is too small:")
        for sentence in made.plant.ways_out.sentences():
            out.say(said(f"  - {sentence}"))


def _print_spoilers(made: Plan, said: Wording) -> None:
    from areacalc.plan.plan import CARRIED

    found = "What would spoil the run, worst first:"
    out.say(found if made.spoilers else "Nothing was found that would spoil the run.")
    for number, each in enumerate(made.spoilers, 1):
        out.say(said(f"  {number}. {each.weight.word}: {each.text}"))
    out.say(CARRIED)


def print_what_if(changes: Sequence[str], before: Plan, after: Plan, inch: bool = False) -> None:
    """Every figure that a change moves, before and after, then what would spoil the changed run."""
    from areacalc.plan.figure_text import whole_text
    from areacalc.report.sheet_text import STOPPED
    from areacalc.report.us_words import plan_wording

    out.say(f"{before.load.name}, what if {' and '.join(changes)}:")
    if not after.can_run:
        out.say(STOPPED)
    names = dict.fromkeys((*before.figures, *after.figures))
    rows = []
    for name in names:
        was, now = (whole_text(p.figures[name], inch) if name in p.figures else "" for p in (before, after))
        if was != now:
            rows.append((name, was, now))
    if rows:
        out.table("What changes", ("figure", "as it is", "what if"), rows, right=(1, 2))
    else:
        out.say("No figure changes.")
    said = plan_wording(after, inch)
    _print_supply(after, said)
    _print_spoilers(after, said)


def print_sweep(asked: Sweep, rows: Sequence[Row], names: Sequence[str], inch: bool = False) -> None:
    """A sweep: a row a value, its figures, and how bad the worst is that would spoil the run."""
    lines = [(row.text, *(_cell(row, name, inch)[0] for name in names), _verdict(row)) for row in rows]
    units = [next((unit for row in rows if (unit := _cell(row, name, inch)[1])), "") for name in names]
    heads = [f"{name}\n[{unit}]" if unit else name for name, unit in zip(names, units, strict=True)]
    out.table("", (asked.setting.key.name, *heads, "run"), lines, right=tuple(range(1, len(names) + 1)))
    for row in rows:
        if row.refused:
            out.say(f"{row.text}: {row.refused}")


def _cell(row: Row, name: str, inch: bool) -> tuple[str, str]:
    """A figure of a row and its unit; empty where there is none."""
    from areacalc.digits import three
    from areacalc.plan.figure_text import in_shown_unit

    if row.plan is None or name not in row.plan.figures:
        return "", ""
    figure = row.plan.figures[name]
    estimate, unit = in_shown_unit(figure.estimate, figure.unit, inch)
    return three(estimate.value), unit


def _verdict(row: Row) -> str:
    if row.plan is None:
        return "refused"
    return row.plan.spoilers[0].weight.word if row.plan.spoilers else "good"
