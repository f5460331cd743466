"""A plan as the run that the logbook is to remember."""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from areacalc.bath.course import Course
from areacalc.logbook.records import Run, RunPart
from areacalc.plan.area import PartArea
from areacalc.plan.plan import Plan


def run_of(made: Plan, when: str, remark: str = "", data: Mapping[str, Any] | None = None, **more: Any) -> Run:
    """The run of a plan as it is to be remembered, with what was read on the day.

    data: the load's tables as they were written. more: readings, and the names of bath and tank.
    """

    def value(name: str) -> float:
        return made.figures[name].estimate.value

    load, finish = made.load, made.load.finish
    alloys = {p.line.alloy for p in made.parts} - {None}
    settings = {
        name: {key: each if isinstance(each, int | float) else str(each) for key, each in table.items()}
        for name, table in (data or {}).items()
        if isinstance(table, dict)
    }
    # a dye or seal that nobody timed lasted as planned
    more = {f"{bath}_s": 60.0 * value(bath) for bath in ("dye", "seal") if bath in made.figures} | {
        name: each for name, each in more.items() if each is not None
    }
    return Run(
        when=when, load=load.name, area_mm2=value("area"), current_a=value("current"),
        density_a_per_dm2=value("density"), run_s=value("time"), film_um=value("coating"),
        acid_g_per_l=load.bath.acid_g_per_l, aluminium_g_per_l=load.bath.aluminium_g_per_l,
        temperature_c=load.bath.temperature_c, bath_l=load.tank.liquid_l,
        supply_v=load.supply.limit_v if load.supply else None, supply_a=load.supply.limit_a if load.supply else None,
        ramp_s=made.run.course.setting.ramp_s, planned_ah=value("charge"), course=_course(made.run.course),
        asked_um=value("coating-wanted"), certainty=finish.certainty,
        alloy=alloys.pop() if len(alloys) == 1 else None, surface=finish.surface.value, shade=finish.shade,
        dye=finish.dye, seal=finish.seal,
        etch_s=finish.etching.minutes * 60.0 if finish.surface.value == "matte" else None, remark=remark,
        parts=tuple(_part(each, load.folder) for each in made.parts), settings=settings, **more,
    )  # fmt: skip


_MOMENTS, _STRAIGHT = 16, 1e-6


def _course(course: Course) -> tuple[tuple[float, float], ...]:
    """Times [s] and the currents planned [A], with everything at its value; none that lies straight between two."""
    ramp_s, end_s = course.setting.ramp_s, float(course.time_s[-1])
    times = np.union1d(np.linspace(0.0, ramp_s, _MOMENTS), np.linspace(ramp_s, end_s, _MOMENTS))
    amps = np.interp(times, course.time_s, course.current_a[:, 0])
    share = (times[1:-1] - times[:-2]) / (times[2:] - times[:-2])
    middle_a = amps[:-2] + share * (amps[2:] - amps[:-2])
    bent = np.abs(amps[1:-1] - middle_a) > _STRAIGHT * course.setting.full_a
    kept = np.concatenate([[True], bent, [True]])
    return tuple((float(s), float(a)) for s, a in zip(times[kept], amps[kept], strict=True))


def _part(part: PartArea, folder: str) -> RunPart:
    line, digest = part.line, None
    if line.file is not None:
        with (Path(folder) / line.file).open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    return RunPart(line.name, line.count, part.each.estimate.value, line.file, digest)
