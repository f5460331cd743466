"""The alloys of a load: what each makes of the film, what to expect of it, what may not go in together."""

from dataclasses import dataclass

from areacalc.bath.alloy import Alloy, alloy_named, mixed, over_limits, refuse_for_hard_coating
from areacalc.errors import BadInput
from areacalc.fact import Fact
from areacalc.load.load import Load, SurfaceFinish
from areacalc.logbook.records import Run


@dataclass(frozen=True, slots=True)
class AlloyPlan:
    """The alloy of each kind of part, in their order, and the one whose film grows least for its charge.

    mixed: that they are several; over_limits: what hard coating may be too much for, by compositions from memory.
    """

    of_parts: tuple[Alloy, ...]
    slowest: Alloy
    mixed: tuple[Fact, ...]
    over_limits: tuple[Fact, ...]
    etched: bool

    @property
    def expects(self) -> tuple[str, ...]:
        """What to expect of each alloy, once, with its source; smut comes of an etch alone."""
        said = (
            f"{alloy.name}: {each.text} ({each.source})"
            for alloy in self.of_parts for each in alloy.expects if self.etched or each is not alloy.family.smut
        )  # fmt: skip
        return tuple(dict.fromkeys(said))


def plan_alloys(load: Load, hard: bool) -> AlloyPlan:
    """The alloys of a load. Raises CannotRun for a hard coating of an alloy whose certificate is over the limits."""
    alloys = tuple(alloy_named(part.alloy, "alloy", part.copper_pct, part.silicon_pct) for part in load.parts)
    if hard:
        for alloy in alloys:
            refuse_for_hard_coating(alloy)
    slowest = min(alloys, key=lambda alloy: alloy.takes.film_factor.value)
    several = mixed(alloys)
    over = dict.fromkeys(each for alloy in alloys for each in over_limits(alloy)) if hard else ()
    return AlloyPlan(alloys, slowest, (several,) if several is not None else (), tuple(over),
                     load.finish.surface is SurfaceFinish.MATTE)  # fmt: skip


def is_of_alloy(plan: AlloyPlan, load: str, run: Run) -> bool:
    """Whether a run was of the alloy of a load, or, where that is several, of this load."""
    names = {alloy.name for alloy in plan.of_parts}
    if len(names) > 1:
        return run.load == load
    try:
        return alloy_named(run.alloy).name in names
    except BadInput:  # an entry from elsewhere
        return False
