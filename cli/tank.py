"""`areacalc tank`: a new, larger tank for the largest load, its drawing and what to buy.

A load file stands for the options that it says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, ClassVar

from typer import Argument, Option

from areacalc.bath.window import window
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given
from areacalc.plant.cathode import ratio as ratio_of
from areacalc.plant.metal import CATHODE_METALS
from areacalc.plant.metal import metal as metal_of
from areacalc.plant.rule import judged_fact
from areacalc.plant.spacing import USUAL, Spacing
from areacalc.plant.stock import sold
from areacalc.quantity import Dimension, for_each, parse, said_checked
from areacalc.shape.small_text import LOAD, kind_of_table, table_of

from . import options
from . import show as out
from .grouped import grouped, option
from .options import AreaOption, Count, Force, Full, Json, Show, ShowOption, counts
from .part_options import ChoiceOptions, PartOptions
from .write import target, write

if TYPE_CHECKING:
    from areacalc.bath.mixing import Recipe
    from areacalc.load.load import Load
    from areacalc.part.part import Part
    from areacalc.plan.tank_duty import TankRun
    from areacalc.plant.largest import Largest
    from areacalc.plant.new_tank import TankChoices, TankDesign

Density = Annotated[
    list[str] | None, Option("--density", "-d", metavar="WINDOW", help="Current density, as for `current`.")
]
Size = Annotated[str | None, Option(metavar="LENGTH", help="Inside size, if already decided.")]
Draw = Annotated[Path | None, Option("--draw", metavar="FILE.svg", help="Draw the tank to scale: three views.")]
_LEAD_MM = 2000.0  # from power supply to tank


@dataclass(frozen=True)
class LoadOptions(ChoiceOptions):
    """The largest load."""

    files: Annotated[list[str] | None, Argument(metavar="FILE", help="Part files, or a load file.")] = None
    largest: str | None = option("The largest load: 'a plate of 300 x 200 x 6 mm'.", metavar="WORDS")
    area: AreaOption = None
    count: Count = None
    up: list[str] | None = option(
        "Direction of a part that points up: one for all, or one for each file.", metavar="DIRECTION"
    )
    upright: bool = option("Hang each part with its longest side upright.", "--upright", default=False)

    @property
    def of(self) -> PartOptions:
        """How the part files are read, and what is chosen on them."""
        return PartOptions(**{each.name: getattr(self, each.name) for each in fields(ChoiceOptions)})

    def load_file(self) -> Load | None:
        """The load in the file given, where that is a load file. Raises BadInput for part options beside it."""
        path = Path(next(iter(self.files or ()), ""))
        if len(self.files or ()) != 1 or path.suffix.lower() != ".toml" or kind_of_table(table_of(path)) != LOAD:
            return None
        from areacalc.plan.load_book import LoadBook

        given = {"--area": self.area, "--count": self.count, "--up": self.up, **self.of.given()}
        options.refuse(given, "cannot be used with a load file", "change the load file, or leave it out")
        return LoadBook(path).load()

    def load(self, free: bool, asked: Load | None = None) -> tuple[Largest, list[Part]]:
        """The largest load and its parts: of a load file, words, part files, or an area as a square plate.

        free: the tank has no size yet, so a part hangs as is best for it where its way is not told. Raises BadInput.
        """
        from areacalc.plan.tank_duty import hung_best, largest_in, largest_of, square_of

        files, words = self.files, self.largest
        if (self.area is None) == (words is None and not files):
            raise BadInput("--largest", "the largest load is missing", "give --largest, part files, or --area")
        if not files:
            options.refuse_without_files({**self.of.given(), "--up": self.up})
        if self.area is not None:
            plates = options.area_given(self.area) * counts(self.count, [self.area])[0]
            return square_of(Estimate.exact(plates), f"{self.area[0]} as a square plate"), []
        if not files:
            assert words is not None
            options.refuse_without_files({"--count": self.count})
            return self._in_words(words), []
        if asked is not None:
            load, parts = largest_in(asked, free and not self.upright, self.upright)
        else:
            parts = self.of.open(files)
            if self.up:
                ups = for_each(self.up, len(files), "--up")
                parts = [part.hung(up) for part, up in zip(parts, ups, strict=True)]
            elif free and not self.upright:
                parts = [hung_best(part) for part in parts]
            load = largest_of(parts, counts(self.count, files), self.upright)
        return (load if words is None else self._in_words(words).joined(load)), parts

    def _in_words(self, words: str) -> Largest:
        """The largest load in words. Raises BadInput where no tank here takes a part of it, unless checked."""
        from areacalc.plant.largest import largest
        from areacalc.shape.file_unit import PLAUSIBLE_AREA

        said, checked = said_checked(words)
        load = largest(said, upright=self.upright)
        if (most_mm2 := max(load.each_mm2)) > PLAUSIBLE_AREA.high and not checked:
            raise BadInput("--largest", f"'{said}' has {most_mm2 * 1e-6:.3g} m2, more than a plate of 1 m a side",
                           f"perhaps its unit should be mm; if it is right, write '{said}, checked'")  # fmt: skip
        return load


@dataclass(frozen=True)
class RunOptions:
    """A run in the new tank, and its bath."""

    PANEL: ClassVar[str] = "The run and its bath"
    density: Density = None
    film: str | None = option("Coating to grow in one run (default: 12 um).", "--coating", metavar="THICKNESS")
    ramp: str | None = option("Time over which you bring the current up (default: 5 min).", metavar="TIME")
    acid: str | None = option("Free acid in the bath (default: 180 g/L).", "--acid")
    temperature: str | None = option("Temperature of the bath (default: 20 C).")
    band: str | None = option("How far the bath may warm in one run (default: 2 C).")

    def run(self, load: Load | None = None) -> TankRun:
        """The run, a load's where no option says. Raises BadInput."""
        from areacalc.bath.strength import acid_in_words
        from areacalc.plan.tank_duty import TankRun, run_of

        usual, told = TankRun() if load is None else run_of(load), options.once_or_twice(self.density, "--density")
        run = {
            "film_um": options.maybe(self.film, Dimension.FILM, "--coating"),
            "ramp_s": options.maybe(self.ramp, Dimension.TIME, "--ramp"),
            "window": None if told is None else window(told, "--density"),
        }
        bath = {
            "temperature_c": options.maybe(self.temperature, Dimension.TEMPERATURE, "--temperature"),
            "band_k": options.maybe(self.band, Dimension.TEMPERATURE_DIFFERENCE, "--band"),
            "acid_g_per_l": None if self.acid is None else acid_in_words(self.acid, "--acid"),
        }
        return replace(usual, bath=replace(usual.bath, **options.known(bath)), **options.known(run))


@dataclass(frozen=True)
class TankOptions:
    """What a person has decided of the tank."""

    PANEL: ClassVar[str] = "The tank"
    rows: int | None = option("Most rows between the cathodes (default: 2).", min=1)
    tiers: int | None = option("Most tiers, one below another.", min=1)
    spacing: str | None = option("Room between parts (default: 25 mm).", metavar="LENGTH")
    no_cooling: bool = option("Make the tank large enough to do without cooling.", "--no-cooling", default=False)
    cathode: str = option("Cathode metal: 6063, 1100 or lead.", default="6063", metavar="METAL")
    ratio: str = option("Cathode area over part area, as for `cathode`.", default="small-tank", metavar="NAME|NUMBER")
    strip: str | None = option("Width of a cathode strip; default 50 mm or 2 in.", metavar="LENGTH")
    distance: str | None = option("Distance from part to cathodes.", metavar="LENGTH")
    length: Size = None
    width: Size = None
    depth: Size = None
    volume: str | None = option("Least liquid, such as '60 L'; length and width follow.", metavar="LITRES")

    @property
    def is_sized(self) -> bool:
        return any(size is not None for size in (self.length, self.width, self.depth))

    def choices(self, inch: bool = False) -> TankChoices:
        """As the sizing takes it. Raises BadInput."""
        from areacalc.plant.new_tank import TankChoices

        stock, spacing = sold(inch), Spacing(rows=self.rows or USUAL.rows, tiers=self.tiers)
        if self.spacing is not None:
            spacing = spacing.own(between=parse(self.spacing, Dimension.LENGTH, "--spacing"))
        if self.is_sized:
            options.refuse({"--volume": self.volume}, "cannot be used with a size of the tank", "give one or the other")
        length, width, depth, distance, strip = (
            options.maybe(getattr(self, name), Dimension.LENGTH, f"--{name}")
            for name in ("length", "width", "depth", "distance", "strip")
        )
        return TankChoices(
            length_mm=length, width_mm=width, depth_mm=depth, distance_mm=distance, without_cooling=self.no_cooling,
            volume_l=options.maybe(self.volume, Dimension.BATH_VOLUME, "--volume"),
            cathode_metal=metal_of(self.cathode, CATHODE_METALS, "--cathode").name, ratio=ratio_of(self.ratio),
            strip_width_mm=strip or stock.strip_mm, spacing=spacing,
            strip_thickness_mm=stock.sheet_mm, wall_mm=stock.wall_mm, leads_mm=2.0 * stock.up(_LEAD_MM), stock=stock,
        )  # fmt: skip


_LEAST_COOLING_W = 10.0  # chosen: nobody buys a smaller cooler
_FIRST = 3  # cautions that are always told, the others behind --full


@grouped
def tank(
    largest: LoadOptions, run: RunOptions, wanted: TankOptions, draw: Draw = None, force: Force = False,
    full: Full = False, show: ShowOption = Show.MM, json: Json = False,
) -> None:  # fmt: skip
    """Size a new tank from its largest load: liquid, cathodes, power supply, cooling, bars, air, what to buy.

    A load file gives its parts, its bath and the coating it wants; a bath or coating given beside it counts instead.

    Example: areacalc tank --largest "a plate of 300 x 200 x 6 mm" --draw tank.svg
    """
    from areacalc.plan.tank_duty import sized
    from areacalc.plan.throw import counted_whole
    from areacalc.report.challenge import refuse_too_large

    inch = show is Show.IN
    if draw is not None:
        target(draw, "--draw", (".svg",), force)
    asked_for = largest.load_file()
    load, parts = largest.load(not wanted.is_sized, asked_for)
    refuse_too_large(parts)
    one = run.run(asked_for)
    bores = [each for part in parts for each in counted_whole(part, one.window.middle_a_per_dm2)]
    duty, design = sized(load, one, wanted.choices(inch), asked_for.rack if asked_for else None, bores)
    asked = (duty.current, duty.volts, duty.heat, duty.run)
    if draw is not None:
        from areacalc.plan.rack_drawing import outlines
        from areacalc.plant.drawing import drawn, tank_scene
        from areacalc.plant.paper import svg
        from areacalc.report.words.tank import over_drawing

        seen = outlines(parts, design.rack.ways) if len(parts) == len(design.rack.ways) else ()
        write(draw, svg(drawn(tank_scene(design, *over_drawing(design, inch), seen, inch))), force)
    if json:
        from areacalc.report.tank_document import tank_document

        out.json_out(tank_document(design, asked))
        return
    _print(design, asked, one, full, inch)
    if full:
        from areacalc.report.words.hung import in_words

        for part in parts:
            if isinstance(part.up, tuple):
                out.say(f"To hang, {part.name}: {in_words(part.up, part.skin)}. --up tells another way.")
    if draw is not None:
        out.say(f"Wrote {draw}.")


def _print(design: TankDesign, asked: tuple[Figure, ...], run: TankRun, full: bool, inch: bool) -> None:
    from areacalc.bath.mixing import battery_acid, mix
    from areacalc.plan.throw import CountedWhole
    from areacalc.plant.new_tank import TankFact
    from areacalc.report.figures import shown, value_text, whole_text
    from areacalc.report.tank_document import tank_cautions, tank_figures
    from areacalc.report.words import tank as words
    from areacalc.report.words.bores import bores_take
    from areacalc.report.words.cautions import shortened
    from areacalc.report.words.rack import wires_sentence
    from areacalc.report.words.tell import tell

    figures = tank_figures(design, asked)
    current, time, heat = (whole_text(figures[f], inch) for f in ("current", "time", "heat"))
    once, always = (f"{shown(e.value, 'W', inch)} ({shown(e.high, 'W', inch)} to be sure)"
                    for e in (design.cooling.estimate, design.steady_cooling.estimate))  # fmt: skip
    once_w = design.cooling.estimate.high
    if once_w < _LEAST_COOLING_W:
        once = "next to none" if once_w else "none"
    out.say(words.load_sentence(design, inch))
    out.say(words.shell_sentence(design, inch))
    supply = f"{out.three(design.supply_a)} A and {out.three(design.supply_v)} V"
    out.say(f"Power supply: {supply} or more, for {current} and a quarter to spare.")
    coating = value_text(given("coating", run.film_um, "um"), inch)
    out.say(f"One run for {coating}: {time}, {heat} of heat. Cooling: {once} for one run; "
            f"{always} run after run.")  # fmt: skip
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
    counted = [f"Bores are counted in full. {bores_take(bores)}"] if bores else []
    for note in (*told, *counted):
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
