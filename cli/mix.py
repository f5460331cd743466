"""`areacalc mix`: a bath mixed from bought acid, or topped up."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from typer import Argument

from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.figure import constant, given
from areacalc.logbook.records import Event
from areacalc.quantity import Dimension

from . import show as out
from .grouped import grouped, option
from .options import Full, Json, Show, ShowOption, maybe
from .write import done

Tops = Annotated[Path | None, Argument(metavar="LOAD", help="Load file; tops up the bath in its tank.")]
_FIRST = 3  # cautions that stand before the steps, the others behind --full
_FULL = 1.02  # chosen: so much more than a bath held is another volume, and no rounding

if TYPE_CHECKING:
    from areacalc.bath.mixing import Recipe


@dataclass(frozen=True)
class MixOptions:
    """The bath wanted, the acid bought for it, and what is in the tank."""

    volume: str | None = option("Bath to mix, such as '10 L'.", metavar="VOLUME")
    acid: str = option(
        "Strength to mix: '180 g/L', '16.2 wt%', '1.84 mol/L', 'sg 1.115', '15 Be'.",
        default="180 g/L",
        metavar="STRENGTH",
    )
    stock: str = option(
        "Acid you bought: 'battery acid', or any strength: '37 %', 'sg 1.28'.",
        "--from",
        default="battery acid",
        metavar="ACID",
    )
    bottle_density: str | None = option("Density on the bottle: '1.5 kg/L'.", metavar="DENSITY")
    have: str | None = option("How much bath you have now.", metavar="VOLUME")
    have_acid: str | None = option("Free acid in the bath you have.", metavar="STRENGTH")
    into: str | None = option("Write this mix into the history of this bath.", metavar="BATH")

    def recipe(self, load_file: Path | None) -> Recipe:
        """The recipe: for a bath of its own, or for the tank and bath of a load. Raises BadInput."""
        from areacalc.bath.electrolyte import Electrolyte
        from areacalc.bath.mixing import mix as mixed
        from areacalc.bath.mixing import top_up
        from areacalc.bath.strength import acid_in_words, stock_in_words

        bottle_g_per_l = _above_zero(self.bottle_density, Dimension.CONCENTRATION, "--bottle-density", "density")
        bottle_kg_per_l = None if bottle_g_per_l is None else bottle_g_per_l * 1e-3
        bought = stock_in_words(self.stock, "--from", bottle_kg_per_l)
        wanted = acid_in_words(self.acid, "--acid")
        volume_l = _above_zero(self.volume, Dimension.BATH_VOLUME, "--volume", "bath")
        have_l = _above_zero(self.have, Dimension.BATH_VOLUME, "--have", "bath")
        now = None if self.have_acid is None else Electrolyte(acid_in_words(self.have_acid, "--have-acid"))
        if load_file is not None:
            from areacalc.plan.load_book import LoadBook

            load = LoadBook(load_file).load()
            volume_l = volume_l or load.tank.liquid_l
            have_l = have_l or load.tank.liquid_l
            now = now or Electrolyte(load.bath.acid_g_per_l, load.bath.temperature_c)
        if volume_l is None:
            raise BadInput("--volume", "is missing", "give the bath wanted, such as '10 L', or a load file")
        if have_l is None:
            if now is not None:
                raise BadInput("--have", "is missing", "give how much bath is there, such as '9 L'")
            return mixed(volume_l, wanted, bought)
        if now is None:
            raise BadInput("--have-acid", "is missing", "give the free acid of what is there, such as '165 g/L'")
        return top_up(have_l, now, volume_l, wanted, bought)


@grouped
def mix(
    load_file: Tops = None, *, of: MixOptions, full: Full = False, show: ShowOption = Show.MM, json: Json = False
) -> None:
    """Mix a bath from battery acid or stronger, or top one up: what to measure out, in which order, how warm it gets.

    Example: areacalc mix --volume "10 L" --acid "180 g/L"
    """
    from areacalc.bath.electrolyte import ROOM_C
    from areacalc.bath.mixing import MixStep
    from areacalc.report.figures import bounds_text, value_text
    from areacalc.report.mix_document import mix_cautions, mix_document, mix_figures
    from areacalc.report.words.cautions import shortened
    from areacalc.report.words.tell import tell

    made = of.recipe(load_file)
    noted = "" if of.into is None else _note(made, of.into)
    if json:
        out.json_out(mix_document(made))
        return
    inch = show is Show.IN
    volume_said = value_text(given("bath", made.volume_l, "L"), inch)
    density = value_text(constant("density", made.stock.density), inch)
    name, strength = made.stock.name, f"{made.stock.wt_pct:.3g} wt%"
    told = density if strength in name else f"{strength}, {density}"
    nothing = made.steps[0].kind is MixStep.NOTHING
    if full or not nothing:
        out.say(f"{volume_said} of bath from {name} ({told})")
    if full:
        title = f"Bath at {value_text(given('room', ROOM_C, 'C'), inch)}"
        listed = (figure for key, figure in mix_figures(made).items() if key != "warms")  # a step tells that
        rows = [(f.name, value_text(f, inch), bounds_text(f, inch)) for f in listed]
        out.table(title, ("", "figure", "least to most"), rows, right=(1, 2))
        out.cautions(mix_cautions(made), inch)
    elif not nothing:
        out.say(f"Caution: {shortened(mix_cautions(made)[:_FIRST], inch)}")
    for number, step in enumerate(made.steps, 1):
        out.say(f"{'' if nothing else f'{number}. '}{tell(step, inch)}")
    if full:
        out.say(f"Density of the acid: {made.stock.density.source}")
    if noted:
        out.say(noted)
    if not full:
        out.say("All cautions and figures: --full")


def _note(made: Recipe, bath: str) -> str:
    """Keep a mix as new, or a top-up as an addition, in a bath's history; what was written.

    Raises UnknownName; BadInput for more than the bath ever held: as it was kept, mixed, or run in.
    """
    from areacalc.bath.mixing import MixStep
    from areacalc.logbook.logbook import Logbook, now

    litres = {"old bath drawn off": made.draw_off_l, "water": made.water_l.estimate.value,
              made.stock.name: made.acid_l.estimate.value}  # fmt: skip
    words = ", ".join(f"{three(value)} L of {what}" for what, value in litres.items() if value > 0.0)
    what: Literal["new", "addition"] = "addition" if made.keep_l else "new"
    with Logbook() as book, done(f"the mix is in the history of {bath}"):
        kept = book.vessel("bath", bath, "--into")
        acid = kept.settings["acid"]
        if made.steps[0].kind is MixStep.NOTHING:
            return f"Nothing was written. The logbook has '{kept.name}' at {acid}."
        told_l = [kept.volume_l, *(e.volume_l for e in book.events(kept)), *(run.bath_l for run in book.runs_in(kept))]
        held_l = max(filter(None, told_l), default=made.volume_l)
        all_l = three(made.volume_l)
        if made.volume_l > _FULL * held_l:
            raise BadInput("--into", f"{all_l} L do not go into '{kept.name}', which holds {three(held_l)} L",
                           f"give --volume '{three(held_l)} L', or keep the bath from a load with a larger tank"
                           )  # fmt: skip
        book.add_event(Event(vessel=kept.number, when=now(), what=what, volume_l=made.volume_l, remark=words))
    return (f"Written into the history of '{kept.name}': {what}, {all_l} L in all, {words}. Loads that name it still "
            f"have its acid at {acid}; areacalc logbook bath '{kept.name}' --acid ... changes it."
            )  # fmt: skip


def _above_zero(words: str | None, dimension: Dimension, where: str, what: str) -> float | None:
    """A quantity of which there is some, where it is given, in its canonical unit. Raises BadInput."""
    value = maybe(words, dimension, where)
    if value is not None and value <= 0.0:
        raise BadInput(where, f"'{words}' must be above zero", "give a larger one, or leave it out")
    return value
