"""A plan, a change of it and a sweep as tables in the terminal."""

from collections.abc import Callable, Sequence

from areacalc.digits import three
from areacalc.figure import Figure
from areacalc.load.changes import Sweep
from areacalc.plan.load_book import SweptPlan
from areacalc.plan.plan import Plan
from areacalc.report.figures import bounds_text, in_shown_unit, percent_text, shown, value_text, whole_text
from areacalc.report.plan_summary import SCREEN, STOPPED, fault_lines, repeated_words
from areacalc.report.words.bores import bore_name, bore_notes
from areacalc.report.words.course import coating_reason, course_words
from areacalc.report.words.covered import covered_words
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.hung import chosen_words
from areacalc.report.words.rack import rack_sentence, racks_told, volts_sentence, wires_sentence
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

from . import show as out

_GROUPS = {
    "Set": "current-least current current-most time voltage-start voltage-end",
    "Expect": "area rack-area effective-area density evenness charge coating growth-outward growth-inward ceiling "
    "etch-lost etch-warming dye seal",
    "Heat": "heat heat-electric heat-on-surface surface-rise stable-rise warming bath-end time-in-band "
    "cooling ice chilled-water",
    "Equipment": "cathode-face cathode-hung cathode-over-part current-a-strip voltage-supply-start voltage-supply "
    "rack-drop rack-thinning current-a-contact",
    "Bath": "hydrogen exhaust air-thin air air-changes hydrogen-in-room aluminium-rise acid-used drag-out rinse "
    "runs-left",
}


def print_plan(made: Plan, inch: bool = False) -> None:
    """The plan as tables, then its faults, worst first."""
    window = made.currents.window.name
    density = "your own density" if window == "own" else f"{window} density"
    out.say(f"{made.load.name}: {out.counted(made.load.count, 'part')}, {density}")
    if not made.can_run:
        out.say(STOPPED)
    if made.repeat is not None:
        out.say(f"Repeats {repeated_words(made, inch)}.")
    out.table("Parts", ("part", "count", "alloy", "area each", "area of all", "least to most", "coating"), [
        (p.line.name, str(p.line.count), alloy.name, *_words(p.each, inch)[:1], *_words(p.all, inch),
         _words(grown.film, inch)[0])
        for p, alloy, grown in zip(made.parts, made.alloys.of_parts, made.film.by_part, strict=True)
    ], right=(1, 3, 4, 5, 6))  # fmt: skip
    for part in made.parts:
        if covered := covered_words(part, inch):
            out.say(f"On each {part.line.name}: {'; '.join(covered)}")
    for title, names in _GROUPS.items():
        rows = [(made.figures[n].name, *_words(made.figures[n], inch), n) for n in names.split() if n in made.figures]
        out.table(title, ("", "figure", "least to most", "name"), rows, right=(1, 2))
    for practice in made.practice:
        out.say(tell(practice, inch))
    if made.plant.room.layout is not None:
        out.say(f"Rack: {rack_sentence(made.plant.room.layout, inch)}.")
    for part in made.parts:
        if part.free is not None:
            out.say(f"To hang, {chosen_words(part, inch)}.")
    own = made.plant.rack
    for rack in racks_told(own, made.plant.wires):
        out.say(f"Hung by: {wires_sentence(rack, inch)}")
    if own.rack.kind is None if own is not None else made.plant.room.layout is not None:
        out.say(volts_sentence(own, made.plant.wires))
    _print_supply(made, inch)
    _print_bores(made, inch)
    for fit in made.fits:
        out.say(f"Fit: {tell(fit.fact(), inch)}")
    steps = (step_words(each, inch, made.parts) for each in made.steps)
    out.table("Steps", ("", "step", "minutes", "what"), [
        (str(n), s.name, s.minutes, s.does) for n, s in enumerate(steps, 1)
    ])  # fmt: skip
    out.say("What the alloy does:")
    for each in made.alloys.expects:
        out.say(f"  - {each}")
    out.cautions(made.cautions, inch)
    _print_faults(made, inch)


def _words(figure: Figure, inch: bool) -> tuple[str, str]:
    return value_text(figure, inch), bounds_text(figure, inch)


def _print_bores(made: Plan, inch: bool) -> None:
    if made.bores:
        rows = [
            (f"{b.number}. {bore_name(b)}", percent_text(b.thrown.mouth_share), percent_text(b.thrown.mean_share),
             percent_text(b.thrown.least_share), f"{shown(b.least_at_mm, 'mm', inch)} from {b.mouth}",
             whole_text(b.film, inch))
            for b in made.bores
        ]  # fmt: skip
        heads = ("", "at the mouth", "mean", "least", "where", "coating there")
        out.table("Down the bores, as shares of the outside, in your bath", heads, rows, right=(1, 2, 3, 4, 5))
        key = made.bores[0].key
        out.say(f"How row 1 was worked out: areacalc explain LOAD {key}.coating, or .mouth, .mean, .least.")
    for note in bore_notes(made.throw, made.bores):
        out.say(note)


def _print_supply(made: Plan, inch: bool) -> None:
    if made.can_run:
        out.say(f"Current: {course_words(made)}.")
        if reason := coating_reason(made, inch):
            out.say(f"Coating: {reason}.")
    if ways := ways_out_words(made.plant.ways_out, inch):
        out.say("Ways out:")
        for sentence in ways:
            out.say(f"  - {sentence}")


def _print_faults(made: Plan, inch: bool, room: int = 10_000) -> None:
    for each in fault_lines(made.faults, inch, room):
        out.say(each)


_WHAT_IF = ("area", "current", "density", "voltage-supply-start", "voltage-supply", "time", "coating", "warming", "dye")


def print_what_if(changes: Sequence[str], before: Plan, after: Plan, inch: bool = False, full: bool = False) -> None:
    """The figures that a change moves, the main ones or with `full` all, and the faults of the changed run."""
    out.say(f"{before.load.name}, what if {' and '.join(changes)}:")
    if not after.can_run:
        out.say(STOPPED)
    both, moved = before.figures | after.figures, moved_figures(before, after, lambda figure: whole_text(figure, inch))
    told = {name for name in both if full or (after.can_run and name in _WHAT_IF)}  # of what must not run, no settings
    rows = [(both[name].name, was, now) for name, was, now in moved if name in told]
    if rows:
        out.table("What changes", ("figure", "as it is", "what if"), rows, right=(1, 2))
    elif full or after.can_run:
        out.say("No figure changes." if full else "No main figure changes.")
    _print_supply(after, inch)
    if full:
        _print_faults(after, inch)
    else:
        _print_faults(after, inch, SCREEN - 7 - len(rows))
        out.say("Every figure that changes: --full")


def moved_figures(
    before: Plan, after: Plan, text: Callable[[Figure], str], first: Sequence[str] = ()
) -> list[tuple[str, str, str]]:
    """Every figure that reads otherwise in another plan, by its name, before and after; `first` are told first."""
    rows = []
    for name in dict.fromkeys((*first, *before.figures, *after.figures)):
        was, now = (text(p.figures[name]) if name in p.figures else "" for p in (before, after))
        rows += [(name, was, now)] if was != now else []
    return rows


def print_sweep(asked: Sweep, rows: Sequence[SweptPlan], names: Sequence[str], inch: bool = False) -> None:
    """A sweep: a row a value, its figures, and how bad its worst fault is."""
    lines = [(row.text, *(_cell(row, name, inch)[0] for name in names), _verdict(row)) for row in rows]
    units = [next((unit for row in rows if (unit := _cell(row, name, inch)[1])), "") for name in names]
    heads = [f"{name}\n[{unit}]" if unit else name for name, unit in zip(names, units, strict=True)]
    out.table("", (asked.setting.key.name, *heads, "run"), lines, right=tuple(range(1, len(names) + 1)))
    for row in rows:
        if row.refused:
            out.say(f"{row.text}: {row.refused}")


def _cell(row: SweptPlan, name: str, inch: bool) -> tuple[str, str]:
    if row.plan is None or name not in row.plan.figures:
        return "", ""
    figure = row.plan.figures[name]
    estimate, unit = in_shown_unit(figure.estimate, figure.unit, inch)
    return three(estimate.value), unit


def _verdict(row: SweptPlan) -> str:
    if row.plan is None:
        return "refused"
    return row.plan.faults[0].weight.word if row.plan.faults else "good"
