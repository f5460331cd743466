"""What would spoil a run, worst first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

from areacalc.bath.ceiling import REMEDY, past_ceiling
from areacalc.bath.dissolved import renew
from areacalc.bath.dye import shades_within, too_warm_for_dye
from areacalc.bath.electrolyte import BATH_TEMPERATURE, Electrolyte
from areacalc.bath.seal import seal_bath_faults
from areacalc.digits import three
from areacalc.load.load import Load, Look, PartLine
from areacalc.plan.area import PartArea
from areacalc.plan.current import CurrentPlan
from areacalc.plan.equipment import PlantPlan, short_of_volts
from areacalc.plan.film import FilmPlan
from areacalc.plan.fits import FitPlan, is_lost
from areacalc.plan.heat import HeatPlan
from areacalc.plan.steps import seal_of
from areacalc.plan.throw import BoreThrow, deep_text
from areacalc.plant.cathode_set import DISTANCE
from areacalc.plant.rule import Judged
from areacalc.plant.supply import Course, Mode
from areacalc.sources import Kind


class Weight(IntEnum):
    """How bad it is; the largest comes first."""

    WATCH = 1
    HARMS = 2
    STOPS = 3

    @property
    def word(self) -> str:
        """As it stands in a list."""
        return {Weight.WATCH: "watch", Weight.HARMS: "harms", Weight.STOPS: "stops"}[self]


@dataclass(frozen=True, slots=True)
class Spoiler:
    """One thing that would spoil the run, and how bad."""

    weight: Weight
    text: str


def spoilers(
    load: Load, bath: Electrolyte, parts: tuple[PartArea, ...], currents: CurrentPlan, film: FilmPlan, heat: HeatPlan,
    plant: PlantPlan, course: Course | None, fits: tuple[FitPlan, ...] = (),
    more: tuple[str, ...] = (), bores: tuple[BoreThrow, ...] = (), area_is_sure: bool = True,
) -> tuple[Spoiler, ...]:  # fmt: skip
    """All that would spoil the run, worst first, each once; area_is_sure leaves out what the bores take."""
    found = [
        *_of_current(currents, area_is_sure), *_of_supply(load, currents, plant, course), *_of_film(load, film, bath),
        *_of_heat(load, heat), *(Spoiler(Weight.STOPS, said) for said in plant.no_place),
        *_of_rules(plant.judged), *_of_strips(load), *_of_distance(load, plant), *_of_bath(bath),
        *_of_parts(load, parts), *_of_fits(load, fits), *_of_seal(load), *_of_bores(load, film, bores),
        *(Spoiler(Weight.HARMS, said) for said in more),
    ]  # fmt: skip
    return tuple(sorted(dict.fromkeys(found), key=lambda s: -s.weight))


def _of_current(currents: CurrentPlan, area_is_sure: bool) -> Iterable[Spoiler]:
    window = currents.window
    least, most = three(window.least_a_per_dm2), three(window.most_a_per_dm2)
    if not currents.in_window:
        yield Spoiler(
            Weight.STOPS,
            f"The supply's {three(currents.set.estimate.value)} A put {three(currents.density.estimate.value)} A/dm2 "
            f"on the skin, below the window of {least} to {most} A/dm2: a soft, thin, uneven film. See the ways out.",
        )
    elif currents.held_down:
        yield Spoiler(
            Weight.WATCH,
            f"The current is the supply's limit; the middle of the window would be {three(currents.wanted_a)} A. The "
            "run is longer for it.",
        )
    if not currents.is_sure and area_is_sure:
        yield Spoiler(
            Weight.WATCH, "How much of the current the bores take is not known well enough for any setting to lie in "
            "the window for certain; this one is the likeliest.",
        )  # fmt: skip
    elif not currents.is_sure:
        yield Spoiler(
            Weight.HARMS, "The area is not known well enough for any current to lie in the window for certain: look at "
            "what widens it first.",
        )  # fmt: skip
    thin = currents.density.estimate
    if currents.in_window and thin.low < window.least_a_per_dm2 * (1 - 1e-9):
        yield Spoiler(
            Weight.WATCH, f"The density may be {three(thin.low)} A/dm2, under the window's {least} A/dm2: "
            "a softer, thinner film than reckoned.",
        )  # fmt: skip


def _of_supply(load: Load, currents: CurrentPlan, plant: PlantPlan, course: Course | None) -> Iterable[Spoiler]:
    if plant.buy is not None:
        yield Spoiler(
            Weight.WATCH, f"No supply was told, so nothing is known of its limits: {plant.buy.words} would do."
        )
    if course is None or load.supply is None:
        return
    for note in course.notes:
        if "V hold" in note:
            fallen = f"of the {three(course.set_a)} A set {three(course.end.current_a)} A are left at the end."
            yield Spoiler(Weight.HARMS, f"{note[:-1]}; {fallen}")
        elif not currents.held_down:
            yield Spoiler(Weight.WATCH, note)
    if load.supply.mode is Mode.VOLTAGE and short_of_volts(load.supply, course, currents):
        density = currents.density.estimate.value * course.most_a / currents.set.estimate.value
        yield Spoiler(
            Weight.HARMS, f"At {load.supply.limit_v:g} V the supply drives at most {three(course.most_a)} A, "
            f"{three(density)} A/dm2 on the skin; the window is {three(currents.window.least_a_per_dm2)} to "
            f"{three(currents.window.most_a_per_dm2)} A/dm2. See the ways out.",
        )  # fmt: skip
    if load.supply.mode is Mode.CURRENT and load.supply.ramp_s == 0.0:
        yield Spoiler(Weight.WATCH, "No ramp: bring the current up over a few minutes, or sharp edges burn.")


def _of_film(load: Load, film: FilmPlan, bath: Electrolyte) -> Iterable[Spoiler]:
    if film.near_ceiling:
        sure = past_ceiling(film.film, film.ceiling)
        yield Spoiler(Weight.HARMS if sure else Weight.WATCH, f"{film.near_ceiling}; {REMEDY}.")
    for sentence in load.finish.rule.outside(bath):
        yield Spoiler(Weight.WATCH, sentence)


def _of_heat(load: Load, heat: HeatPlan) -> Iterable[Spoiler]:
    rise, band = heat.warming.estimate, load.bath.band_k
    if heat.end.estimate.low > BATH_TEMPERATURE.high:
        yield Spoiler(Weight.STOPS, f"{_too_hot(heat)} {_cool_it(heat)}")
    elif rise.low > band:
        said = f"The bath warms by {three(rise.value)} K, more than the {band:g} K allowed."
        yield Spoiler(Weight.HARMS, f"{said} {_cool_it(heat)}")
    elif rise.high > band:
        yield Spoiler(
            Weight.WATCH, f"The bath may warm by {three(rise.high)} K, more than the {band:g} K allowed: watch it."
        )
    if (load.finish.dye or load.finish.shade) and (said := too_warm_for_dye(heat.end.estimate.high)):
        yield Spoiler(Weight.WATCH, said)


def _too_hot(heat: HeatPlan) -> str:
    """Past what any bath is known at: up to the boil, or to where nothing here holds."""
    if heat.boils is not None:
        return f"The bath would boil after {three(heat.boils.estimate.value / 60.0)} min, with the current still on."
    known = BATH_TEMPERATURE
    return (f"The bath would end at {three(heat.end.estimate.value)} C; nothing here holds over {known.high:g} C "
            f"({known.source}).")  # fmt: skip


def _cool_it(heat: HeatPlan) -> str:
    ice = f" ({three(heat.ice.estimate.high)} kg of ice in closed bottles)" if heat.ice else ""
    return f"Cool it by {three(heat.cooling.estimate.high)} W{ice}, take more liquid, or run less at a time."


def _of_seal(load: Load) -> Iterable[Spoiler]:
    for said in seal_bath_faults(seal_of(load), load.finish.seal_bath.temperature_c, load.finish.seal_bath.ph):
        yield Spoiler(Weight.HARMS, said)


def _of_rules(judged: Iterable[Judged]) -> Iterable[Spoiler]:
    for each in judged:
        if not each.kept:
            memory = each.rule.limit.source.kind is Kind.FROM_MEMORY
            text = each.text[0].upper() + each.text[1:]
            yield Spoiler(Weight.WATCH if memory else Weight.HARMS, f"{text}.")


def _of_strips(load: Load) -> Iterable[Spoiler]:
    if load.cathodes is not None and load.cathodes.count % 2:
        said = f"{load.cathodes.count} cathode strips cannot hang alike on either side of the parts"
        yield Spoiler(Weight.HARMS, f"{said}: the face with fewer of them films thinner. Hang an even number.")


def _of_distance(load: Load, plant: PlantPlan) -> Iterable[Spoiler]:
    if load.cathodes is not None and all(each.rule is not DISTANCE for each in plant.judged):
        yield Spoiler(
            Weight.WATCH, "How far the cathodes hang from the parts is not known: give distance under [cathodes], or "
            f"part files and the tank's sizes. {DISTANCE.limit.value:g} mm or more is usual ({DISTANCE.limit.source}).",
        )  # fmt: skip


def _of_bath(bath: Electrolyte) -> Iterable[Spoiler]:
    if said := renew(bath.aluminium_g_per_l):
        said += "" if bath.aluminium_g_per_l else " No aluminium was given, so none was counted."
        yield Spoiler(Weight.HARMS if "draw off" in said else Weight.WATCH, said)


def _of_fits(load: Load, fits: tuple[FitPlan, ...]) -> Iterable[Spoiler]:
    for fit in fits:
        if fit.fit.warning:
            yield Spoiler(Weight.HARMS if is_lost(fit) else Weight.WATCH, fit.sentence)
    if fits and load.finish.look is Look.MATTE and load.finish.etching.trial_loss_g is None:
        yield Spoiler(
            Weight.WATCH,
            "The fits count on a rate of etching that is from memory: weigh a trial piece before and after, "
            "and give etch_trial_loss and etch_trial_area.",
        )


def _of_parts(load: Load, parts: tuple[PartArea, ...]) -> Iterable[Spoiler]:
    for part in parts:
        if part.line.file is None and (idle := _idle_words(part.line)):
            said = f"{part.line.name}: {' and '.join(idle)} cannot change an area that is given: give a file instead."
            yield Spoiler(Weight.HARMS, said)
        dry = part.airlocked_mm2
        if dry.value > 0.0:
            bare = f"{three(dry.value)} mm2 of one, up to {three(dry.high)} mm2, stay bare"
            said = f"Air is trapped in {part.line.name}: {bare}. Hang it otherwise, or plug what traps it."
            yield Spoiler(Weight.HARMS, said)
        elif dry.high > 0.0:
            bare = f"up to {three(dry.high)} mm2 of one would stay bare"
            said = f"Hung a little askew, {part.line.name} traps air: {bare}. Hang it true and move it as it goes in."
            yield Spoiler(Weight.WATCH, said)
        for note in part.notes:
            if note.warns:
                yield Spoiler(Weight.HARMS, f"{part.line.name}: {note.text}.")
    unsaid = [p.line.name for p in parts if any(note.code == "hanging-not-considered" for note in p.notes)]
    if unsaid:
        said = "How the parts hang was not considered"
        if len(unsaid) < len(parts):
            said = f"Which way is up is not said of {', '.join(unsaid)}"
        yield Spoiler(Weight.WATCH, f"{said}: air trapped in a bore stays without film.")


def _of_bores(load: Load, film: FilmPlan, bores: tuple[BoreThrow, ...]) -> Iterable[Spoiler]:
    """Bores whose film is for certain thinner than the outside's, and what that does to the colour."""
    dyed = load.finish.dye is not None or load.finish.shade is not None
    for bore in bores:
        thin, outside = bore.film.estimate, film.film.estimate
        if thin.high >= outside.low and not dyed:
            continue
        shades, wanted = shades_within(thin.value), shades_within(outside.value)
        if dyed and shades == wanted:
            continue
        bare = dyed and not shades_within(thin.high)
        takes = f" a {shades[-1]} shade at most" if shades else " no dye well"
        yield Spoiler(
            Weight.HARMS if bare else Weight.WATCH,
            f"{bore.words}: the film comes to {three(thin.value)} um ({three(thin.low)} to {three(thin.high)}) where "
            f"it is thinnest, {deep_text(bore)} from the first mouth; the outside gets {three(outside.value)} um."
            f"{f' It takes{takes} there.' if dyed else ''} A longer time does not even it out; see 'Down the bores'.",
        )


def _idle_words(line: PartLine) -> list[str]:
    """The keys about skin that stand beside a bare area."""
    keys = {"plug": line.plug, "mask": line.mask, "wet_only": line.wet_only, "contact": line.contact,
            "declare": line.declare, "up": line.up}  # fmt: skip
    return [key for key, words in keys.items() if words]
