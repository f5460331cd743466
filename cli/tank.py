"""`areacalc tank`: a new, larger tank for the largest load, its drawing and what to buy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from . import show as out
from .grouped import grouped
from .options import Show
from .tank_options import LoadOptions, RunOptions, ShownOptions, TankOptions

if TYPE_CHECKING:
    from areacalc.figure import Figure
    from areacalc.plan.tank_duty import Bath
    from areacalc.plant.new_tank import TankDesign
    from areacalc.report.us_words import Wording

_FIRST = 3  # cautions that are always told, the others behind --full


@grouped
def tank(largest: LoadOptions, run: RunOptions, wanted: TankOptions, shown: ShownOptions) -> None:
    """Size a new, larger tank from its largest load: liquid, cathodes, supply, cooling, bars, air, what to buy.

    Example: areacalc tank --largest "a plate of 300 x 200 x 6 mm" --draw tank.svg
    """
    from areacalc.bath.window import window
    from areacalc.plan.tank_duty import duty_for
    from areacalc.plan.throw import counted_whole
    from areacalc.plant.new_tank import size_tank

    from .write import target, write

    inch = shown.show is Show.IN
    if shown.draw is not None:
        target(shown.draw, "--draw", (".svg",), shown.force)
    load, parts = largest.load()
    film_um, bath, ramp_s = run.run()
    dense = window(run.density, "--density")
    duty = duty_for(load, film_um, bath, dense, ramp_s)
    bores = (each for part in parts for each in counted_whole(part, dense.middle_a_per_dm2))
    duty = replace(duty, facts=(*duty.facts, *bores))
    design = size_tank(load, duty, wanted.choices())
    asked = (duty.current, duty.volts, duty.heat, duty.run)
    if shown.draw is not None:
        from areacalc.plan.outlines import outlines
        from areacalc.plant.drawing import drawn, tank_scene
        from areacalc.plant.paper import svg

        seen = outlines(parts, design.rack.ways) if len(parts) == len(design.rack.ways) else ()
        write(shown.draw, svg(drawn(tank_scene(design, seen, inch))), shown.force)
    if shown.json:
        from areacalc.report.tank_document import tank_document

        out.json_out(tank_document(design, asked))
        return
    _print(design, asked, bath, shown.full, inch)


def _print(design: TankDesign, asked: tuple[Figure, ...], bath: Bath, full: bool, inch: bool) -> None:
    from areacalc.plant.rule import judged_fact
    from areacalc.report.tank_document import tank_cautions, tank_figures
    from areacalc.report.us_words import wording
    from areacalc.report.words.cautions import caution_text
    from areacalc.report.words.rack import rack_sentence
    from areacalc.report.words.tell import tell

    figures = tank_figures(design, asked)
    said = wording(figures.values(), inch)
    load, made = design.load, design.tank
    area = out.area_text(load.area_mm2.value, Show.IN) if inch else f"{out.five(load.area_mm2.value * 0.01)} cm2"
    out.say(f"Largest load: {load.words}, {area}")
    out.say(f"Rack: {rack_sentence(design.rack, inch)}.")
    out.say(said(f"Tank: {made.length_mm:g} x {made.width_mm:g} mm inside, {made.depth_mm:g} mm of liquid, "
                 f"{made.freeboard_mm:g} mm above it: {out.three(made.liquid_l)} L"))  # fmt: skip
    supply = f"{out.three(design.supply_a)} A and {out.three(design.supply_v)} V"
    out.say(f"Power supply: at least {supply}, for {_figure(figures['current'], inch)}.")
    out.say(f"One run: {_figure(figures['time'], inch)}, {_figure(figures['heat'], inch)} of heat; cooling "
            f"{_figure(figures['cooling'], inch)}.")  # fmt: skip
    if full:
        _print_tables(design, figures, said)
    _print_conductors(design, said)
    broken = [j for j in design.judged if not j.kept]
    for each in broken:
        out.say(f"warning: {tell(judged_fact(each), inch)}")
    out.say(f"{len(design.judged) - len(broken)} of {len(design.judged)} checks passed.")
    for note in (tell(fact, inch) for fact in design.facts):
        out.say(f"note: {note}")
    if full:
        out.say(f"Cathodes: {design.cathode_check.life}.")
        out.cautions(tank_cautions(design), inch)
        _print_filling(design, bath, inch)
    else:
        out.say(" ".join(caution_text(each, inch) for each in tank_cautions(design)[:_FIRST]))
        out.say("What to buy, how to fill it, every figure and caution: --full")


def _figure(figure: Figure, inch: bool) -> str:
    from areacalc.report.figures import whole_text

    return whole_text(figure, inch)


def _print_tables(design: TankDesign, figures: Mapping[str, Figure], said: Wording) -> None:
    """Every figure, and what to buy or make."""
    from areacalc.plant.materials import materials
    from areacalc.report.figures import bounds_text, value_text

    inch = said.inch
    rows = [(name, value_text(f, inch), bounds_text(f, inch), f.formula) for name, f in figures.items()]
    out.table("Figures", ("", "figure", "least to most", "formula"), rows, right=(1, 2))
    out.table("To buy or make", ("what", "number", "size", "mass", "note"), [
        (said(i.what), f"{i.number:g}", said(i.size), said(f"{out.three(i.mass_g / 1000)} kg") if i.mass_g else "",
         said(i.note))
        for i in materials(design)
    ], right=(1, 3))  # fmt: skip


def _print_conductors(design: TankDesign, said: Wording) -> None:
    """Cathodes, bars, leads, wires and contacts: where they hang, and what the current does in them."""
    from areacalc.report.words.rack import wires_sentence

    strips = design.cathodes
    assert strips.distance_mm is not None
    apart = f"{out.five(design.pitch_mm)} mm from strip to strip, " if strips.count > 2 else "one on either side, "
    out.say(said(
        f"Cathodes: {strips.count}, each {strips.width_mm:g} mm wide and {strips.immersed_mm:g} mm immersed, {apart}"
        f"{out.five(strips.distance_mm)} mm from the load, which hangs {out.five(design.rack.above_mm)} mm under the "
        "liquid."
    ))  # fmt: skip
    for name, bar in (("Bar", design.bar), ("Leads", design.leads)):
        out.say(said(f"{name}: {bar.words}, at {out.three(bar.current_a)} A over {bar.length_mm:g} mm drops "
                     f"{out.three(bar.drop_v.high)} V and warms by {out.three(bar.rise_k.high)} K."))  # fmt: skip
    for wires in design.wires:
        out.say(f"To hang by: {wires_sentence(wires, said.inch)}")
    faces = "; ".join(f"{out.three(mm2)} mm2 {name}" for name, mm2 in design.contacts.items())
    out.say(said(f"Contacts, touching face in all: {faces}"))


def _print_filling(design: TankDesign, bath: Bath, inch: bool) -> None:
    """How to fill it from battery acid."""
    from areacalc.bath.mixing import battery_acid, mix
    from areacalc.report.figures import whole_text

    made = mix(design.tank.liquid_l, bath.acid_g_per_l, battery_acid())
    water, acid, mass, warms = (whole_text(f, inch) for f in (made.water_l, made.acid_l, made.acid_kg, made.warms_k))
    out.say(f"To fill it from {made.stock.name}: {water} of water, then {acid} ({mass}) of acid into it, slowly; "
            f"mixed at once it would warm by {warms}.")  # fmt: skip
