"""The supply: what it can give, and what it does with a bath over the run."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from areacalc.errors import BadInput, CannotRun
from areacalc.sources import Constant, Kind, Source

Demand = Callable[[float, float], float]
"""Volts at the rack for a current [A] after a charge [C]; must not fall as the current rises."""

LONG_RUN_SHARE = Constant(
    0.8, "", Source(Kind.COMMON_PRACTICE, "a supply that runs for hours is loaded to at most 80 % of its rating")
)
_RAMP_STEPS, _HOLD_STEPS, _LEAST_SHARE = 40, 200, 1e-3
_LEAST_RAMP_S = 1e-3  # a shorter one is none: no hand is so quick, and steps near nothing never add up to it


class Mode(StrEnum):
    """What the supply holds steady."""

    CURRENT = "constant current"
    VOLTAGE = "constant voltage"


class LimitedBy(StrEnum):
    """What decides the current at one moment of the run."""

    RAMP = "ramp"
    SETTING = "setting"
    VOLTAGE = "voltage limit"
    CURRENT = "current limit"


@dataclass(frozen=True, slots=True)
class Supply:
    """A direct-current supply with its limits. Raises BadInput: a limit that is missing or not above zero.

    ramp_s: time over which the setting is brought up from nothing.
    """

    limit_a: float
    limit_v: float
    mode: Mode = Mode.CURRENT
    ramp_s: float = 0.0

    @property
    def holds_volts(self) -> bool:
        """Whether it holds its volts steady, not its current."""
        return self.mode is Mode.VOLTAGE

    def __post_init__(self) -> None:
        for name, limit, unit in (("current", self.limit_a, "A"), ("voltage", self.limit_v, "V")):
            if not 0.0 < limit < math.inf:
                raise BadInput("supply", f"its {name} limit is {limit:g} {unit}", f"give its largest {unit}")
        if not 0.0 <= self.ramp_s < math.inf:
            raise BadInput("supply", "the ramp must be 0 min or longer", "give a time such as '5 min'")


def with_ramp_s(full_s: float, ramp_s: float) -> float:
    """The time of a run [s] from the time its charge takes at full current and the ramp, which gives half the charge.

    A run whose charge is there before the ramp is over ends in it.

    >>> with_ramp_s(600.0, 300.0), with_ramp_s(37.5, 300.0)
    (750.0, 150.0)
    """
    return full_s + 0.5 * ramp_s if full_s >= 0.5 * ramp_s else math.sqrt(2.0 * full_s * ramp_s)


@dataclass(frozen=True, slots=True)
class Moment:
    """The supply's meters at one time, the charge so far, and what decides the current."""

    time_s: float
    current_a: float
    voltage_v: float
    charge_c: float
    limited_by: LimitedBy


@dataclass(frozen=True, slots=True)
class Course:
    """A run in this supply, moment by moment, to the wanted charge; `reached_s` is when it is there."""

    moments: tuple[Moment, ...]
    reached_s: float
    set_a: float

    @property
    def end(self) -> Moment:
        """The last moment."""
        return self.moments[-1]

    @property
    def most_a(self) -> float:
        """The largest current of the run [A]."""
        return max(moment.current_a for moment in self.moments)

    @property
    def most_v(self) -> float:
        """The largest volts of the run [V]."""
        return max(moment.voltage_v for moment in self.moments)

    def spans(self) -> tuple[tuple[LimitedBy, float, float], ...]:
        """What decided the current, and from when to when [s]."""
        out: list[tuple[LimitedBy, float, float]] = []
        for before, after in zip(self.moments, self.moments[1:], strict=False):
            if out and out[-1][0] is after.limited_by:
                out[-1] = (out[-1][0], out[-1][1], after.time_s)
            else:
                out.append((after.limited_by, before.time_s, after.time_s))
        return tuple(out)

    def at(self, time_s: float) -> Moment:
        """The meters at a time of the run [s], straight between the moments reckoned; the ends outside them."""
        if time_s <= self.moments[0].time_s:
            return self.moments[0]
        for a, b in zip(self.moments, self.moments[1:], strict=False):
            if time_s <= b.time_s:
                share = (time_s - a.time_s) / (b.time_s - a.time_s)
                i, v, q = (x + share * (y - x) for x, y in (
                    (a.current_a, b.current_a), (a.voltage_v, b.voltage_v), (a.charge_c, b.charge_c)))  # fmt: skip
                return Moment(time_s, i, v, q, b.limited_by)
        return self.end


def run_in(
    supply: Supply, demand_v: Demand, goal_c: float, set_a: float, set_v: float | None = None, series_ohm: float = 0.0
) -> Course:
    """The course of a run to a charge of `goal_c` [C], the supply set to `set_a` (in constant voltage: `set_v`).

    demand_v: volts at the rack for (current A, charge so far C); series_ohm is the rack and the leads. In constant
    voltage `set_v` None takes the volts that the current wants once the ramp is over. Raises CannotRun where the supply
    cannot drive a thousandth of the current asked.
    """
    if not (goal_c > 0.0 and set_a > 0.0 and series_ohm >= 0.0):
        raise BadInput(
            "supply", f"nothing to do: {goal_c:g} C at {set_a:g} A", "give a current and a charge above zero"
        )

    def wanted_v(current_a: float, charge_c: float) -> float:
        return demand_v(current_a, charge_c) + current_a * series_ohm

    volts = min(supply.limit_v, set_v if set_v is not None else wanted_v(set_a, 0.0))
    ramp_s = supply.ramp_s if supply.ramp_s >= _LEAST_RAMP_S else 0.0
    moments, time_s, charge_c = [], 0.0, 0.0
    first = _meters(supply, wanted_v, 0.0 if ramp_s else 1.0, set_a, volts, 0.0, ramp_s > 0.0)
    moments.append(Moment(0.0, first[0], first[1], 0.0, first[2]))
    full_a = min(set_a, supply.limit_a)
    while charge_c < goal_c:
        in_ramp = time_s < ramp_s * (1.0 - 1e-12)
        # the same share of the charge a step, however little current the volts drive
        flowing_a = max(moments[-1].current_a, _LEAST_SHARE * full_a)
        step_s = ramp_s / _RAMP_STEPS if in_ramp else goal_c / flowing_a / _HOLD_STEPS
        share = min(1.0, (time_s + step_s) / ramp_s) if ramp_s else 1.0
        ahead_c = charge_c + moments[-1].current_a * step_s
        current_a, voltage_v, limited_by = _meters(supply, wanted_v, share, set_a, volts, ahead_c, in_ramp)
        gained_c = 0.5 * (moments[-1].current_a + current_a) * step_s
        if not in_ramp and current_a < _LEAST_SHARE * full_a:
            raise CannotRun(
                "supply",
                f"at {supply.limit_v:g} V it drives {current_a:.3g} A of the {set_a:.3g} A wanted",
                "use a supply with more volts, a warmer bath, or a shorter and thicker rack",
            )
        if charge_c + gained_c >= goal_c:
            part = _share_of_step(moments[-1].current_a, current_a, step_s, goal_c - charge_c)
            current_a = moments[-1].current_a + part * (current_a - moments[-1].current_a)
            voltage_v = moments[-1].voltage_v + part * (voltage_v - moments[-1].voltage_v)
            step_s, gained_c = part * step_s, goal_c - charge_c
        time_s, charge_c = time_s + step_s, charge_c + gained_c
        moments.append(Moment(time_s, current_a, voltage_v, charge_c, limited_by))
    return Course(tuple(moments), time_s, set_a)


def _meters(
    supply: Supply,
    wanted_v: Demand,
    share: float,
    set_a: float,
    set_v: float,
    charge_c: float,
    in_ramp: bool,
) -> tuple[float, float, LimitedBy]:
    """Amperes, volts and what decides, with the setting at a share of its full value."""
    ramping = LimitedBy.RAMP if in_ramp else LimitedBy.SETTING
    if supply.mode is Mode.CURRENT:
        current_a = min(share * set_a, supply.limit_a)
        by = LimitedBy.CURRENT if share * set_a > supply.limit_a else ramping
        ceiling_v, by_volts = supply.limit_v, LimitedBy.VOLTAGE
    else:
        current_a, by = supply.limit_a, LimitedBy.CURRENT
        ceiling_v, by_volts = share * set_v, ramping
    voltage_v = wanted_v(current_a, charge_c) if current_a > 0.0 else 0.0
    if voltage_v <= ceiling_v:
        return current_a, voltage_v, by
    return _current_at(wanted_v, ceiling_v, current_a, charge_c), ceiling_v, by_volts


def _current_at(wanted_v: Demand, ceiling_v: float, most_a: float, charge_c: float) -> float:
    """The current whose volts are `ceiling_v`, between nothing and `most_a`, to one part in 1e9 of the latter."""
    low, high = 0.0, most_a
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if wanted_v(middle, charge_c) <= ceiling_v else (low, middle)
    return low


def _share_of_step(from_a: float, to_a: float, step_s: float, wanted_c: float) -> float:
    """The share of a step after which a current straight from one value to another has carried a charge."""
    slope = 0.5 * (to_a - from_a)
    wanted = wanted_c / step_s
    root = math.sqrt(max(from_a * from_a + 4.0 * slope * wanted, 0.0))
    return min(1.0, 2.0 * wanted / (from_a + root)) if from_a + root > 0.0 else 1.0
