"""`areacalc tank`: a new, larger tank for the largest load, its drawing and what to buy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from areacalc.figure import Figure, given
from areacalc.plant.rule import judged_fact

from . import show as out
from .grouped import grouped
from .options import Show
from .tank_options import LoadOptions, RunOptions, ShownOptions, TankOptions
from .write import target, write

if TYPE_CHECKING:
    from areacalc.bath.mixing import Recipe
    from areacalc.plan.tank_duty import TankRun
    from areacalc.plant.new_tank import TankDesign

_LEAST_COOLING_W = 10.0  # chosen: nobody buys a smaller cooler
_FIRST = 3  # cautions that are always told, the others behind --full


@grouped
def tank(largest: LoadOptions, run: RunOptions, wanted: TankOptions, shown: ShownOptions) -> None:
    """Size a new tank from its largest load: liquid, cathodes, power supply, cooling, bars, air, what to buy.

    A load file gives its parts, its bath and the coating it wants; an option given beside it counts instead.

    Example: areacalc tank --largest "a plate of 300 x 200 x 6 mm" --draw tank.svg
    """
    from areacalc.plan.tank_duty import duty_for
    from areacalc.plan.throw import counted_whole
    from areacalc.plant.new_tank import size_tank
    from areacalc.report.challenge import refuse_too_large

    inch = shown.show is Show.IN
    if shown.draw is not None:
        target(shown.draw, "--draw", (".svg",), shown.force)
    asked_for = largest.load_file()
    load, parts = largest.load(not wanted.is_sized, asked_for)
    refuse_too_large(parts)
    one = run.run(asked_for)
    duty = duty_for(load, one)
    bores = (each for part in parts for each in counted_whole(part, one.window.middle_a_per_dm2))
    duty = replace(duty, facts=(*duty.facts, *bores))
    design = size_tank(load, duty, wanted.choices(inch))
    asked = (duty.current, duty.volts, duty.heat, duty.run)
    if shown.draw is not None:
        from areacalc.plan.rack_drawing import outlines
        from areacalc.plant.drawing import drawn, tank_scene
        from areacalc.plant.paper import svg
        from areacalc.report.words.tank import over_drawing

        seen = outlines(parts, design.rack.ways) if len(parts) == len(design.rack.ways) else ()
        write(shown.draw, svg(drawn(tank_scene(design, *over_drawing(design, inch), seen, inch))), shown.force)
    if shown.json:
        from areacalc.report.tank_document import tank_document

        out.json_out(tank_document(design, asked))
        return
    _print(design, asked, one, shown.full, inch)
    if shown.full:
        from areacalc.report.words.hung import in_words

        for part in parts:
            if isinstance(part.up, tuple):
                out.say(f"To hang, {part.name}: {in_words(part.up, part.skin)}. --up tells another way.")
    if shown.draw is not None:
        out.say(f"Wrote {shown.draw}.")


def _print(design: TankDesign, asked: tuple[Figure, ...], run: TankRun, full: bool, inch: bool) -> None:
    from areacalc.bath.mixing import battery_acid, mix
    from areacalc.plan.throw import CountedWhole
    from areacalc.plant.new_tank import TankFact
    from areacalc.report.figures import shown, value_text, whole_text
    from areacalc.report.tank_document import tank_cautions, tank_figures
    from areacalc.report.words import tank as words
    from areacalc.report.words.bores import counted_sentence
    from areacalc.report.words.cautions import shortened
    from areacalc.report.words.rack import wires_sentence
    from areacalc.report.words.tell import tell

    figures = tank_figures(design, asked)
    current, time, heat = (whole_text(figures[f], inch) for f in ("current", "time", "heat"))
    once_w, always_w = design.cooling.estimate.high, design.steady_cooling.estimate.high
    once = shown(once_w, "W", inch) if once_w >= _LEAST_COOLING_W else "next to none" if once_w else "none"
    out.say(words.load_sentence(design, inch))
    out.say(words.shell_sentence(design, inch))
    out.say(f"Power supply: at least {out.three(design.supply_a)} A and {out.three(design.supply_v)} V, for {current}.")
    coating = value_text(given("coating", run.film_um, "um"), inch)
    out.say(f"One run for {coating}: {time}, {heat} of heat. Cooling: {once} for one run, "
            f"{shown(always_w, 'W', inch)} run after run.")  # fmt: skip
    made = mix(design.tank.liquid_l, run.bath.acid_g_per_l, battery_acid())
    if full:
        _print_tables(design, figures, made, inch)
    out.say(words.cathodes_sentence(design, inch))
    conductors = (
        (words.conductor_sentence("Bar", design.bar, inch), words.conductor_sentence("Leads", design.leads, inch),
         *(f"Hung by: {wires_sentence(each, inch)}" for each in design.wires))
        if full else (words.conductors_sentence(design, inch),)
    )  # fmt: skip
    for sentence in conductors:
        out.say(sentence)
    broken = [judged_fact(j) for j in design.judged if not j.kept]
    for warned in (*broken, *(each for each in design.facts if each.kind is TankFact.VERY_LONG)):
        out.say(f"warning: {tell(warned, inch)}")
    if broken:
        out.say(f"{len(design.judged) - len(broken)} of {len(design.judged)} checks passed.")
    bores = [each for each in design.facts if each.kind is CountedWhole.BORE]
    later = [TankFact.VERY_LONG, *(() if full else (TankFact.SHEET_A_SIDE, TankFact.TUB_AS_SOLD))]
    if once_w < _LEAST_COOLING_W:
        later.append(TankFact.LITRES_OR_COOLING)
    told = [tell(each, inch) for each in design.facts if each not in bores and each.kind not in later]
    for note in (*told, counted_sentence(bores)):
        if note:
            out.say(f"note: {note}")
    if full:
        out.say(f"Life of the cathodes: {tell(design.cathode_check.life, inch)}")
        out.cautions(tank_cautions(design), inch)
        out.say(words.filling_sentence(made, inch))
    else:
        out.say(f"Caution: {shortened(tank_cautions(design)[:_FIRST], inch)}")
        out.say("How parts hang, what to buy, every figure and caution: --full")


def _print_tables(design: TankDesign, figures: Mapping[str, Figure], made: Recipe, inch: bool) -> None:
    from areacalc.plant.materials import materials
    from areacalc.report.figures import bounds_text, value_text
    from areacalc.report.words.materials import item_words

    rows = [(f.name, value_text(f, inch), bounds_text(f, inch)) for f in figures.values()]
    out.table("Figures", ("", "figure", "least to most"), rows, right=(1, 2))
    bought = [(item.number, item_words(item, inch)) for item in materials(design)]
    listed = [(said.what, f"{number}", said.size, said.mass, said.note) for number, said in bought]
    listed += [
        (made.stock.name, "1", value_text(made.acid_l, inch), value_text(made.acid_kg, inch), "pour it into the water"),
        ("distilled water", "1", value_text(made.water_l, inch), "", ""),
    ]
    out.table("To buy or make", ("what", "number", "size", "mass", "note"), listed, right=(1, 3))
