"""The options of `areacalc tank` in groups, and what each group makes; a load file stands for those that it says."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, ClassVar

from typer import Option

from areacalc.bath.window import window
from areacalc.digits import counted
from areacalc.errors import BadInput
from areacalc.plant.cathode import ratio as ratio_of
from areacalc.plant.metal import CATHODE_METALS
from areacalc.plant.metal import metal as metal_of
from areacalc.plant.spacing import USUAL, Spacing
from areacalc.plant.stock import sold
from areacalc.quantity import Dimension, parse, said_checked
from areacalc.shape.toml_kind import LOAD, kind_of_table, table_of

from . import options
from .options import AreaOption, Count, Force, Full, Json, MaybeFiles, Show, ShowOption, counts
from .part_options import ChoiceOptions, PartOptions

if TYPE_CHECKING:
    from areacalc.load.load import Load
    from areacalc.part.part import Part
    from areacalc.plan.tank_duty import TankRun
    from areacalc.plant.largest import Largest
    from areacalc.plant.new_tank import TankChoices

Density = Annotated[
    list[str] | None, Option("--density", "-d", metavar="WINDOW", help="Current density, as for `current`.")
]
Size = Annotated[str | None, Option(metavar="LENGTH", help="Inside size, if already decided.")]
_LEAD_MM = 2000.0  # from power supply to tank


@dataclass(frozen=True)
class LoadOptions(ChoiceOptions):
    """The largest load."""

    files: MaybeFiles = None
    largest: Annotated[str | None, Option(metavar="WORDS", help="The largest load: 'a plate of 300 x 200 x 6 mm'.")] = (
        None
    )
    area: AreaOption = None
    count: Count = None
    up: Annotated[
        list[str] | None,
        Option(metavar="DIRECTION", help="Direction of a part that points up: one for all, or one for each file."),
    ] = None
    upright: Annotated[bool, Option("--upright", help="Hang each part with its longest side upright.")] = False

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
            return square_of(plates, f"{self.area[0]} as a square plate"), []
        if not files:
            assert words is not None
            options.refuse_without_files({"--count": self.count})
            return self._in_words(words), []
        if asked is not None:
            load, parts = largest_in(asked, free and not self.upright, self.upright)
        else:
            parts = self.of.open(files)
            if self.up:
                parts = [part.hung(each) for part, each in zip(parts, _for_each(self.up, files, "--up"), strict=True)]
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
    film: Annotated[
        str | None, Option("--coating", metavar="THICKNESS", help="Coating to grow in one run (default: 12 um).")
    ] = None
    ramp: Annotated[
        str | None, Option(metavar="TIME", help="Time over which you bring the current up (default: 5 min).")
    ] = None
    acid: Annotated[str | None, Option("--acid", help="Free acid in the bath (default: 180 g/L).")] = None
    temperature: Annotated[str | None, Option(help="Temperature of the bath (default: 20 C).")] = None
    band: Annotated[str | None, Option(help="How far the bath may warm in one run (default: 2 C).")] = None

    def run(self, load: Load | None = None) -> TankRun:
        """The run, a load's where no option says. Raises BadInput."""
        from areacalc.bath.strength import acid_in_words
        from areacalc.plan.tank_duty import TankRun, run_of

        usual = TankRun() if load is None else run_of(load)
        told = options.once_or_twice(self.density, "--density")
        film, ramp, temperature, band = (
            options.maybe(said, dimension, f"--{name}")
            for name, said, dimension in (
                ("coating", self.film, Dimension.FILM), ("ramp", self.ramp, Dimension.TIME),
                ("temperature", self.temperature, Dimension.TEMPERATURE),
                ("band", self.band, Dimension.TEMPERATURE_DIFFERENCE),
            )
        )  # fmt: skip
        bath = replace(
            usual.bath,
            acid_g_per_l=usual.bath.acid_g_per_l if self.acid is None else acid_in_words(self.acid, "--acid"),
            temperature_c=usual.bath.temperature_c if temperature is None else temperature,
            band_k=usual.bath.band_k if band is None else band,
        )
        return replace(
            usual, film_um=usual.film_um if film is None else film, bath=bath,
            ramp_s=usual.ramp_s if ramp is None else ramp,
            window=usual.window if told is None else window(told, "--density"),
        )  # fmt: skip


@dataclass(frozen=True)
class TankOptions:
    """What a person has decided of the tank."""

    PANEL: ClassVar[str] = "The tank"
    rows: Annotated[int | None, Option(min=1, help="Most rows between the cathodes (default: 2).")] = None
    tiers: Annotated[int | None, Option(min=1, help="Most tiers, one below another.")] = None
    spacing: Annotated[str | None, Option(metavar="LENGTH", help="Room between parts (default: 25 mm).")] = None
    no_cooling: Annotated[bool, Option("--no-cooling", help="Make the tank large enough to do without cooling.")] = (
        False
    )
    cathode: Annotated[str, Option(metavar="METAL", help="Cathode metal: 6063, 1100 or lead.")] = "6063"
    ratio: Annotated[str, Option(metavar="NAME|NUMBER", help="Cathode area over part area, as for `cathode`.")] = (
        "small-tank"
    )
    strip: Annotated[str | None, Option(metavar="LENGTH", help="Width of a cathode strip; default 50 mm or 2 in.")] = (
        None
    )
    distance: Annotated[str | None, Option(metavar="LENGTH", help="Distance from part to cathodes.")] = None
    length: Size = None
    width: Size = None
    depth: Size = None
    volume: Annotated[
        str | None, Option(metavar="LITRES", help="Least liquid, such as '60 L'; length and width follow.")
    ] = None

    @property
    def is_sized(self) -> bool:
        """Whether a size of the tank is told."""
        return any(size is not None for size in (self.length, self.width, self.depth))

    def choices(self, inch: bool = False) -> TankChoices:
        """As the sizing takes it. Raises BadInput."""
        from areacalc.plant.new_tank import TankChoices

        stock, spacing = sold(inch), Spacing(rows=self.rows or USUAL.rows, tiers=self.tiers)
        if self.spacing is not None:
            spacing = spacing.own(between=parse(self.spacing, Dimension.LENGTH, "--spacing"))
        if self.volume is not None and self.is_sized:
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


@dataclass(frozen=True)
class ShownOptions:
    """What is shown and drawn."""

    draw: Annotated[Path | None, Option(metavar="FILE.svg", help="Draw the tank to scale: three views.")] = None
    force: Force = False
    full: Full = False
    show: ShowOption = Show.MM
    json: Json = False


def _for_each(given: list[str], files: list[str], option: str) -> list[str]:
    """What was given once for all files, or once a file. Raises BadInput."""
    if len(given) not in (1, len(files)):
        what = f"is given {len(given)} times for {counted(len(files), 'file')}"
        raise BadInput(option, what, "give it once, or once a file")
    return given * len(files) if len(given) == 1 else given
