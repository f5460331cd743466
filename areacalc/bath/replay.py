"""A run as its ammeter told it: the course of a plan with the current that really flowed.

Between two readings the current follows the plan's, moved by what the readings differ from it; after the last one as
well, save that a ramp ends where the plan's does.
"""

from __future__ import annotations

import dataclasses

import numpy as np

from areacalc.arrays import Floats
from areacalc.bath.cases import Cases
from areacalc.bath.course import Course
from areacalc.bath.electrolyte import BOILING


@dataclasses.dataclass(frozen=True, slots=True)
class Flowed:
    """Currents read [A] (k,) at times [s] (k,), how the bath began [C] (n,) and how much more heat it takes up (n,).

    warmer is a share of the plan's heat: what the room, a pump or a chiller add to it.
    """

    at_s: Floats
    current_a: Floats
    start_c: Floats
    warmer: Floats


def replay(course: Course, flowed: Flowed, until_s: float) -> Course:
    """The course through the currents read, until a time [s] or the last reading, whichever is later."""
    cases, ramp_s = course.cases, course.setting.ramp_s
    until_s = max(until_s, float(flowed.at_s.max(initial=0.0)), float(course.time_s[1]))
    time_s = np.union1d(course.time_s[course.time_s < until_s], np.append(flowed.at_s, until_s))
    planned_a = _rows(course.time_s, course.current_a, time_s)
    current_a = np.maximum(planned_a + _differs(course, flowed, ramp_s, time_s), 0.0)
    step_s = np.diff(time_s)[:, None]
    charge_c = np.vstack([np.zeros_like(current_a[:1]), np.cumsum(0.5 * step_s * (current_a[1:] + current_a[:-1]), 0)])
    volts_v, heat_j, bath_c, rise_k = _warmed(cases, flowed, time_s, current_a, charge_c)
    limited_by = _rows(course.time_s, course.limited_by.astype(float), time_s).astype(np.int8)
    return Course(cases, course.setting, time_s, current_a, volts_v, charge_c, heat_j, bath_c, rise_k, limited_by)


def tank_v(cases: Cases, current_a: Floats, charge_c: Floats, bath_c: Floats, heat_w: Floats) -> tuple[Floats, Floats]:
    """Volts at the tank (n,) for a current, and the surface's rise [K]; heat_w is that of the moment before."""
    base_v, rise_k = cases.base_v(charge_c, bath_c, heat_w)
    density = np.maximum(current_a / cases.area_dm2, 1e-9)
    return np.where(current_a > 0.0, np.maximum(base_v + cases.e_fold_v * np.log(density), 0.0), 0.0), rise_k


def _differs(course: Course, flowed: Flowed, ramp_s: float, time_s: Floats) -> Floats:
    """How far the current stands from the plan's (m, n): straight between readings, none as a ramp begins."""
    read_s = flowed.at_s
    off_a = flowed.current_a[:, None] - _rows(course.time_s, course.current_a, read_s)
    if not len(read_s):
        return np.zeros((len(time_s), course.current_a.shape[1]))
    if ramp_s and read_s[0] > 0.0:
        first_s = min(float(read_s[0]), ramp_s)
        start = [0.0, first_s] if first_s < read_s[0] else [0.0]
        off_a = np.vstack([np.zeros_like(off_a[:1]), *([off_a[:1]] * (len(start) - 1)), off_a])
        read_s = np.concatenate([start, read_s])
    if read_s[-1] < ramp_s:
        read_s, off_a = np.append(read_s, ramp_s), np.vstack([off_a, np.zeros_like(off_a[:1])])
    return _rows(read_s, off_a, time_s)


def _warmed(
    cases: Cases, flowed: Flowed, time_s: Floats, current_a: Floats, charge_c: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Volts at the tank, heat, bath and the surface's rise at every moment (m, n), from step to step."""
    bath_c, heat_j = flowed.start_c, np.zeros_like(flowed.start_c)
    held_j_per_k, cooling_w = 1e3 * cases.bath.held_kj_per_k, cases.cooling_w
    volts_v, rise_k = tank_v(cases, current_a[0], charge_c[0], bath_c, np.zeros_like(bath_c))
    heat_w = current_a[0] * (volts_v + cases.chemical_v)
    rows = [(volts_v, heat_j, bath_c, rise_k)]
    for i in range(1, len(time_s)):
        step_s = time_s[i] - time_s[i - 1]
        after_w = current_a[i] * (volts_v + cases.chemical_v)
        gained_j = 0.5 * (heat_w + after_w) * step_s * (1.0 + flowed.warmer)
        bath_c = np.clip(bath_c + (gained_j - cooling_w * step_s) / held_j_per_k, flowed.start_c, BOILING.value)
        volts_v, rise_k = tank_v(cases, current_a[i], charge_c[i], bath_c, heat_w)
        heat_j, heat_w = heat_j + gained_j, current_a[i] * (volts_v + cases.chemical_v)
        rows.append((volts_v, heat_j, bath_c, rise_k))
    columns = [np.array(column) for column in zip(*rows, strict=True)]
    return columns[0], columns[1], columns[2], columns[3]


def _rows(known_s: Floats, rows: Floats, time_s: Floats) -> Floats:
    """Rows (m, n) known at some times, at others (k, n): straight between, level outside."""
    if len(known_s) == 1:
        return np.repeat(rows, len(time_s), axis=0)
    after = np.clip(np.searchsorted(known_s, time_s), 1, len(known_s) - 1)
    share = np.clip((time_s - known_s[after - 1]) / (known_s[after] - known_s[after - 1]), 0.0, 1.0)[:, None]
    found: Floats = rows[after - 1] * (1.0 - share) + rows[after] * share
    return found
