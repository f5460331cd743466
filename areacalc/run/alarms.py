"""What is wrong at the tank, as the meters tell it, and what of the load would explain it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.plan.plan import Plan
from areacalc.surface.skin import State


class AlarmKind(Enum):
    """What is wrong."""

    LESS_AREA = "less area takes current"
    MORE_AREA = "more area takes current"
    BURNING = "volts fall while the current holds"
    NO_CURRENT = "no current"
    RAISED_TOO_FAST = "raised faster than the ramp"
    CURRENT_OFF = "current not as set"
    BATH_TOO_WARM = "bath too warm"
    WARMS_FASTER = "bath warms faster than planned"


class CauseKind(Enum):
    """What would explain an area."""

    NO_CONTACT = "no contact"
    AIR = "air in a bore"
    PLUG_OUT = "plug out"
    MASK_OFF = "mask off"


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that would explain a reading, and the area there would be [mm2]."""

    fact: Fact
    area_mm2: float


@dataclass(frozen=True, slots=True)
class Alarm:
    """What is wrong, and what would explain it, the nearest first."""

    fact: Fact
    causes: tuple[Cause, ...] = ()

    @property
    def kind(self) -> Enum:
        return self.fact.kind


def area_alarm(plan: Plan, implied: Estimate, before: Estimate) -> Alarm | None:
    """The alarm where the area that the meters imply [mm2] cannot be the one before [mm2]; None where it can.

    The one rule for a reading against the plan and for a reading against those before it in the same run. More area
    that no plug and no mask of the load would explain is told as burning, which lets the volts fall as well.
    """
    if implied.low <= before.high and before.low <= implied.high:
        return None
    more = implied.low > before.high
    causes = _explaining(plan, implied, before.value, more)
    kind = AlarmKind.LESS_AREA
    if more:
        kind = AlarmKind.MORE_AREA if causes else AlarmKind.BURNING
    share = Estimate(implied.value / before.value, implied.low / before.value, implied.high / before.value)
    return Alarm(fact(kind, share=quantity(share, ""), area=quantity(implied, "mm2")), causes)


def _explaining(plan: Plan, implied: Estimate, whole_mm2: float, more: bool) -> tuple[Cause, ...]:
    """What of this load would bring the area into the implied bounds, the nearest first."""
    found = []
    for part, thrown in zip(plan.parts, plan.throw.parts, strict=True):
        one, name = thrown.effective.estimate.value / part.line.count, part.line.name
        if not more:
            lost = min(max(round((whole_mm2 - implied.value) / one), 1), part.line.count)
            found.append(Cause(fact(CauseKind.NO_CONTACT, count=lost, part=name), whole_mm2 - lost * one))
        for row in part.rows:
            feature, mm2 = row.feature.name, row.area_mm2.value
            if more and row.state in (State.PLUGGED, State.MASKED):
                kind = CauseKind.PLUG_OUT if row.state is State.PLUGGED else CauseKind.MASK_OFF
                found.append(Cause(fact(kind, feature=feature, part=name), whole_mm2 + mm2))
            if not more and row.state is State.WET and "bore" in feature:
                mm2 *= thrown.share(feature)
                found.append(Cause(fact(CauseKind.AIR, feature=feature, part=name), whole_mm2 - mm2))
    inside = [cause for cause in found if implied.low <= cause.area_mm2 <= implied.high]
    return tuple(sorted(inside, key=lambda cause: abs(cause.area_mm2 - implied.value)))
