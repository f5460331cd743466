"""One load taken through the tank, stage after stage; each stage's result is what the next one takes."""

import math
from dataclasses import dataclass, replace

import msgspec

from areacalc.bath.alloy import Alloy
from areacalc.bath.burn import Burn, burn
from areacalc.bath.ceiling import ceiling
from areacalc.bath.dissolved import MOST_CONVENTIONAL, MOST_HARD, aluminium_of_several, aluminium_per_ah
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.etch import Etch
from areacalc.bath.film import HARD, Takes, ThicknessRule, factor_figure, film_per_charge, growth
from areacalc.bath.seal import DEFAULT_SEAL, SEALS, UNSEALED, Seal
from areacalc.bath.window import WINDOWS, Window
from areacalc.errors import CannotRun, UnknownName
from areacalc.figure import Figure, given
from areacalc.load.load import EVEN_CHANCE, Finish, Load
from areacalc.logbook.came import Came, is_as_asked
from areacalc.logbook.records import Run
from areacalc.part.part import Shelf
from areacalc.plan.alloy import AlloyPlan, is_of_alloy, plan_alloys
from areacalc.plan.area import PartArea, bare_rack, part_areas, whole_area
from areacalc.plan.bath import plan_bath, plan_etch
from areacalc.plan.course import RunPlan, TimePlan, most_volts, plan_time, plan_volts
from areacalc.plan.equipment import PlantPlan, plan_plant
from areacalc.plan.film import FilmPlan, FitPlan, plan_fits, refuse_past_ceiling, rule_as_then, wanted_film
from areacalc.plan.heat import HeatPlan, plan_heat
from areacalc.plan.room import hung_free, plan_room, with_rack
from areacalc.plan.share_out import CurrentPlan, Measured, Shared, Sharing, share_out
from areacalc.plan.throw import BoreThrow, Throw
from areacalc.sources import Constant, Kind, Source

_ALIKE = 1e-3  # chosen: two coatings, or two densities, that are nearer are the same


@dataclass(frozen=True, slots=True, kw_only=True)
class Stages:
    """What each stage found for one load; area is its wetted area [mm2], conductivity that of the bath [S/m].

    bare_rack is what of the area is rack; run is the course that every figure of time, volts and heat is read off.
    """

    load: Load
    electrolyte: Electrolyte
    repeat: Run | None
    came: Came | None
    parts: tuple[PartArea, ...]
    area: Figure
    bare_rack: Figure | None
    conductivity: Figure
    alloys: AlloyPlan
    throw: Throw
    currents: CurrentPlan
    run: RunPlan
    is_hard: bool
    volts: dict[str, Figure]
    time: TimePlan
    film: FilmPlan
    heat: HeatPlan
    bath: dict[str, Figure | None]
    plant: PlantPlan
    etch: Etch | None
    burn: Burn
    fits: tuple[FitPlan, ...]
    bores: tuple[BoreThrow, ...]

    @property
    def seal(self) -> Seal | None:
        """How the load is sealed; a hard coat is left unsealed unless a seal is asked for."""
        name = self.load.finish.seal
        sealed_before = self.repeat is not None and self.repeat.seal_s is not None
        if name == UNSEALED or (name is None and self.is_hard and not sealed_before):
            return None
        return UnknownName.pick("seal", name, SEALS) if name else DEFAULT_SEAL

    @property
    def rule(self) -> ThicknessRule:
        """The film for a charge: of the run repeated, measured in this bath on this alloy, else as the load asks."""
        return _rule(self.load, self.alloys, self.repeat, self.came)

    @property
    def area_is_sure(self) -> bool:
        """Whether the area alone, shared evenly, would let some current lie in the window for certain."""
        e, window = self.area.estimate, self.currents.window
        return e.high * window.least_a_per_dm2 <= e.low * window.most_a_per_dm2


def stages_of(
    load: Load, repeat: Run | None = None, shelf: Shelf | None = None, came: Came | None = None
) -> Stages:  # fmt: skip
    """All stages for a load; `repeat` is the logged run that is wanted again, `came` what came of it.

    Raises BadLoad for parts that cannot be used, CannotRun for a hard coating that nothing cools and for a power supply
    whose volts drive no current.
    """
    wanted = wanted_film(load.finish, repeat, came)
    if repeat:
        load, repeat = _repeating(load, repeat, came, wanted)
    today, measured = load.bath, Measured.of(load)
    kept = shelf or Shelf()
    parts = hung_free(load, part_areas(load, kept), kept)
    room, density = plan_room(load, parts), _density(load.finish, repeat)
    window = _window(load, density)
    load = with_rack(load, parts, room.layout, density or window.middle_a_per_dm2)
    bare = bare_rack(load)
    area = whole_area(parts, bare)
    hard = is_hard(window, today.temperature_c)
    alloys = plan_alloys(load, hard)
    rule = _rule(load, alloys, repeat, came)
    takes = [takes_of(alloy, rule) for alloy in (alloys.slowest, *alloys.of_parts)]
    factor = takes[0].film_factor
    sharing = Sharing(load, parts, area, bare, measured)
    shared = _shared(sharing, window, density, wanted, rule, factor)
    throw, currents, run, asked = shared.throw, shared.currents, shared.run, shared.asked
    time, volts = plan_time(run, load.finish.certainty), plan_volts(run)
    heat = plan_heat(run, today, measured.temperature)
    top = ceiling(time.density, measured.acid, heat.surface, factor_figure(factor))
    way = load.finish.growth or (HARD if hard else "charge")
    least, *by_part = (growth(time.on_surface, way, rule, each) for each in takes)
    film = FilmPlan(wanted, least.film, least, top, tuple(by_part))
    most_v = most_volts(run.course.cases, currents.most.estimate.high, wanted.estimate.value, asked.series_ohm)
    etch = plan_etch(load, area)
    return Stages(
        load=load, electrolyte=Electrolyte(today.acid_g_per_l, today.temperature_c, today.aluminium_g_per_l),
        repeat=repeat, came=came, parts=parts,
        area=area, bare_rack=bare, conductivity=measured.kappa, alloys=alloys, throw=throw,
        currents=currents, run=run, volts=volts, time=time, film=film, heat=heat, is_hard=hard,
        bath=plan_bath(sharing, currents.set, time.charge, _aluminium(parts, bare, area, rule, takes[1:]),
                       MOST_HARD if hard else MOST_CONVENTIONAL),
        plant=plan_plant(sharing, shared, time, most_v, room),
        etch=etch, burn=burn(time.density, heat.on_surface, heat.rise, measured.temperature, window,
                             load.supply is not None and load.supply.holds_volts),
        fits=plan_fits(load, [part.outward for part in film.by_part], etch.lost if etch else None),
        bores=sharing.in_bores(shared, time.density, film.film).with_films([part.film for part in film.by_part]),
    )  # fmt: skip


def _repeating(load: Load, repeat: Run, came: Came | None, wanted: Figure) -> tuple[Load, Run]:
    """The load with the finish of the run it repeats, where it says none itself, and the run with the times that hold.

    Certainty: the film that came out then, not one more on top of it. Times in dye and seal are those of that coating.
    """
    asked = load.finish
    then = wanted_film(Finish(), repeat, came)
    certainty = (repeat.certainty if is_as_asked(repeat, came) else None) or EVEN_CHANCE
    finish = replace(
        asked, certainty=asked.certainty if asked.asks_coating or "certainty" in asked.told else certainty,
        dye=asked.dye if "dye" in asked.told else asked.dye or repeat.dye,
        shade=asked.shade or (None if "dye" in asked.told else repeat.shade),
    )  # fmt: skip
    if not math.isclose(wanted.estimate.value, then.estimate.value, rel_tol=_ALIKE):
        repeat = msgspec.structs.replace(repeat, dye_s=None, seal_s=repeat.seal_s and 0.0)
    return replace(load, finish=finish), repeat


def _density(finish: Finish, repeat: Run | None) -> float | None:
    """The density [A/dm2] of the run repeated, unless the load names a window that it lies outside."""
    if repeat is None:
        return finish.density_a_per_dm2
    density, least, most = repeat.density_a_per_dm2, finish.window.least_a_per_dm2, finish.window.most_a_per_dm2
    is_inside = least * (1.0 - _ALIKE) <= density <= most * (1.0 + _ALIKE)
    return density if is_inside or "density" not in finish.told else finish.density_a_per_dm2


def _rule(load: Load, alloys: AlloyPlan, repeat: Run | None, came: Came | None) -> ThicknessRule:
    rule = load.bath.rule_for(alloys.slowest.name) or load.finish.rule
    if repeat is None or not is_of_alloy(alloys, load.name, repeat):
        return rule
    return rule_as_then(rule, takes_of(alloys.slowest, rule).film_factor.value, repeat, came)


def _shared(
    sharing: Sharing, window: Window, density_a_per_dm2: float | None, wanted: Figure, rule: ThicknessRule,
    factor: Constant,
) -> Shared:  # fmt: skip
    """The current shared out. Raises CannotRun, with the ceiling where the film is one that this bath does not make."""
    try:
        return share_out(sharing, window, density_a_per_dm2, wanted, film_per_charge(rule, factor))
    except CannotRun as refused:
        middle = given("density wanted", density_a_per_dm2 or window.middle_a_per_dm2, "A/dm2", window.source)
        measured = sharing.measured
        top = ceiling(middle, measured.acid, measured.temperature, factor_figure(factor))
        refuse_past_ceiling(wanted, top, refused)
        raise


def _aluminium(
    parts: tuple[PartArea, ...], bare: Figure | None, area: Figure, rule: ThicknessRule, takes: list[Takes]
) -> Figure:
    """What the load leaves in the bath for each ampere hour: every kind of part, and the rack, by its share."""
    lines = [(part.all, each) for part, each in zip(parts, takes, strict=True)] + ([(bare, Takes())] if bare else [])
    shares = [each.estimate.value / area.estimate.value for each, _ in lines]
    return aluminium_of_several(shares, [aluminium_per_ah(rule, each) for _, each in lines])


COLD_C = 10.0
"""Chosen: at and below this bath, densities of the hard window make a hard coating."""


def is_hard(window: Window, bath_c: float) -> bool:
    """Whether hard coating is asked for: its window by name, or its densities in a cold bath."""
    hard = WINDOWS["hard"]
    return window.name == hard.name or (bath_c <= COLD_C and window.most_a_per_dm2 >= hard.least_a_per_dm2)


def takes_of(alloy: Alloy, rule: ThicknessRule) -> Takes:
    """What the alloy makes of a charge; an efficiency of the person's own holds for their alloy as it is."""
    return Takes(Constant(1.0, "", Source(Kind.ENTERED, "in your coating_efficiency"))) if rule.is_own else alloy.takes


def _window(load: Load, density_a_per_dm2: float | None) -> Window:
    """The load's window; widened to the density of a run that is repeated, which went well."""
    chosen = load.finish.window
    if density_a_per_dm2 is None or chosen.least_a_per_dm2 <= density_a_per_dm2 <= chosen.most_a_per_dm2:
        return chosen
    return Window(chosen.name, min(chosen.least_a_per_dm2, density_a_per_dm2),
                  max(chosen.most_a_per_dm2, density_a_per_dm2), chosen.source, chosen.use)  # fmt: skip
