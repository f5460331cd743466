"""`areacalc tank`: a new, larger tank for the largest load, its drawing and what to buy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from . import show as out
from .options import AreaOption, Count, Force, Full, Json, MaybeFiles, Plug, Show, ShowOption, UnitOption

if TYPE_CHECKING:
    from areacalc.figure import Figure
    from areacalc.part.part import Part
    from areacalc.plan.tank_duty import Bath
    from areacalc.plant.largest import Largest
    from areacalc.plant.new_tank import TankChoices, TankDesign
    from areacalc.plant.spacing import Spacing
    from areacalc.report.us_words import Wording

_FIRST = 3  # cautions that are always told, the others behind --full
LargestOption = Annotated[
    str | None, typer.Option("--largest", metavar="WORDS", help="The largest load: 'a plate of 300 x 200 x 6 mm'.")
]
Upright = Annotated[bool, typer.Option("--upright", help="Hang each part with its longest side down.")]
Ups = Annotated[
    list[str] | None,
    typer.Option("--up", metavar="DIRECTION", help="What points up of each part file: once for all, or once a file."),
]
Rows = Annotated[int | None, typer.Option("--rows", min=1, help="Rows between the cathodes, at most (2 unless told).")]
Tiers = Annotated[int | None, typer.Option("--tiers", min=1, help="Tiers one below another, at most.")]
SpacingOption = Annotated[
    str | None, typer.Option("--spacing", metavar="LENGTH", help="Room between parts (25 mm unless told).")
]
Density = Annotated[str, typer.Option("--density", "-d", metavar="WINDOW", help="Density window, as for `current`.")]
Film = Annotated[str, typer.Option("--film", metavar="THICKNESS", help="Film of a run.")]
Ramp = Annotated[str, typer.Option("--ramp", metavar="TIME", help="Time over which you bring the current up.")]
Acid = Annotated[str, typer.Option("--acid", help="Acid of the bath.")]
Temperature = Annotated[str, typer.Option("--temperature", help="Temperature of the bath.")]
Band = Annotated[str, typer.Option("--band", help="How far it may warm in a run.")]
NoCooling = Annotated[bool, typer.Option("--no-cooling", help="Large enough to take the heat of a run by itself.")]
CathodeMetal = Annotated[str, typer.Option("--cathode", metavar="METAL", help="6063, 1100 or lead.")]
Ratio = Annotated[str, typer.Option("--ratio", metavar="NAME|NUMBER", help="Cathode over part, as for `cathode`.")]
Strip = Annotated[str, typer.Option("--strip", metavar="LENGTH", help="Width of a cathode strip.")]
Size = Annotated[str | None, typer.Option(metavar="LENGTH", help="Inside size of the tank, if you have decided it.")]
Distance = Annotated[str | None, typer.Option("--distance", metavar="LENGTH", help="From the part to the cathodes.")]
Draw = Annotated[Path | None, typer.Option("--draw", metavar="FILE.svg", help="Draw plan and front view to scale.")]


def tank(
    files: MaybeFiles = None,
    largest: LargestOption = None,
    area: AreaOption = None,
    count: Count = None,
    unit: UnitOption = None,
    plug: Plug = None,
    up: Ups = None,
    upright: Upright = False,
    rows: Rows = None,
    tiers: Tiers = None,
    spacing: SpacingOption = None,
    density: Density = "small-tank",
    film: Film = "12 um",
    ramp: Ramp = "5 min",
    acid: Acid = "180 g/L",
    temperature: Temperature = "20 C",
    band: Band = "2 K",
    no_cooling: NoCooling = False,
    cathode: CathodeMetal = "6063",
    ratio: Ratio = "small-tank",
    strip: Strip = "50 mm",
    distance: Distance = None,
    length: Size = None,
    width: Size = None,
    depth: Size = None,
    draw: Draw = None,
    force: Force = False,
    full: Full = False,
    show: ShowOption = Show.MM,
    json: Json = False,
) -> None:
    """Size a new, larger tank from its largest load: liquid, cathodes, supply, cooling, bars, air, what to buy.

    Example: areacalc tank --largest "a plate of 300 x 200 x 6 mm" --draw tank.svg
    """
    from areacalc.bath.window import window
    from areacalc.plan.tank_duty import duty_for
    from areacalc.plan.throw import counted_whole
    from areacalc.plant.new_tank import size_tank
    from areacalc.quantity import Dimension, parse

    from .write import target, write

    if draw is not None:
        target(draw, "--draw", (".svg",), force)
    load, parts = _load(files, largest, area, count, unit, plug, up, upright)
    bath = _bath(acid, temperature, band)
    film_um, ramp_s = parse(film, Dimension.FILM, "--film"), parse(ramp, Dimension.TIME, "--ramp")
    dense = window(density, "--density")
    duty = duty_for(load, film_um, bath, dense, ramp_s)
    bores = (each for part in parts for each in counted_whole(part, dense.middle_a_per_dm2))
    duty = replace(duty, facts=(*duty.facts, *bores))
    chosen = _choices(
        cathode, ratio, strip, distance, (length, width, depth), no_cooling, _spacing(rows, tiers, spacing)
    )
    design = size_tank(load, duty, chosen)
    asked = (duty.current, duty.volts, duty.heat, duty.run)
    if draw is not None:
        from areacalc.plan.outlines import outlines
        from areacalc.plant.drawing import rack_svg, tank_scene

        drawn = outlines(parts, design.rack.ways) if len(parts) == len(design.rack.ways) else ()
        write(draw, rack_svg(tank_scene(design, drawn, show is Show.IN)), force)
    if json:
        from areacalc.report.tank_document import tank_document

        out.json_out(tank_document(design, asked))
        return
    _print(design, asked, bath, full, show is Show.IN)


def _load(
    files: list[str] | None, words: str | None, area: str | None, count: list[int] | None, unit: str | None,
    plug: list[str] | None, up: list[str] | None, upright: bool,
) -> tuple[Largest, list[Part]]:  # fmt: skip
    """The largest load and its parts: from words and part files, or an area as a square plate. Raises BadInput."""
    from areacalc.errors import BadInput
    from areacalc.plan.tank_duty import largest_of, square_of
    from areacalc.plant.largest import largest

    from .options import area_given, counts, open_parts, refuse_without_files

    if (area is None) == (words is None and not files):
        raise BadInput("areacalc tank", "one largest load is wanted", "give --largest, part files, or --area")
    if not files:
        refuse_without_files({"--unit": unit, "--plug": plug, "--up": up})
    if area is not None:
        return square_of(area_given(area) * counts(count, [area])[0], f"{area} as a square plate"), []
    if not files:
        assert words is not None
        refuse_without_files({"--count": count})
        return largest(words, upright=upright), []
    parts = open_parts(files, unit, None, False, plug)
    if up:
        parts = [part.hung(each) for part, each in zip(parts, _for_each(up, files, "--up"), strict=True)]
    load = largest_of(parts, counts(count, files), upright)
    return (load if words is None else largest(words, upright=upright).joined(load)), parts


def _for_each(given: list[str], files: list[str], option: str) -> list[str]:
    """What was given once for all files, or once a file. Raises BadInput."""
    from areacalc.errors import BadInput

    if len(given) not in (1, len(files)):
        raise BadInput(option, f"given {len(given)} times for {len(files)} files", "give it once, or once a file")
    return given * len(files) if len(given) == 1 else given


def _bath(acid: str, temperature: str, band: str) -> Bath:
    from areacalc.bath.strength import acid_in_words
    from areacalc.plan.tank_duty import Bath
    from areacalc.quantity import Dimension, parse

    return Bath(
        acid_in_words(acid, "--acid"),
        parse(temperature, Dimension.TEMPERATURE, "--temperature"),
        parse(band, Dimension.TEMPERATURE_DIFFERENCE, "--band"),
    )


def _choices(
    metal: str, ratio: str, strip: str, distance: str | None, sizes: tuple[str | None, ...], no_cooling: bool,
    spacing: Spacing,
) -> TankChoices:  # fmt: skip
    from areacalc.plant.cathode import ratio as ratio_of
    from areacalc.plant.metal import CATHODE_METALS
    from areacalc.plant.metal import metal as metal_of
    from areacalc.plant.new_tank import TankChoices
    from areacalc.quantity import Dimension, parse

    def length(words: str | None, where: str) -> float | None:
        return None if words is None else parse(words, Dimension.LENGTH, where)

    long, wide, deep = (length(w, o) for w, o in zip(sizes, ("--length", "--width", "--depth"), strict=True))
    return TankChoices(
        cathode_metal=metal_of(metal, CATHODE_METALS, "--cathode").name, ratio=ratio_of(ratio),
        strip_width_mm=parse(strip, Dimension.LENGTH, "--strip"), spacing=spacing,
        distance_mm=length(distance, "--distance"),
        length_mm=long, width_mm=wide, depth_mm=deep, without_cooling=no_cooling,
    )  # fmt: skip


def _spacing(rows: int | None, tiers: int | None, apart: str | None) -> Spacing:
    """The rules of spacing, with a person's own in their place."""
    from areacalc.plant.spacing import USUAL, Spacing
    from areacalc.quantity import Dimension, parse

    usual = Spacing(rows=rows or USUAL.rows, tiers=tiers)
    return usual if apart is None else usual.own(between=parse(apart, Dimension.LENGTH, "--spacing"))


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
    """Cathodes, bars, leads and contacts: where they hang, and what the current does in them."""
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
