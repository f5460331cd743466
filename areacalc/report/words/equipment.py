"""Sentences about the equipment: rules kept and broken, ways out, what was decided for a new tank."""

from __future__ import annotations

from areacalc.bath.window import WindowFact
from areacalc.digits import three
from areacalc.plant.cathode import RatioFact
from areacalc.plant.new_tank import TankFact
from areacalc.plant.rule import Judgement
from areacalc.plant.too_small import WaysOut
from areacalc.report.figures import shown
from areacalc.report.words.telling import Catalogue, Telling, counted


def _broken(t: Telling, verdict: str) -> str:
    where = t("{where}: ") if "where" in t else ""
    why = t("; {why}") if "why" in t else ""
    return where + t(f"{verdict} {{rule}}: {{value}}, should be {{side}} {{limit}} ({{source}})") + why + "."


EQUIPMENT: Catalogue = {
    Judgement.KEPT: lambda t: _broken(t, "Keeps"),
    Judgement.BROKEN: lambda t: _broken(t, "Breaks"),
    Judgement.TO_CHECK: lambda t: _broken(t, "Check"),
    RatioFact.BELOW_PRACTICE: "{ratio} times the part's area is less than the {practice} of small tanks; {published} is "
    "published ({source}). The coating may come out less even.",
    RatioFact.BELOW_PUBLISHED: "{ratio} times the part's area is less than any ratio that was found, {published} "
    "({source}). The coating may come out uneven: hang more cathode.",
    RatioFact.BESIDE_PUBLISHED: "Cathode: {ratio} times the wetted area ({source}). {published} times is published.",
    WindowFact.BESIDE_PUBLISHED: "Density: {used:range} ({source}). Published windows: {decorative:range} for thin dyed "
    "coatings, {conventional:range} for ordinary ones.",
    TankFact.ENLARGED_FOR_HEAT: "Enlarged so that one run's heat stays inside the temperature limit: {liquid}.",
    TankFact.SHEET_A_SIDE: "{strips:strip} a side do not fit in {length}: one sheet a side instead.",
    TankFact.RATIO_SETS_SIZE: "The cathode ratio ({ratio}, {source}) sets the tank's {side} of {size}. A smaller ratio "
    "allows a smaller tank.",
}  # fmt: skip


def ways_out_words(ways: WaysOut | None, inch: bool = False) -> tuple[str, ...]:
    """Each way out of a power supply that is too small."""
    if ways is None:
        return ()
    out = []
    if (low := ways.lower_density) is not None:
        verdict = "inside the window" if low.in_window else "BELOW the window asked for"
        if low.other_windows and not low.in_window:
            verdict += f", inside '{low.other_windows[0]}'; density = \"{low.other_windows[0]}\" plans within that"
        elif not low.in_window:
            verdict += " and every other: a soft, thin, uneven coating"
        density = shown(low.density_a_per_dm2, "A/dm2", inch)
        out.append(f"All parts at {three(low.current_a)} A, {density} ({verdict}), for {shown(low.run_s, 's')}.")
    if (few := ways.fewer_parts) is not None:
        out.append(
            f"At most {shown(few.area_mm2, 'mm2', inch)} of parts at a time, each load at "
            f"{shown(few.density_a_per_dm2, 'A/dm2', inch)} of its own area. With equal parts: {few.at_once} at a time, "
            f"{three(few.current_a)} A, {counted(few.runs, 'run')}."
        )
    out.append(f"A power supply of at least {three(ways.buy.rating_a)} A and {three(ways.buy.rating_v)} V.")
    return tuple(out)
