"""A rule of the equipment with its source, and what it says of one choice."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.digits import rounded
from areacalc.sources import Constant, Kind


@dataclass(frozen=True, slots=True)
class Rule:
    """A limit on one quantity: the value must be at least (or at most) `limit`."""

    name: str
    limit: Constant
    at_least: bool
    why: str = ""

    def judge(self, value: float, where: str = "") -> Judged:
        """What the rule says of a value in the limit's unit; `where` names the thing judged."""
        slack = 1e-9 * abs(self.limit.value)
        kept = value >= self.limit.value - slack if self.at_least else value <= self.limit.value + slack
        return Judged(self, value, kept, where)


@dataclass(frozen=True, slots=True)
class Judged:
    """A rule, the value it was put to, and whether it is kept.

    >>> from areacalc.sources import Source
    >>> room = Rule("freeboard", Constant(75.0, "mm", Source(Kind.COMMON_PRACTICE, "small tanks")), at_least=True)
    >>> print(room.judge(40.0).text)
    breaks 'freeboard': 40 mm, should be at least 75 mm (common practice: small tanks)
    """

    rule: Rule
    value: float
    kept: bool
    where: str = ""

    @property
    def text(self) -> str:
        """The verdict as one sentence; a limit from memory is never more than something to look at."""
        limit = self.rule.limit
        unit = f" {limit.unit}" if limit.unit else ""
        side = "at least" if self.rule.at_least else "at most"
        from_memory = limit.source.kind is Kind.FROM_MEMORY
        verb = "keeps" if self.kept else "look again at" if from_memory else "breaks"
        thing = f"{self.where}: " if self.where else ""
        value, bound = rounded(self.value, 4), rounded(limit.value, 4)
        why = "" if self.kept or not self.rule.why else f"; {self.rule.why}"
        return f"{thing}{verb} '{self.rule.name}': {value}{unit}, should be {side} {bound}{unit} ({limit.source}){why}"
