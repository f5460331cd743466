"""Sizes that must end in tolerance: what the film makes of each, and the size to turn it to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from areacalc.figure import Figure, constant, given, worked
from areacalc.run.load import FitLine, Load, Look
from areacalc.sources import Constant, Kind, Source

_ROUND = Source(Kind.DERIVED, "the film grows out of both walls")
_FLANK = Source(
    Kind.DERIVED, "60 degree flanks, both: the pitch diameter moves by 2 / sin 30 deg of the growth outward"
)
TIMES: dict[str, Constant] = {
    "diameter": Constant(2.0, "", _ROUND),
    "bore": Constant(-2.0, "", _ROUND),
    "thread": Constant(4.0, "", _FLANK),
    "thread-bore": Constant(-4.0, "", _FLANK),
}
"""By how many times the growth outward a size changes; sizes of threads are pitch diameters."""


class Verdict(StrEnum):
    """What becomes of a fit."""

    KEPT = "kept"
    MAY_BE_LOST = "may be lost"
    LOST = "lost"
    UNKNOWN = "not measured"
    NO_ROOM = "no size keeps it for certain"


@dataclass(frozen=True, slots=True)
class FitPlan:
    """One fit of one kind of part: the change [mm], the size after where it was measured, the sizes to turn it to [mm].

    turn_least_mm above turn_most_mm says that the film is not known well enough for any size to be certain.
    """

    part: str
    fit: FitLine
    change: Figure
    after: Figure | None
    turn_least_mm: float
    turn_most_mm: float
    verdict: Verdict

    @property
    def sentence(self) -> str:
        """The fit in words."""
        turn = f"turn it to {self.turn_least_mm:.3f} to {self.turn_most_mm:.3f} mm"
        if self.turn_least_mm > self.turn_most_mm:
            turn = "no size before the film keeps it for certain: mask it, or fit it after"
        if self.after is None:
            return f"{self.part}, {self.fit.name}: {turn}."
        e = self.after.estimate
        return (f"{self.part}, {self.fit.name}: ends at {e.value:.3f} mm ({e.low:.3f} to {e.high:.3f}), wanted "
                f"{self.fit.least_mm:.3f} to {self.fit.most_mm:.3f}: {self.verdict.value}; {turn}.")  # fmt: skip


def plan_fits(load: Load, outward: Sequence[Figure]) -> tuple[FitPlan, ...]:
    """Every fit of the load with the growth outward [um] of each kind of part; an etch before it is left out."""
    return tuple(_fit(part.name, fit, out) for part, out in zip(load.parts, outward, strict=True) for fit in part.fits)


def left_out(load: Load) -> str:
    """A sentence where an etch changes the sizes as well, else nothing."""
    if load.finish.look is not Look.MATTE or not any(part.fits for part in load.parts):
        return ""
    return "The etch takes metal off every wet face before the film: measure the fits after it, or etch a trial piece."


def _fit(part: str, fit: FitLine, outward: Figure) -> FitPlan:
    times = constant(f"times the growth, {fit.kind}", TIMES[fit.kind])
    change = worked(f"change of {fit.name}", "mm", "times x growth outward", times.source,
                    lambda k, out: k * out * 1e-3, times, outward)  # fmt: skip
    e = change.estimate
    turn_least_mm, turn_most_mm = fit.least_mm - e.low, fit.most_mm - e.high
    after = None
    if fit.turned_mm is not None:
        turned = given(f"{fit.name} as turned", fit.turned_mm, "mm")
        after = worked(f"{fit.name} after the film", "mm", "as turned + change", times.source, lambda t, c: t + c,
                       turned, change)  # fmt: skip
    verdict = _verdict(fit, after, turn_least_mm > turn_most_mm)
    return FitPlan(part, fit, change, after, turn_least_mm, turn_most_mm, verdict)


def _verdict(fit: FitLine, after: Figure | None, no_room: bool) -> Verdict:
    if after is None:
        return Verdict.NO_ROOM if no_room else Verdict.UNKNOWN
    e = after.estimate
    if fit.least_mm <= e.low and e.high <= fit.most_mm:
        return Verdict.KEPT
    return Verdict.LOST if e.low > fit.most_mm or e.high < fit.least_mm else Verdict.MAY_BE_LOST
