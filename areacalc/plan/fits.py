"""The fits of a load: each size that must end in tolerance, through etch and film."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.bath.fits import Fit, Verdict, fit
from areacalc.figure import Figure
from areacalc.load.load import Load


@dataclass(frozen=True, slots=True)
class FitPlan:
    """One fit of one kind of part."""

    part: str
    fit: Fit

    @property
    def sentence(self) -> str:
        """The fit in words: where it ends, or what to turn it to."""
        said = self.fit.warning
        if not said and self.fit.course:
            said = f"{self.fit.name} {self.fit.course}: {self.fit.verdict.value}."
        return f"{self.part}: {said or f'{self.fit.name}: {self.fit.remedy}.'}"


def plan_fits(load: Load, outward: Sequence[Figure], lost: Figure | None = None) -> tuple[FitPlan, ...]:
    """Every fit of the load with the growth outward [um] of each kind of part, and the metal lost in an etch [um]."""
    return tuple(
        FitPlan(part.name, fit(line.name, line.kind, line.wanted, out, lost, line.turned_mm, line.flank_deg))
        for part, out in zip(load.parts, outward, strict=True)
        for line in part.fits
    )


def is_lost(plan: FitPlan) -> bool:
    """Whether the fit is lost for certain."""
    return plan.fit.verdict is Verdict.LOST
