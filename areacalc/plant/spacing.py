"""How far apart things hang: each rule with its figure, its reason, and what breaking it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Any

from areacalc.errors import BadInput
from areacalc.plant.cathode import DISTANCE
from areacalc.plant.rule import Reason, Rule
from areacalc.sources import Constant, Kind, Source


def _practice(mm: float, words: str) -> Constant:
    return Constant(mm, "mm", Source(Kind.COMMON_PRACTICE, words))


BETWEEN = Rule(
    "spacing between parts", _practice(25.0, "a finger's width on all sides of a part; no standard gives a figure"),
    at_least=True, decides=False, reason=Reason.EVENNESS,
    least=_practice(5.0, "parts swing in moving acid; where two touch, both stay bare or burn"),
    why="acid, heat and gas pass less freely between the parts",
)  # fmt: skip
ENDS = Rule(
    "room at the ends", _practice(50.0, "a hand's width between the last part and the end wall"),
    at_least=True, decides=False, reason=Reason.HABIT,
    least=_practice(5.0, "a part that swings against the wall stays bare there"),
    why="lift the rack in and out with care: a part may scrape the end wall",
)  # fmt: skip
BELOW = Rule(
    "room below", _practice(75.0, "clear of sludge, air pipe and cooling coil; 100 to 150 mm in large tanks"),
    at_least=True, decides=False, reason=Reason.HABIT,
    least=_practice(10.0, "the lowest part hangs clear of the floor as it swings"),
    why="keep sludge, air pipe and cooling coil away from under the parts",
)  # fmt: skip
ABOVE = Rule(
    "liquid above the part", _practice(50.0, "the part stays under when the liquid moves and sinks"),
    at_least=True, decides=False, reason=Reason.EVENNESS,
    least=_practice(10.0, "less, and a ripple bares the part"),
    why="watch the level: surface that comes out of the acid stays bare",
)  # fmt: skip
BEHIND_CATHODE = _practice(10.0, "the strips hang a finger clear of the wall")
ROWS = Constant(
    2.0, "", Source(Kind.COMMON_PRACTICE, "every row sees a cathode: one row between two cathode walls, or two"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Gaps:
    """Clearances that a layout is packed with [mm]."""

    between_mm: float
    ends_mm: float
    below_mm: float
    above_mm: float
    cathodes_mm: float


@dataclass(frozen=True, slots=True)
class Spacing:
    """The rules that a layout keeps, the usual ones or a person's own, and how many rows and tiers it may have.

    tiers: None for as many as the depth holds. Raises BadInput for no rows or tiers.
    """

    between: Rule = BETWEEN
    ends: Rule = ENDS
    below: Rule = BELOW
    above: Rule = ABOVE
    cathodes: Rule = DISTANCE
    rows: int = int(ROWS.value)
    tiers: int | None = None

    def __post_init__(self) -> None:
        for name, number in (("rows", self.rows), ("tiers", self.tiers)):
            if number is not None and number < 1:
                raise BadInput(name, f"{number} {name} hold nothing", "give at least 1")

    def own(self, **own_mm: float) -> Spacing:
        """With a person's own figures [mm] in place of the usual, by rule: between, ends, below, above, cathodes.

        >>> Spacing().own(below=30.0).usual.below_mm
        30.0
        """
        own: dict[str, Any] = {name: _own(self.rules[name], mm) for name, mm in own_mm.items()}
        return replace(self, **own)

    @property
    def rules(self) -> dict[str, Rule]:
        return {each.name: rule for each in fields(self) if isinstance(rule := getattr(self, each.name), Rule)}

    @property
    def usual(self) -> Gaps:
        """Every clearance at its usual figure, or at the person's own."""
        return Gaps(**{f"{name}_mm": rule.limit.value for name, rule in self.rules.items()})

    @property
    def least(self) -> Gaps:
        """Every clearance at the least that nothing touches at."""
        return Gaps(**{f"{name}_mm": rule.floor for name, rule in self.rules.items()})


USUAL = Spacing()
"""The usual rules, with nothing of a person's own."""


def _own(rule: Rule, mm: float) -> Rule:
    if not 0.0 < mm < math.inf:
        raise BadInput(rule.name, f"{mm:g} mm is not above zero", "give a length such as '20 mm'")
    own = Constant(mm, "mm", Source(Kind.ENTERED, "your own rule"))
    return replace(rule, limit=own)
