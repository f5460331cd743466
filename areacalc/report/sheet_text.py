"""The run sheet as plain text, to print or to pin up."""

from __future__ import annotations

import re
import textwrap

from areacalc.plan.figure_text import bounds_text, value_text, whole_text
from areacalc.plan.plan import CARRIED, Plan
from areacalc.report.us_words import plan_wording

_WIDE = 88
_QUANTITY = re.compile(r"(\d) (?=(?:mm2?|cm2|in2?|um|mil|[AW]/\w+|BTU/h|A|V|C|F|K|W|min|g/L|m?L|gal|kg|lb|%)(?!\w))")
STOPPED = "NOT TO BE RUN AS IT STANDS: see what would spoil it, below."


def sheet_text(plan: Plan, inch: bool = False) -> str:
    """The sheet of one run, 88 columns wide; with `inch` in US units."""
    said = plan_wording(plan, inch)
    c, um = ("F", "mil") if inch else ("C", "um")
    lines = [
        f"RUN SHEET  {plan.load.name}",
        "=" * _WIDE,
        f"date ____________   by ____________   bath read ______ {c}",
        "",
    ]
    if not plan.can_run:
        lines += [STOPPED, ""]
    lines += ["SET"]
    for name in ("current", "time", "voltage-start", "voltage-end"):
        figure = plan.figures[name]
        lines.append(f"  {figure.name:32}{value_text(figure, inch):>12}   {bounds_text(figure, inch)}")
    lines += ["", "PARTS"]
    for part in plan.parts:
        lines.append(f"  {part.line.count:3} x {part.line.name:30}{whole_text(part.each, inch):>28} each")
        for words in part.kept_dry(inch):
            lines += _wrapped(f"[ ] {words}", "        ", "            ")
    if plan.bores:
        effective = whole_text(plan.throw.effective, inch)
        lines += _wrapped(f"bores take less than their skin: the current is set for {effective}", "  ")
    for bore in plan.bores:
        lines += _wrapped(f"bore: {bore.sentence(inch)}", "  ", "        ")
    for fit in plan.fits:
        lines += _wrapped(said(f"fit: {fit.sentence}"), "  ", "       ")
    lines += ["", "STEPS"]
    for number, step in enumerate(plan.steps, 1):
        lines += _wrapped(f"[ ] {number:2} {step.name.upper()}  {step.minutes_text} min".replace("   min", ""), "  ")
        lines += _wrapped(said(step.does), "         ")
        lines += _wrapped(f"look for: {step.look_for}", "         ")
    lines += ["", "WHAT WOULD SPOIL IT, WORST FIRST"]
    for number, each in enumerate(plan.spoilers, 1):
        lines += _wrapped(said(f"{number}. {each.weight.word}: {each.text}"), "  ", "     ")
    if plan.plant.ways_out:
        lines += ["", "WAYS OUT OF A SUPPLY THAT IS TOO SMALL"]
        for sentence in plan.plant.ways_out.sentences():
            lines += _wrapped(said(f"- {sentence}"), "  ", "    ")
    lines += ["", "CAUTIONS"]
    for caution in plan.cautions:
        lines += _wrapped(f"- {caution}", "  ", "    ")
    lines += ["", "EXPECT"]
    for name in ("density", "charge", "film", "warming", "bath-end", "hydrogen", "drag-out"):
        lines.append(f"  {plan.figures[name].name:32}{whole_text(plan.figures[name], inch)}")
    went = f"start ______ V ______ A    end ______ V ______ A ______ {c}    film ______ {um}"
    lines += ["", f"AS IT WENT   {went}", ""]
    return "\n".join([*lines, *_wrapped(CARRIED, ""), ""])


def _wrapped(text: str, first: str, rest: str | None = None) -> list[str]:
    """Lines of the sheet's width; a number stays with its unit."""
    held = _QUANTITY.sub("\\1\N{NO-BREAK SPACE}", text)
    lines = textwrap.wrap(held, _WIDE, initial_indent=first, subsequent_indent=first if rest is None else rest)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]
