"""A rule of the equipment with its source, and what it says of one choice."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.fact import Fact, fact, quantity
from areacalc.sources import Constant, Kind

_THUMB = (Kind.COMMON_PRACTICE, Kind.REPORTED)
_THUMB_SLACK = 0.01  # of the limit: no rule of thumb is known closer


class Side(Enum):
    """Which side of a limit keeps a rule."""

    LEAST = "at least"
    MOST = "at most"


class Reason(Enum):
    SAFETY = "safety"
    EVENNESS = "evenness"
    HABIT = "habit"


@dataclass(frozen=True, slots=True)
class Rule:
    """A limit on one quantity: the value must be at least (or at most) `limit`.

    decides: False for a rule of thumb beside which another figure decides; outside it a value is only to be checked.
    reason: why it is kept, where that is told apart. least: what a rule of room must have so that nothing touches: that
    is safety, whatever the rule's own reason.
    """

    name: str
    limit: Constant
    at_least: bool
    why: str = ""
    decides: bool = True
    reason: Reason | None = None
    least: Constant | None = None

    @property
    def floor(self) -> float:
        """The least value that is possible at all, in the limit's unit."""
        return self.limit.value if self.least is None else min(self.least.value, self.limit.value)

    @property
    def safety(self) -> Rule | None:
        """The rule that its least is, by itself; None where it has none."""
        if self.least is None:
            return None
        name = f"{self.name}, so that nothing touches"
        return Rule(name, self.least, self.at_least, self.least.source.text, reason=Reason.SAFETY)

    @property
    def side(self) -> Side:
        """Which side of the limit keeps the rule."""
        return Side.LEAST if self.at_least else Side.MOST

    @property
    def is_thumb(self) -> bool:
        """Whether it is a rule of thumb: no safety hangs on it, and nobody measured it or set it as his own."""
        return self.limit.source.kind in _THUMB and self.reason is not Reason.SAFETY

    def judge(self, value: float, where: str | Fact = "") -> Judged:
        """What the rule says of a value in the limit's unit (a rule of thumb: to 1 %); `where` names what is judged."""
        slack = (_THUMB_SLACK if self.is_thumb else 1e-9) * abs(self.limit.value)
        kept = value >= self.limit.value - slack if self.at_least else value <= self.limit.value + slack
        return Judged(self, value, kept, where)

    def judge_room(self, value: float) -> Judged:
        """What the rule says of a value; what its least says where the value is under that."""
        under = self.safety.judge(value) if self.safety is not None else None
        return self.judge(value) if under is None or under.kept else under


@dataclass(frozen=True, slots=True)
class Judged:
    """A rule, the value it was put to, and whether it is kept.

    >>> from areacalc.sources import Source
    >>> room = Rule("freeboard", Constant(75.0, "mm", Source(Kind.COMMON_PRACTICE, "small tanks")), at_least=True)
    >>> room.judge(40.0).kept
    False
    """

    rule: Rule
    value: float
    kept: bool
    where: str | Fact = ""

    @property
    def judgement(self) -> Judgement:
        """How the value stands; a limit from memory is never broken, only to be checked."""
        if self.kept:
            return Judgement.KEPT
        firm = self.rule.decides and self.rule.limit.source.kind is not Kind.FROM_MEMORY
        return Judgement.BROKEN if firm else Judgement.TO_CHECK


class Judgement(Enum):
    """How a value stands to a rule."""

    KEPT = "kept"
    BROKEN = "broken"
    TO_CHECK = "outside a rule that does not decide"


def judged_fact(judged: Judged) -> Fact:
    limit = judged.rule.limit
    return fact(
        judged.judgement, rule=judged.rule.name, value=quantity(judged.value, limit.unit),
        limit=quantity(limit.value, limit.unit), side=judged.rule.side, source=limit.source,
        why=judged.rule.why or None, where=judged.where or None, reason=judged.rule.reason,
    )  # fmt: skip
