"""A run as a picture: volts, amperes, bath and coating against time, what was read on what was planned; one page.

Drawn by matplotlib, which the `pictures` extra installs.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from areacalc.arrays import Floats
from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.logbook.came import Logged
from areacalc.logbook.records import Run, seconds_of
from areacalc.plan.plan import Plan
from areacalc.report.figures import shown
from areacalc.run.held import is_measured
from areacalc.run.judged import WANDER, followed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Ending = Literal["svg", "png", "pdf"]
_A4_IN = (8.27, 11.69)
_PLANNED, _READ, _ALARM = "#2f86a6", "#1e2328", "#c2571a"
_MIN = 1.0 / 60.0
_LEGEND = (
    "Line and band: as planned, least to most; the coating by the current that flowed. Dots: as read; a cross lies "
    "outside, or did not fit."
)


@dataclass(frozen=True, slots=True)
class _Panel:
    """One meter against time: its name and unit, times [s] with least, value and most planned, and what was read."""

    name: str
    planned: tuple[Floats, Floats] | None
    read: list[tuple[float, float, bool]]


def run_picture(logged: Logged, plan: Plan | None, ending: Ending) -> bytes:
    """A page of one run; plan is None where its load is not there any more.

    Raises BadInput where matplotlib is not installed.
    """
    told = _told(logged)
    drawn, axes = _page(4)
    drawn.subplots_adjust(top=0.92 - 0.0125 * len(told))
    for at, panel in zip(axes, _panels(logged, plan), strict=True):
        _draw(at, panel, logged.off_s)
    axes[-1].set_xlabel("minutes since the current was switched on")
    drawn.text(0.08, 0.965, f"Run {logged.run.number}: {logged.run.load}", fontsize=15, weight="bold", va="top")
    drawn.text(0.08, 0.94, "\n".join(told), fontsize=8.5, va="top", linespacing=1.4)
    drawn.text(0.08, 0.02, _LEGEND, fontsize=8)
    return _bytes(drawn, ending)


def months_picture(runs: Sequence[Run], field: str, label: str, ending: Ending, factor: float = 1.0) -> bytes:
    """One figure of all runs that have it, over the months. Raises BadInput where matplotlib is not installed."""
    from datetime import datetime

    known = [(run, getattr(run, field)) for run in runs if getattr(run, field) is not None]
    if not known:
        raise BadInput("--over", f"no run has its {label} yet", "log some runs first")
    drawn, (at,) = _page(1)
    for load in dict.fromkeys(run.load for run, _ in known):
        mine = [
            (datetime.fromtimestamp(seconds_of(run.when)), value * factor) for run, value in known if run.load == load
        ]
        at.plot(*zip(*mine, strict=True), marker="o", linewidth=0.8, label=load)
    at.set_ylabel(label)
    at.grid(alpha=0.3)
    at.legend(fontsize=8)
    drawn.autofmt_xdate()
    return _bytes(drawn, ending)


def _page(panels: int) -> tuple[Any, list[Axes]]:
    try:
        from matplotlib.figure import Figure as Canvas
    except ImportError:
        raise BadInput("drawing", "needs matplotlib, which is not installed",
                       "pip install 'areacalc[pictures]'") from None  # fmt: skip
    size = _A4_IN if panels > 1 else (8.27, 4.5)
    drawn = Canvas(figsize=size)
    axes = drawn.subplots(panels, 1, sharex=True, squeeze=False)[:, 0]
    drawn.subplots_adjust(0.11, 0.08 if panels > 1 else 0.15, 0.96, 0.84 if panels > 1 else 0.94, hspace=0.12)
    return drawn, list(axes)


def _panels(logged: Logged, plan: Plan | None) -> list[_Panel]:
    """Volts, amperes, bath, coating; a reading with an alarm is one that did not fit."""
    read = [reading for reading in logged.readings if is_measured(reading) and reading.at_s <= logged.off_s]
    fields = (("volts [V]", "volts_v"), ("amperes [A]", "current_a"), ("bath [°C]", "temperature_c"))
    if plan is None:
        plain = [_Panel(name, None, [(r.at_s, v, True) for r in read if (v := getattr(r, field)) is not None])
                 for name, field in fields]  # fmt: skip
        return [*plain, _Panel("coating [µm]", None, [])]
    done, course = followed(plan, read, logged.off_s), plan.run.course
    odd = {one.reading.at_s for one in done.judged if one.alarms}
    rows = (course.supply_v, course.current_a, course.bath_c)
    until_s = max(plan.run.set_s, logged.off_s)
    meters, panels = plan.load.meters, []
    within = (meters.volts_v + WANDER.value, meters.amps_share * course.setting.full_a, meters.temperature_k)
    for (name, field), row, off in zip(fields, rows, within, strict=True):
        band = _band(course.time_s, row, course.cases.corners, until_s)
        of_meter = [(r.at_s, v) for r in read if (v := getattr(r, field)) is not None]
        panels.append(_Panel(name, band, [(at_s, v, at_s not in odd and _holds(band, at_s, v, off))
                                          for at_s, v in of_meter]))  # fmt: skip
    film = done.course.film_um
    came = [(logged.off_s, o.film_um, True) for o in logged.outcomes if o.film_um is not None]
    band = _band(done.course.time_s, film, course.cases.corners, max(logged.off_s, 1.0))
    return [*panels, _Panel("coating [µm]", band, came)]


def _holds(band: tuple[Floats, Floats], at_s: float, value: float, off: float) -> bool:
    """Whether a value lies in a band, to what its meter may be off."""
    low, high = (float(np.interp(at_s, band[0], band[1][row])) for row in (0, 2))
    return low - off <= value <= high + off


def _band(time_s: Floats, rows: Floats, corners: int, until_s: float) -> tuple[Floats, Floats]:
    """Times [s], and least, value and most then (3, m)."""
    shown = time_s <= until_s * (1.0 + 1e-9)
    ends = rows[shown][:, :corners]
    return time_s[shown], np.array([ends.min(axis=1), rows[shown][:, 0], ends.max(axis=1)])


def _draw(at: Axes, panel: _Panel, off_s: float) -> None:
    if panel.planned is not None:
        time_s, (low, value, high) = panel.planned
        at.fill_between(time_s * _MIN, low, high, color=_PLANNED, alpha=0.18, linewidth=0)
        at.plot(time_s * _MIN, value, color=_PLANNED, linewidth=1.3)
    for fits, mark, colour in ((True, "o", _READ), (False, "x", _ALARM)):
        mine = [(time_s * _MIN, value) for time_s, value, good in panel.read if good is fits]
        if mine:
            at.plot(*zip(*mine, strict=True), mark, color=colour, markersize=4 if fits else 7)
    at.axvline(off_s * _MIN, color=_READ, linewidth=0.7, linestyle=":")
    at.set_ylabel(panel.name)
    at.grid(alpha=0.3)


def _told(logged: Logged) -> list[str]:
    run = logged.run
    lines = [
        f"{run.when[:16].replace('T', ' ')}; set {three(run.current_a)} A, {shown(run.run_s, 's')}, "
        f"{three(run.density_a_per_dm2)} A/dm²; coating planned {three(run.film_um)} µm",
        f"wetted area {three(run.area_mm2 * 0.01)} cm²; acid {three(run.acid_g_per_l)} g/L, aluminium "
        f"{three(run.aluminium_g_per_l)} g/L; {', '.join(f'{p.count} x {p.name}' for p in run.parts)}",
    ]
    for outcome in logged.outcomes:
        film = None if outcome.film_um is None else f"{three(outcome.film_um)} µm"
        said = (film, outcome.place, outcome.how, outcome.colour, outcome.fault, outcome.remark)
        lines.append(f"came out: {', '.join(each for each in said if each)}")
    remarks = [f"{reading.at_s * _MIN:.0f} min {reading.remark}" for reading in logged.readings if reading.remark]
    lines += [f"remarks: {'; '.join(filter(None, (run.remark, *remarks)))}"] if run.remark or remarks else []
    return [line[:130] for line in lines[:7]]


def _bytes(drawn: Any, ending: Ending) -> bytes:
    """The picture's file, the same each time: no date in it."""
    import warnings

    import matplotlib

    out = io.BytesIO()
    metadata: dict[str, dict[str, Any]] = {"svg": {"Date": None}, "pdf": {"CreationDate": None}, "png": {}}
    with matplotlib.rc_context({"svg.hashsalt": "areacalc", "svg.fonttype": "none"}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from font")  # letters of far scripts are drawn as boxes
        drawn.savefig(out, format=ending, dpi=150, metadata=metadata[ending])
    return out.getvalue()
