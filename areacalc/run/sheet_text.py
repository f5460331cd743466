"""The run sheet as plain text, to print or to pin up."""

from __future__ import annotations

import textwrap

from areacalc.run.plan import CARRIED, Plan
from areacalc.run.plan_text import bounds_text, value_text, whole_text

_WIDE = 88


def sheet_text(plan: Plan) -> str:
    """The sheet of one run, 88 columns wide."""
    lines = [
        f"RUN SHEET  {plan.load.name}",
        "=" * _WIDE,
        "date ____________   by ____________   bath read ______ C",
        "",
    ]
    lines += ["SET"]
    for name in ("current", "time", "voltage-start", "voltage-end"):
        figure = plan.figures[name]
        lines.append(f"  {figure.name:28}{value_text(figure):>12}   {bounds_text(figure)}")
    lines += ["", "PARTS"]
    for part in plan.parts:
        lines.append(f"  {part.line.count:3} x {part.line.name:30}{whole_text(part.each):>28} each")
        for words in part.kept_dry():
            lines += _wrapped(f"[ ] {words}", "        ", "            ")
    for bore in plan.bores:
        lines += _wrapped(f"bore: {bore.sentence()}", "  ", "        ")
    for fit in plan.fits:
        lines += _wrapped(f"fit: {fit.sentence}", "  ", "       ")
    lines += ["", "STEPS"]
    for number, step in enumerate(plan.steps, 1):
        lines += _wrapped(f"[ ] {number:2} {step.name.upper()}  {step.minutes_text} min".replace("   min", ""), "  ")
        lines += _wrapped(step.does, "         ")
        lines += _wrapped(f"look for: {step.look_for}", "         ")
    lines += ["", "WHAT WOULD SPOIL IT, WORST FIRST"]
    for number, each in enumerate(plan.spoilers, 1):
        lines += _wrapped(f"{number}. {each.weight.word}: {each.text}", "  ", "     ")
    lines += ["", "CAUTIONS"]
    for caution in plan.cautions:
        lines += _wrapped(f"- {caution}", "  ", "    ")
    lines += ["", "EXPECT"]
    for name in ("density", "charge", "film", "warming", "bath-end", "hydrogen", "drag-out"):
        lines.append(f"  {plan.figures[name].name:28}{whole_text(plan.figures[name])}")
    lines += ["", "AS IT WENT   start ______ V ______ A    end ______ V ______ A ______ C    film ______ um", ""]
    return "\n".join([*lines, *_wrapped(CARRIED, ""), ""])


def _wrapped(text: str, first: str, rest: str | None = None) -> list[str]:
    return textwrap.wrap(text, _WIDE, initial_indent=first, subsequent_indent=first if rest is None else rest)
