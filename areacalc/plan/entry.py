"""A plan as the run that the logbook is to remember."""

from __future__ import annotations

from areacalc.logbook.logbook import Entry
from areacalc.plan.plan import Plan


def entry_of(made: Plan, when: str, remark: str, **read: float | None) -> Entry:
    """The run of a plan as it is to be remembered, with what was read on the day."""

    def value(name: str) -> float:
        return made.figures[name].estimate.value

    load, finish = made.load, made.load.finish
    alloys = {p.line.alloy for p in made.parts} - {None}
    return Entry(
        when=when, load=load.name, area_mm2=value("area"), current_a=value("current"),
        density_a_per_dm2=value("density"), run_s=value("time"), film_um=value("film"),
        acid_g_per_l=load.bath.acid_g_per_l, aluminium_g_per_l=load.bath.aluminium_g_per_l,
        temperature_c=load.bath.temperature_c, alloy=alloys.pop() if len(alloys) == 1 else None,
        look=finish.look.value, shade=finish.shade, dye=finish.dye, seal=finish.seal,
        etch_s=finish.etching.minutes * 60.0 if finish.look.value == "matte" else None, remark=remark, **read,
    )  # fmt: skip
