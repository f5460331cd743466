"""A load that is too much for its tank or its power supply at once, as runs of parts by name."""

from __future__ import annotations

import math
from dataclasses import replace

from areacalc.plan.room import RoomPlan
from areacalc.plan.share_out import Shared, Sharing
from areacalc.plant.layout import lay_out
from areacalc.plant.runs import Counts, split
from areacalc.plant.too_small import InRuns, OneRun


def in_runs(of: Sharing, shared: Shared, room: RoomPlan) -> InRuns | None:
    """The fewest runs in which every part has room and a density inside the window; None where one run does it.

    The kinds of part go in by area, the largest first.
    """
    load, parts, throw, currents = of.load, of.parts, shared.throw, shared.currents
    least, limit_a = currents.window.least_a_per_dm2, load.supply.limit_a if load.supply else math.inf
    wanted = currents.wanted_a / (throw.effective.estimate.value * 1e-4)
    beside_mm2 = of.rack.estimate.value if of.rack else 0.0
    each_mm2 = [found.effective.estimate.value / part.line.count
                for found, part in zip(throw.parts, parts, strict=True)]  # fmt: skip
    order = sorted(range(len(parts)), key=lambda i: -each_mm2[i])
    kinds = dict(zip([i for i, part in enumerate(parts) if part.part is not None], room.parts, strict=True))
    has_sizes = room.layout is not None or room.would_do is not None

    def taken_mm2(run: Counts) -> float:
        return beside_mm2 + sum(n * each_mm2[i] for n, i in zip(run, order, strict=True))

    def goes(run: Counts) -> bool:
        if least * taken_mm2(run) * 1e-4 > limit_a * (1.0 + 1e-9):
            return False
        hung = [replace(kinds[i], count=n) for n, i in zip(run, order, strict=True) if n and i in kinds]
        return not hung or not has_sizes or lay_out(hung, room.room, load.spacing) is not None

    found = split(tuple(parts[i].line.count for i in order), goes)
    if len(found.runs) == 1 and not found.alone:
        return None
    names = [parts[i].line.name for i in order]
    runs = tuple(
        OneRun(tuple((name, n) for name, n in zip(names, run, strict=True) if n),
            min(limit_a, wanted * taken_mm2(run) * 1e-4))
        for run in found.runs
    )  # fmt: skip
    return InRuns(runs, tuple(names[i] for i in found.alone))
