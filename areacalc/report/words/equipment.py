"""Sentences about the equipment: rules kept and broken, ways out, what was decided for a new tank."""

from collections.abc import Sequence
from itertools import groupby

from areacalc.bath.window import WindowFact
from areacalc.digits import three
from areacalc.plan.fault import WayOut
from areacalc.plant.bus import Section
from areacalc.plant.cathode import CathodeLife, RatioFact
from areacalc.plant.new_tank import TankFact
from areacalc.plant.rule import Judgement, Reason
from areacalc.plant.too_small import OneRun, WaysOut
from areacalc.report.figures import shown
from areacalc.report.words.rack import rack_words
from areacalc.report.words.telling import Catalogue, Telling, counted, joined, sentences


def _kept(t: Telling) -> str:
    return t("[where|{where}, ]{rule}: {value}, and {side} {limit} is asked for (" + _reason(t) + "{source}).")


def _not_kept(t: Telling) -> str:
    value, limit = _told_apart(t)
    return t(
        f"[where|{{where}}, ]{{rule}}: {value}, should be {{side}} {limit} ({_reason(t)}{{source}})[why|; {{why}}]."
    )


def _reason(t: Telling) -> str:
    """Why a rule is kept, but where that is habit: its source says as much."""
    return "{reason}, " if "reason" in t and t.fact["reason"] is not Reason.HABIT else ""


def _capital(said: str) -> str:
    return said[0].upper() + said[1:]


def _told_apart(t: Telling) -> tuple[str, str]:
    told = t("{value}"), t("{limit}")
    for figures in range(4, 13):
        if told[0] != told[1]:
            break
        told = t.figures("value", figures), t.figures("limit", figures)
    return told


EQUIPMENT: Catalogue = {
    **sentences(RatioFact, WindowFact, Section, CathodeLife, TankFact),
    Judgement.KEPT: lambda t: _capital(_kept(t)),
    Judgement.BROKEN: lambda t: _capital(_not_kept(t)),
    Judgement.TO_CHECK: lambda t: "Check the " + _not_kept(t),
}  # fmt: skip


def ways_out_told(ways: WaysOut | None, inch: bool = False) -> tuple[tuple[WayOut, str], ...]:
    """Each way out of a tank or a power supply that is too small, with its sentence."""
    if ways is None:
        return ()
    out: list[tuple[WayOut, str]] = []
    if (low := ways.lower_density) is not None and (low.in_window or low.other_windows):
        verdict = "inside the window" if low.in_window else "BELOW the window asked for"
        if not low.in_window:
            verdict += f", inside '{low.other_windows[0]}'; density = \"{low.key}\" plans so"
        told = f"{three(low.current_a)} A, {shown(low.density_a_per_dm2, 'A/dm2', inch)}"
        out.append((low, f"All parts at {told} ({verdict}), for about {shown(low.run_s, 's')}."))
    if ways.in_runs is not None and ways.in_runs.runs:
        runs, alone = ways.in_runs.runs, ways.in_runs.alone
        each = [f"{numbers}: {joined([f'{n} x {name}' if n > 1 else name for name, n in run.parts])}, "
                f"{three(run.current_a)} A" for numbers, run in _alike(runs)]  # fmt: skip
        how = "alone" if len(alone) == 1 else "one at a time"
        start = f"Without {joined(list(alone))}, which cannot run even {how}, in" if alone else "In"
        out.append((ways.in_runs, f"{start} {counted(len(runs), 'run')}. R{'; '.join(each)[1:]}."))
    if (buy := ways.buy) is not None:
        out.append((buy, f"A power supply of {three(buy.rating_a)} A and {three(buy.rating_v)} V or more: "
                         f"{three(buy.most_a)} A at most, and a quarter to spare."))  # fmt: skip
    if (tank := ways.tank) is not None:
        sides = " x ".join(shown(side, "mm", inch) for side in tank.room.sides_mm)
        litres = shown(tank.room.liquid_l, "L", inch)
        out.append((tank, f"A tank of at least {sides} of liquid, {litres}: all at once, in {rack_words(tank)}."))
    return tuple(out)


def ways_out_words(ways: WaysOut | None, inch: bool = False) -> tuple[str, ...]:
    """The sentences alone."""
    return tuple(said for _, said in ways_out_told(ways, inch))


def _alike(runs: Sequence[OneRun]) -> list[tuple[str, OneRun]]:
    """Runs that follow one another with the same parts in them, told once: "runs 1 to 3"."""
    found, first = [], 1
    for run, alike in groupby(runs):
        last = first + len(list(alike)) - 1
        joint = "and" if last == first + 1 else "to"
        found.append((f"run {first}" if first == last else f"runs {first} {joint} {last}", run))
        first = last + 1
    return found
