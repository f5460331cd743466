"""The run as it happens: current, volts, charge, film, heat, bath and surface temperature from the ramp to the end.

One integration in time through ramp, steady current, the power supply's limits and steady volts. It is followed for
many cases side by side, a column each: the values of everything unknown, and the ends between which they lie.

    V = offset(T) + V0 ln i + rise x film        at the tank, i = I / area, T the law's own temperature
    dQ/dt = I,   film = k Q / area,   dE/dt = I (V + chemical term),   C dT/dt = that less the cooling

The surface's temperature follows the heat of the moment before, as that of a part with its own mass does.
"""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from areacalc.arrays import Floats
from areacalc.bath.cases import Cases
from areacalc.bath.electrolyte import BOILING
from areacalc.bath.flowed import knots
from areacalc.errors import CannotRun
from areacalc.sources import Kind, Source

COURSE = Source(
    Kind.DERIVED, "the run followed in time with its ramp, limits and warming, every input at its least and at its most"
)
_RAMP_STEPS, _HOLD_STEPS, _GROWTH = 40, 200, 0.01
BEYOND = 10.0
"""How many times as long as the film takes a run is followed for when its bath leaves its band."""
_LEAST_SHARE, _LEAST_AT_ALL = 0.1, 1e-3  # of the current asked: less is no run, with everything at its value or not
_LEAST_RAMP_S = 1e-3  # no hand is quicker


class LimitedBy(IntEnum):
    """What decides the current at one moment of the run."""

    RAMP = 0
    SETTING = 1
    VOLTAGE = 2
    CURRENT = 3

    @property
    def word(self) -> str:
        """Its name in documents."""
        return ("ramp", "setting", "voltage limit", "current limit")[self]


@dataclass(frozen=True, slots=True)
class RunSetting:
    """What the power supply is set to: current [A], or steady volts where `held_v` is given, and its limits.

    ramp_s: time over which the setting is brought up from nothing. series_ohm: rack and leads.
    """

    current_a: float
    limit_a: float = np.inf
    limit_v: float = np.inf
    held_v: float | None = None
    ramp_s: float = 0.0
    series_ohm: float = 0.0

    @property
    def full_a(self) -> float:
        """The current asked, as far as the power supply gives it."""
        return min(self.current_a, self.limit_a)


@dataclass(frozen=True, slots=True)
class Course:
    """The run over time_s (m,), each other array (m, n): a row a moment, a column a case.

    volts_v is at the tank, heat_j what the bath has been given, rise_k how far the surface stands above bath_c.
    """

    cases: Cases
    setting: RunSetting
    time_s: Floats
    current_a: Floats
    volts_v: Floats
    charge_c: Floats
    heat_j: Floats
    bath_c: Floats
    rise_k: Floats
    limited_by: npt.NDArray[np.int8]

    @property
    def heat_w(self) -> Floats:
        return self.current_a * (self.volts_v + self.cases.chemical_v)

    @property
    def wants_v(self) -> Floats:
        """What the current wants of the power supply, for the tank and the rack."""
        return self.volts_v + self.current_a * self.setting.series_ohm

    @property
    def supply_v(self) -> Floats:
        """What the power supply's meter shows: never more than the power supply gives."""
        return np.minimum(self.wants_v, self.setting.limit_v)

    @property
    def film_um(self) -> Floats:
        return self.cases.film_um(self.charge_c)

    def when(self, charge_c: Floats) -> Floats:
        """The time [s] (n,) at which each case has had its charge [C]; the last moment where it never has."""
        after = np.minimum((self.charge_c < charge_c).sum(axis=0), len(self.time_s) - 1)
        cases = np.arange(self.charge_c.shape[1])
        before = np.maximum(after - 1, 0)
        step = self.time_s[after] - self.time_s[before]
        start_a, end_a = self.current_a[before, cases], self.current_a[after, cases]
        wanted_c = charge_c - self.charge_c[before, cases]
        root = np.sqrt(np.maximum(start_a**2 + 2.0 * (end_a - start_a) * wanted_c / np.maximum(step, 1e-300), 0.0))
        part = 2.0 * wanted_c / np.maximum(start_a + root, 1e-300)  # the current runs straight within a step
        reached: Floats = self.time_s[before] + np.clip(part, 0.0, step)
        return reached

    def at(self, rows: Floats, time_s: Floats | float) -> Floats:
        """One of the arrays at a time [s], one for all cases or one each (n,): straight between moments."""
        after, share = _placed(self.time_s, np.broadcast_to(np.asarray(time_s, dtype=float), rows.shape[1:]))
        cases = np.arange(rows.shape[1])
        return rows[after - 1, cases] * (1.0 - share) + rows[after, cases] * share


def follow(setting: RunSetting, cases: Cases, film_um: float, until_c: float = -np.inf) -> Course:
    """The run until every case has its film [um] and its bath is past a temperature [C], or BEYOND is up.

    Raises CannotRun where the power supply drives less than a tenth of the current asked, or may drive less than a
    thousandth.
    """
    goal_c = cases.charge_c(film_um)
    ramp_s = setting.ramp_s if setting.ramp_s >= _LEAST_RAMP_S else 0.0
    hold_s = float(goal_c[0]) / setting.full_a / _HOLD_STEPS
    zero = np.zeros_like(goal_c)
    time_s, charge_c, heat_j, bath_c, heat_w = 0.0, zero, zero, zero + cases.bath.bath_c, zero
    coating, last_s = True, np.inf
    rows, ramping = [], ramp_s > 0.0
    current_a, volts_v, limited, rise_k = _meters(setting, cases, 0.0 if ramping else 1.0, ramping, zero, bath_c, zero)
    rows.append((time_s, current_a, volts_v, charge_c, heat_j, bath_c, rise_k, limited))
    while ramping or coating or (time_s < last_s and (bath_c[: cases.corners] < until_c).any()):
        step_s = ramp_s / _RAMP_STEPS if ramping else max(hold_s, _GROWTH * time_s)
        time_s += step_s
        share = min(1.0, time_s / ramp_s) if ramp_s else 1.0
        heat_w = current_a * (volts_v + cases.chemical_v)
        ahead_c = _warmed(cases, bath_c, heat_w * step_s, step_s)
        after_a, volts_v, limited, rise_k = _meters(
            setting, cases, share, ramping, charge_c + current_a * step_s, ahead_c, heat_w
        )
        driven = after_a / setting.full_a
        if coating and not ramping and (driven[0] < _LEAST_SHARE or (driven < _LEAST_AT_ALL).any()):
            raise _drives_nothing(setting, float(after_a[0] if driven[0] < _LEAST_SHARE else after_a.min()))
        charge_c = charge_c + 0.5 * (current_a + after_a) * step_s
        gained_j = 0.5 * (heat_w + after_a * (volts_v + cases.chemical_v)) * step_s
        heat_j = heat_j + gained_j
        bath_c = _warmed(cases, bath_c, gained_j, step_s)
        current_a, ramping = after_a, time_s < ramp_s * (1.0 - 1e-9)
        if coating and not (charge_c < goal_c).any():
            coating, last_s = False, BEYOND * time_s
        rows.append((time_s, current_a, volts_v, charge_c, heat_j, bath_c, rise_k, limited))
    return Course(cases, setting, *(np.array(column) for column in zip(*rows, strict=True)))


def steady_v(setting: RunSetting, cases: Cases, film_um: float) -> Floats:
    """What the power supply shows (n,) at its setting under a film [um], with the surface as warm as that makes it."""
    charge_c, bath_c = cases.charge_c(film_um), np.full_like(cases.area_dm2, cases.bath.bath_c)
    heat_w = np.zeros_like(bath_c)
    for _ in range(12):
        current_a, volts_v, _, _ = _meters(setting, cases, 1.0, False, charge_c, bath_c, heat_w)
        heat_w = current_a * (volts_v + cases.chemical_v)
    return volts_v + current_a * setting.series_ohm


def _warmed(cases: Cases, bath_c: Floats, gained_j: Floats, step_s: float, start_c: Floats | None = None) -> Floats:
    """The bath after a step: cooling is switched by a thermostat, and no bath passes the boil."""
    warmer = bath_c + (gained_j - cases.cooling_w * step_s) * 1e-3 / cases.bath.held_kj_per_k
    return np.clip(warmer, cases.bath.bath_c if start_c is None else start_c, BOILING.value)


def _tank_v(cases: Cases, base_v: Floats, current_a: Floats) -> Floats:
    """Volts at the tank for a current, by those at 1 A/dm2; none without a current, and never below zero."""
    density = np.maximum(current_a / cases.area_dm2, 1e-9)
    return np.where(current_a > 0.0, np.maximum(base_v + cases.e_fold_v * np.log(density), 0.0), 0.0)


def _meters(
    setting: RunSetting, cases: Cases, share: float, ramping: bool, charge_c: Floats, bath_c: Floats, heat_w: Floats
) -> tuple[Floats, Floats, npt.NDArray[np.int8], Floats]:
    """Current [A], volts at the tank, what decides, and the surface's rise [K], with the setting at a share of itself.

    heat_w is that of the moment before.
    """
    base_v, rise_k = cases.base_v(charge_c, bath_c, heat_w)
    by = LimitedBy.RAMP if ramping else LimitedBy.SETTING
    if setting.held_v is None:
        most_v, by_volts = setting.limit_v, LimitedBy.VOLTAGE
        most_a, by_current = share * setting.current_a, by
        if most_a > setting.limit_a:
            most_a, by_current = setting.limit_a, LimitedBy.CURRENT
    else:
        most_v, by_volts = share * min(setting.held_v, setting.limit_v), by
        most_a, by_current = setting.limit_a if share else 0.0, LimitedBy.CURRENT
    if most_a <= 0.0:
        zero = np.zeros_like(base_v)
        return zero, zero, np.full(base_v.shape, by, dtype=np.int8), rise_k
    current_a = np.full(base_v.shape, most_a)
    volts_v = _tank_v(cases, base_v, current_a)
    over = volts_v + current_a * setting.series_ohm > most_v
    if over.any():
        current_a = np.where(over, _current_at(most_v, base_v, cases, setting.series_ohm), current_a)
        volts_v = np.where(over, np.maximum(most_v - current_a * setting.series_ohm, 0.0), volts_v)
    return current_a, volts_v, np.where(over, by_volts, by_current).astype(np.int8), rise_k


def _current_at(volts_v: float, base_v: Floats, cases: Cases, series_ohm: float) -> Floats:
    """The current [A] at which tank and rack take these volts: Newton's method in ln i, down from no rack at all."""
    log = (volts_v - base_v) / cases.e_fold_v
    rack = series_ohm * cases.area_dm2
    for _ in range(40):
        drop = rack * np.exp(log)
        change = (base_v + cases.e_fold_v * log + drop - volts_v) / (cases.e_fold_v + drop)
        log = log - change
        if float(np.abs(change).max()) < 1e-12:
            break
    return cases.area_dm2 * np.exp(log)


def _drives_nothing(setting: RunSetting, current_a: float) -> CannotRun:
    volts = setting.limit_v if setting.held_v is None else min(setting.held_v, setting.limit_v)
    return CannotRun(
        "power supply", f"at {volts:g} V it drives {current_a:.3g} A of the {setting.current_a:.3g} A wanted",
        "use one with more volts, a warmer bath, or a shorter and thicker rack",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Flowed:
    """Currents read [A] (k,) at times [s] (k,), how the bath began [C] (n,) and how much more heat it takes up (n,).

    warmer is a share of the plan's heat: what the room, a pump or a chiller add to it.
    """

    at_s: Floats
    current_a: Floats
    start_c: Floats
    warmer: Floats


def replay(course: Course, flowed: Flowed, until_s: float) -> Course:
    """The course through the currents read, until a time [s] or the last reading, whichever is later.

    Between two readings the current follows the plan's, off by what they say (`knots`); after the last one as well.
    """
    cases = course.cases
    until_s = max(until_s, float(flowed.at_s.max(initial=0.0)), float(course.time_s[1]))
    ramp_s = min(course.setting.ramp_s, until_s)
    time_s = np.union1d(course.time_s[course.time_s < until_s], np.append(flowed.at_s, [ramp_s, until_s]))
    planned_a = _rows(course.time_s, course.current_a, time_s)
    current_a = np.maximum(planned_a + _differs(course, flowed, time_s), 0.0)
    step_s = np.diff(time_s)[:, None]
    charge_c = np.vstack([np.zeros_like(current_a[:1]), np.cumsum(0.5 * step_s * (current_a[1:] + current_a[:-1]), 0)])
    bath_c, heat_j = flowed.start_c, np.zeros_like(flowed.start_c)
    gained_j, heat_w = heat_j, heat_j
    rows: list[tuple[Floats, ...]] = []
    for i, (now_a, now_c) in enumerate(zip(current_a, charge_c, strict=True)):
        if i:
            after_w = now_a * (rows[-1][0] + cases.chemical_v)
            gained_j = 0.5 * (heat_w + after_w) * step_s[i - 1] * (1.0 + flowed.warmer)
            bath_c = _warmed(cases, bath_c, gained_j, step_s[i - 1], flowed.start_c)
        base_v, rise_k = cases.base_v(now_c, bath_c, heat_w)
        volts_v, heat_j = _tank_v(cases, base_v, now_a), heat_j + gained_j
        heat_w = now_a * (volts_v + cases.chemical_v)
        rows.append((volts_v, heat_j, bath_c, rise_k))
    volts_v, heat_j, bath_c, rise_k = (np.array(column) for column in zip(*rows, strict=True))
    limited_by = _rows(course.time_s, course.limited_by.astype(float), time_s).astype(np.int8)
    return Course(cases, course.setting, time_s, current_a, volts_v, charge_c, heat_j, bath_c, rise_k, limited_by)


def _differs(course: Course, flowed: Flowed, time_s: Floats) -> Floats:
    """How far the current stands off the plan's (m, n)."""
    off_a = flowed.current_a[:, None] - _rows(course.time_s, course.current_a, flowed.at_s)
    known = knots([float(at_s) for at_s in flowed.at_s], course.setting.ramp_s)
    if not known:
        return np.zeros((len(time_s), course.current_a.shape[1]))
    rows = np.vstack([off_a, np.zeros_like(off_a[:1])])
    return _rows(np.array([at_s for at_s, _ in known]), rows[[-1 if i is None else i for _, i in known]], time_s)


def _rows(known_s: Floats, rows: Floats, time_s: Floats) -> Floats:
    """Rows (m, n) known at some times, at others (k, n): straight between, level outside."""
    if len(known_s) == 1:
        return np.repeat(rows, len(time_s), axis=0)
    after, share = _placed(known_s, time_s)
    return rows[after - 1] * (1.0 - share[:, None]) + rows[after] * share[:, None]


def _placed(known_s: Floats, time_s: Floats) -> tuple[npt.NDArray[np.intp], Floats]:
    """The known moment after each time, and how far the time has come to it from the one before, as a share."""
    after = np.clip(np.searchsorted(known_s, time_s), 1, len(known_s) - 1)
    share: Floats = np.clip((time_s - known_s[after - 1]) / (known_s[after] - known_s[after - 1]), 0.0, 1.0)
    return after, share
