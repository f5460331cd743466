"""The current that flowed in a run: as its ammeter was read, and as planned where nobody read it.

The current stands off the plan's by as much as the readings say. The follow-up of a run and the logbook both add up the
charge by this one rule.
"""

from collections.abc import Sequence

from areacalc.bath.table import between

Currents = Sequence[tuple[float, float]]
"""Times [s] from the start, rising, and the currents then [A], straight between and level outside."""


def knots(read_s: Sequence[float], ramp_s: float) -> list[tuple[float, int | None]]:
    """Times [s], and the reading that says how far the current stands off the plan then; None: it stands on the plan.

    The difference runs straight from one to the next. A ramp begins on the plan and ends off it by what the first
    reading past it says, else on the plan: no reading in a ramp tells of the current after it.

    >>> knots([24.0, 397.0], 72.0)
    [(0.0, None), (24.0, 0), (72.0, 1), (397.0, 1)]
    """
    known: dict[float, int | None] = {}
    if ramp_s > 0.0 and len(read_s):
        known = {0.0: None, ramp_s: next((i for i, at_s in enumerate(read_s) if at_s > ramp_s), None)}
    return sorted((known | {at_s: i for i, at_s in enumerate(read_s)}).items())


def straight(known: Currents, at_s: float) -> float:
    """The current at a time [A].

    >>> straight([(0.0, 0.0), (60.0, 3.0)], 20.0), straight([(0.0, 0.0), (60.0, 3.0)], 90.0)
    (1.0, 3.0)
    """
    times, amps = zip(*known, strict=True)
    return amps[0] if len(known) == 1 else between(min(max(at_s, times[0]), times[-1]), times, amps)


def charge_c(planned: Currents, read: Currents, ramp_s: float, until_s: float) -> float:
    """The charge until a time [C], by the currents planned and those read.

    >>> charge_c([(0.0, 0.0), (60.0, 3.0)], [], 60.0, 120.0)
    270.0
    >>> charge_c([(0.0, 0.0), (60.0, 3.0)], [(90.0, 3.0)], 60.0, 120.0)
    270.0
    """
    off_a = [now_a - straight(planned, at_s) for at_s, now_a in read]
    differs = [(at_s, 0.0 if i is None else off_a[i]) for at_s, i in knots([at_s for at_s, _ in read], ramp_s)]
    times = sorted({min(at_s, until_s) for at_s, _ in [*planned, *differs, (0.0, 0.0), (until_s, 0.0)]})
    flowed = [max(straight(planned, t) + (straight(differs, t) if differs else 0.0), 0.0) for t in times]
    return sum(0.5 * (a + b) * (t - s) for s, t, a, b in zip(times, times[1:], flowed, flowed[1:], strict=False))
