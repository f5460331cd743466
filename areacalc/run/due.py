"""What is to be done at the tank, and when: raise, hold, switch off, then rinse, dye and seal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from areacalc.fact import Fact, fact, quantity
from areacalc.logbook.records import Begun
from areacalc.plan.plan import Plan
from areacalc.plan.steps import RunStep, RunStepKind

_MARK_S = 60.0  # chosen: a hand at a knob is told each minute where it should be


class Do(Enum):
    """What to do now."""

    RAISE = "raise the current"
    RAISE_VOLTS = "raise the volts"
    HOLD = "hold"
    OFF = "switch off"
    STEP = "the step after"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Due:
    """What to do from one time of the run [s] until another; until_s is None for as long as it takes."""

    fact: Fact
    from_s: float
    until_s: float | None

    @property
    def kind(self) -> Enum:
        return self.fact.kind


def at_the_supply(plan: Plan, end_s: float) -> tuple[Due, ...]:
    """What to do while the current flows: the marks of the ramp, then hold, then off at its end [s]."""
    setting, supply = plan.run.course.setting, plan.load.supply
    volts = setting.held_v is not None
    full = setting.held_v if setting.held_v is not None else setting.full_a
    kind, unit = (Do.RAISE_VOLTS, "V") if volts else (Do.RAISE, "A")
    ramp_s = min(setting.ramp_s, end_s) if supply is not None else 0.0
    marks = max(round(ramp_s / _MARK_S), 1) if ramp_s > 0.0 else 0
    out = []
    for i in range(marks):
        start, stop = (ramp_s * n / marks for n in (i, i + 1))
        to = full * stop / setting.ramp_s
        out.append(Due(fact(kind, to=quantity(to, unit), by=quantity(stop, "s")), start, stop))
    out.append(Due(fact(Do.HOLD, at=quantity(full, unit)), ramp_s, end_s))
    out.append(Due(fact(Do.OFF), end_s, None))
    return tuple(out)


def steps_at_the_tank(plan: Plan) -> tuple[RunStep, ...]:
    """The steps from the anodising on, in their order."""
    kinds = [step.kind for step in plan.steps]
    first = next(i for i, kind in enumerate(kinds) if kind in (RunStepKind.ANODISE, RunStepKind.ANODISE_AT_VOLTS))
    return plan.steps[first:]


def step_now(plan: Plan, begun: Sequence[Begun]) -> int:
    """Which of the steps at the tank is on: as many as were begun, less one; all of them done: their number."""
    return min(len(begun) - 1, len(steps_at_the_tank(plan)))


def due_in_step(plan: Plan, begun: Sequence[Begun]) -> Due:
    """What is due in a step after the anodising: its time, counted from when it was begun."""
    steps, number = steps_at_the_tank(plan), step_now(plan, begun)
    if number >= len(steps):
        return Due(fact(Do.DONE), begun[-1].at_s, None)
    minutes = steps[number].minutes
    until_s = None if minutes is None else begun[-1].at_s + 60.0 * minutes.value
    return Due(fact(Do.STEP, step=steps[number].kind), begun[-1].at_s, until_s)
