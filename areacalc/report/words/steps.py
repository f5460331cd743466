"""What is done in each step of a run, and how a person sees that it went well."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from areacalc.bath.table import rows
from areacalc.plan.area import PartArea
from areacalc.plan.steps import RunStep, RunStepKind
from areacalc.report.figures import number
from areacalc.report.words.covered import covered_names
from areacalc.report.words.hung import hangs
from areacalc.report.words.telling import WORDS, Telling


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step in words: its name, what to do, its minutes, what to look for."""

    name: str
    does: str
    minutes: str
    look_for: str


def step_words(step: RunStep, inch: bool = False, parts: Sequence[PartArea] = (), above: bool = False) -> StepWords:
    """A step in words, in metric or US units; on the rack, what is to be done to each of the parts.

    above: how they hang is drawn above the steps.
    """
    telling = Telling(step.fact, inch)
    name, does, look_for = STEPS[step.kind]
    told = telling.tell(does)
    if step.kind is RunStepKind.RACK:
        told = " ".join((told, *filter(None, (_fitted(part, len(parts) > 1, above) for part in parts))))
    return StepWords(name, told, _minutes(step), telling.tell(look_for or _meter))


def _fitted(part: PartArea, several: bool, above: bool) -> str:
    """What is plugged or masked on a part, and how it hangs."""
    way = hangs(part)
    hung = "" if not way else "hang as above" if above else f"hang {way}"
    done = "; ".join(filter(None, (covered_names(part), hung)))
    return f"{f'{part.line.name}: {done}' if several else f'{done[0].upper()}{done[1:]}'}." if done else ""


def _minutes(step: RunStep) -> str:
    e = step.minutes
    if e is None:
        return ""
    value, low, high = (number(minutes, "min") for minutes in (e.value, e.low, e.high))
    return value + (f" ({low} to {high})" if low != high else "")


def _meter(t: Telling) -> str:
    """What the volts do while the current is on."""
    is_steady = t("{start}") == t("{end}")
    volts = "about {end} once the current is up" if is_steady else "volts from about {start:number} to {end:number}"
    return t(volts + "; a wandering current means a loose contact")


STEPS: dict[Enum, tuple[str, str, str]] = {
    RunStepKind[row["step"]]: (row["name"], row["does"], row["look_for"]) for row in rows("steps", WORDS)
}
"""Name, what to do, what to look for; where that is blank, at the meter."""
