"""The fits of a load: each size that must end in tolerance, through etch and film."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from areacalc.bath.fits import Fit, fit
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.figure import Figure
from areacalc.load.load import Load


@dataclass(frozen=True, slots=True)
class FitPlan:
    """One fit of one kind of part."""

    part: str
    fit: Fit

    def fact(self, kind: Enum) -> Fact:
        """What becomes of the size, from turning through the etch to the film, and what to turn it to."""
        fit = self.fit
        etched = fit.etched if fit.etched is not fit.turned else None
        return fact(
            kind, part=self.part, size=fit.name, verdict=fit.verdict, turned=fit.turned, etched=etched, end=fit.filmed,
            wanted=_between(fit.wanted.middle_mm, fit.wanted.least_mm, fit.wanted.most_mm),
            aim=None if fit.turn_least_mm > fit.turn_most_mm
            else _between(fit.turn_to.estimate.value, fit.turn_least_mm, fit.turn_most_mm),
        )  # fmt: skip


def _between(value_mm: float, least_mm: float, most_mm: float) -> Quantity:
    return quantity(Estimate(min(max(value_mm, least_mm), most_mm), least_mm, most_mm), "mm")


def plan_fits(load: Load, outward: Sequence[Figure], lost: Figure | None = None) -> tuple[FitPlan, ...]:
    """Every fit of the load with the growth outward [um] of each kind of part, and the metal lost in an etch [um]."""
    return tuple(
        FitPlan(part.name, fit(line.name, line.kind, line.wanted, out, lost, line.turned_mm, line.flank_deg))
        for part, out in zip(load.parts, outward, strict=True)
        for line in part.fits
    )
