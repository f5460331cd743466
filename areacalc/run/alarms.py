"""What is wrong at the tank, as the meters tell it, and what of the load would explain it."""

from dataclasses import dataclass
from enum import Enum

from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.plan.plan import Plan
from areacalc.surface.skin import State

_HALF = 0.5  # chosen: of what is missing or too much; what explains less is no cause
_TOLD = 3  # of the nearest causes; a part without contact is always told


class AlarmKind(Enum):
    """What is wrong, the gravest first."""

    OVERRUN = "more coating than planned"
    NO_CURRENT = "no current"
    LESS_AREA = "less area takes current"
    MORE_AREA = "more area takes current"
    BURNING = "volts fall while the current holds"
    RAISED_TOO_FAST = "raised faster than the ramp"
    CURRENT_OFF = "current not as set"
    BATH_TOO_WARM = "bath too warm"
    WARMS_FASTER = "bath warms faster than planned"


STOPS = (AlarmKind.NO_CURRENT, AlarmKind.LESS_AREA, AlarmKind.MORE_AREA, AlarmKind.BURNING)
"""What no turn of the knob mends."""
OF_BATH = (AlarmKind.BATH_TOO_WARM, AlarmKind.WARMS_FASTER)


class CauseKind(Enum):
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

    @property
    def is_of_area(self) -> bool:
        """Whether the area that takes current cannot be the planned one."""
        return self.kind in (AlarmKind.LESS_AREA, AlarmKind.MORE_AREA, AlarmKind.BURNING)

    @property
    def told(self) -> tuple[Cause, ...]:
        """The nearest of the causes, and every kind of part that may have no contact."""
        return tuple(each for number, each in enumerate(self.causes)
                     if number < _TOLD or each.fact.kind is CauseKind.NO_CONTACT)  # fmt: skip


def overrun(plan: Plan, film: Estimate, since_s: float | None) -> Alarm | None:
    """The alarm where the coating so far [um] is thicker than the plan's bounds.

    since_s: when the current was due off [s]; None where it is off, or not due.
    The limit of the bath stands in the fact where the coating is past it.
    """
    if film.value <= plan.film.film.estimate.high:
        return None
    values = {"film": quantity(film, "um"), "wanted": quantity(plan.figures["coating-wanted"].estimate, "um")}
    if film.value > (top := plan.film.ceiling.estimate).low:
        values["top"] = quantity(top, "um")
    if since_s is not None:
        values["since"] = quantity(since_s, "s")
    return Alarm(fact(AlarmKind.OVERRUN, has_fits=bool(plan.fits), **values))


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
    """What of this load would bring the area into the implied bounds, the nearest first, then what is fewest.

    Every kind of part whose contact may be lost; of bores and masks what explains half of what is missing at least.
    """
    found, off_mm2 = [], implied.value - whole_mm2
    for part, thrown in zip(plan.parts, plan.throw.parts, strict=True):
        count, name = part.line.count, part.line.name
        if not more:
            one = thrown.effective.estimate.value / count
            found += _fitting(CauseKind.NO_CONTACT, implied, whole_mm2, -one, count, part=name)
        for row in part.rows:
            feature, mm2, kind = row.feature.name, row.area_mm2.value, None
            if more and row.state in (State.PLUGGED, State.MASKED):
                kind = CauseKind.PLUG_OUT if row.state is State.PLUGGED else CauseKind.MASK_OFF
            elif not more and row.state is State.WET and "bore" in feature:
                kind, mm2 = CauseKind.AIR, -mm2 * thrown.share(feature)
            if kind is not None:
                near = _fitting(kind, implied, whole_mm2, mm2, count, feature=feature, part=name)
                found += [each for each in near if (each.area_mm2 - whole_mm2) / off_mm2 >= _HALF]
    return tuple(sorted(found, key=lambda each: (round(100.0 * abs(each.area_mm2 - implied.value) / whole_mm2),
                                                 each.fact["count"])))  # fmt: skip


def _fitting(
    kind: CauseKind, implied: Estimate, whole_mm2: float, one_mm2: float, count: int, **of: str
) -> list[Cause]:  # fmt: skip
    """A cause, of as many parts as come nearest to the area implied; none where no number of them comes into it."""
    if one_mm2 == 0.0:
        return []
    near = (implied.value - whole_mm2) / one_mm2
    many = min(max(round(near), 1), count)
    fits = [n for n in (many, many - 1, many + 1)
            if 1 <= n <= count and implied.low <= whole_mm2 + n * one_mm2 <= implied.high]  # fmt: skip
    return [Cause(fact(kind, count=n, **of), whole_mm2 + n * one_mm2) for n in fits[:1]]
