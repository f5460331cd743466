"""The run sheet as plain text, to print or to pin up."""

from __future__ import annotations

from areacalc.plan.plan import Plan
from areacalc.report.figures import bounds_text, value_text, whole_text
from areacalc.report.lines import wrapped
from areacalc.report.plan_summary import STOPPED
from areacalc.report.words.bores import bore_sentence
from areacalc.report.words.cautions import caution_lines
from areacalc.report.words.covered import covered_words
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.faults import WEIGHTS
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

_WIDE = 88


def sheet_text(plan: Plan, inch: bool = False) -> str:
    """The sheet of one run, 88 columns wide; with `inch` in US units."""
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
        for words in covered_words(part, inch):
            lines += wrapped(f"[ ] {words}", "        ", "            ")
    if plan.bores:
        effective = whole_text(plan.throw.effective, inch)
        lines += wrapped(f"bores take less than their area: the current is set for {effective}", "  ")
    for bore in plan.bores:
        lines += wrapped(f"bore: {bore_sentence(bore, inch)}", "  ", "        ")
    for fit in plan.fits:
        lines += wrapped(f"fit: {tell(fit.fact(fit.fit.verdict), inch)}", "  ", "       ")
    lines += ["", "CAUTIONS"]
    for caution in caution_lines(plan.cautions, inch):
        lines += wrapped(f"- {caution}", "  ", "    ")
    lines += ["", "STEPS"]
    for number, step in enumerate(plan.steps, 1):
        said = step_words(step, inch)
        lines += wrapped(f"[ ] {number:2} {said.name.upper()}  {said.minutes} min".replace("   min", ""), "  ")
        lines += wrapped(said.does, "         ")
        lines += wrapped(f"look for: {said.look_for}", "         ")
    lines += ["", "FAULTS, WORST FIRST"]
    for number, each in enumerate(plan.faults, 1):
        lines += wrapped(f"{number}. {WEIGHTS[each.weight]}: {tell(each.fact, inch)}", "  ", "     ")
    if plan.plant.ways_out:
        lines += ["", "WAYS OUT OF A POWER SUPPLY THAT IS TOO SMALL"]
        for sentence in ways_out_words(plan.plant.ways_out, inch):
            lines += wrapped(f"- {sentence}", "  ", "    ")
    lines += ["", "EXPECT"]
    for name in ("density", "charge", "film", "warming", "bath-end", "hydrogen", "drag-out"):
        lines.append(f"  {plan.figures[name].name:32}{whole_text(plan.figures[name], inch)}")
    went = f"start ______ V ______ A    end ______ V ______ A ______ {c}    film ______ {um}"
    lines += ["", f"AS IT WENT   {went}", ""]
    return "\n".join(lines)
