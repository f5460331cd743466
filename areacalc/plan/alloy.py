"""The alloys of a load: what each makes of the film, what to expect of it, what may not go in together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from areacalc.bath.alloy import Alloy, alloy_named, mixed, over_limits, refuse_for_hard_coating
from areacalc.fact import Fact
from areacalc.load.load import Load, PartLine


@dataclass(frozen=True, slots=True)
class AlloyPlan:
    """The alloy of each kind of part, in their order, and the one whose film grows least for its charge."""

    of_parts: tuple[Alloy, ...]
    slowest: Alloy
    faults: tuple[Fact, ...]

    @property
    def expects(self) -> tuple[str, ...]:
        """What to expect of each alloy, once, with its source."""
        said = (f"{alloy.name}: {each.text} ({each.source})" for alloy in self.of_parts for each in alloy.expects)
        return tuple(dict.fromkeys(said))


def plan_alloys(load: Load, hard: bool) -> AlloyPlan:
    """The alloys of a load. Raises CannotRun for a hard coating of an alloy over the published limits."""
    alloys = tuple(alloy_of(part) for part in load.parts)
    if hard:
        for alloy in alloys:
            refuse_for_hard_coating(alloy)
    slowest = min(alloys, key=lambda alloy: alloy.film_factor.value)
    return AlloyPlan(alloys, slowest, tuple(dict.fromkeys(_faults(alloys))))


def alloy_of(part: PartLine, where: str = "alloy") -> Alloy:
    """The alloy of a part with the shares of its certificate. Raises BadInput, UnknownName.

    >>> alloy_of(PartLine("cap", 1, alloy="6061-T6")).name
    '6061'
    """
    return alloy_named(part.alloy, where, part.copper_pct, part.silicon_pct)


def _faults(alloys: tuple[Alloy, ...]) -> Iterable[Fact]:
    if (several := mixed(alloys)) is not None:
        yield several
    for alloy in alloys:
        yield from over_limits(alloy)
