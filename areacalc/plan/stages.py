"""One load taken through the tank, stage after stage; each stage's result is what the next one takes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.bath.alloy import Alloy
from areacalc.bath.burn import Burn, burn
from areacalc.bath.ceiling import ceiling
from areacalc.bath.conductivity import conductivity
from areacalc.bath.dissolved import MOST_CONVENTIONAL, MOST_HARD, aluminium_of_several, aluminium_per_ah
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.etch import Etch
from areacalc.bath.film import ThicknessRule
from areacalc.bath.growth import HARD, Takes
from areacalc.bath.heat import refuse_uncooled_hard_coating
from areacalc.bath.seal import DEFAULT_SEAL, UNSEALED, Seal, seal_named
from areacalc.bath.voltage import rise_per_um
from areacalc.bath.window import WINDOWS, Window
from areacalc.errors import CannotRun
from areacalc.figure import Figure, given, given_or_none
from areacalc.load.load import Load
from areacalc.logbook.records import Run
from areacalc.part.shelf import Shelf
from areacalc.plan.alloy import AlloyPlan, plan_alloys
from areacalc.plan.area import PartArea, carried_by, part_areas, whole_area
from areacalc.plan.bath import BathPlan, plan_bath
from areacalc.plan.current import CurrentPlan, plan_current
from areacalc.plan.equipment import PlantPlan, plan_plant, rack_of
from areacalc.plan.etch import plan_etch
from areacalc.plan.film import FilmPlan, plan_film, refuse_past_ceiling, wanted_film
from areacalc.plan.fits import FitPlan, plan_fits
from areacalc.plan.heat import HeatPlan, plan_heat
from areacalc.plan.throw import BoreThrow, Throw, plan_throw
from areacalc.plan.time import TimePlan, plan_time
from areacalc.plan.volts import VoltsPlan, most_volts, plan_volts
from areacalc.plant.supply import Course
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.thrown import Evening


@dataclass(frozen=True, slots=True, kw_only=True)
class Stages:
    """What each stage found for one load; area is its wetted area [mm2], conductivity that of the bath [S/m]."""

    load: Load
    electrolyte: Electrolyte
    repeat: Run | None
    parts: tuple[PartArea, ...]
    area: Figure
    conductivity: Figure
    alloys: AlloyPlan
    throw: Throw
    currents: CurrentPlan
    volts: VoltsPlan
    time: TimePlan
    film: FilmPlan
    heat: HeatPlan
    bath: BathPlan
    plant: PlantPlan
    etch: Etch | None
    burn: Burn
    fits: tuple[FitPlan, ...]
    bores: tuple[BoreThrow, ...]

    @property
    def course(self) -> Course | None:
        """The run in the power supply, moment by moment, where there is one."""
        return self.time.course

    @property
    def is_hard(self) -> bool:
        """Whether the load is hard coated."""
        return is_hard(self.currents.window)

    @property
    def seal(self) -> Seal | None:
        """How the load is sealed; a hard coat is left unsealed unless a seal is asked for."""
        name = self.load.finish.seal
        sealed_before = self.repeat is not None and self.repeat.seal_s is not None
        if name == UNSEALED or (name is None and self.is_hard and not sealed_before):
            return None
        return seal_named(name) if name else DEFAULT_SEAL

    @property
    def area_is_sure(self) -> bool:
        """Whether the area alone, shared evenly, would let some current lie in the window for certain."""
        e, window = self.area.estimate, self.currents.window
        return e.high * window.least_a_per_dm2 <= e.low * window.most_a_per_dm2


def stages_of(load: Load, repeat: Run | None = None, shelf: Shelf | None = None) -> Stages:
    """All stages for a load; `repeat` is the logged run whose film and density are wanted again.

    Raises BadLoad for parts that cannot be used, CannotRun for a hard coating that nothing cools and for a power supply
    whose volts drive no current.
    """
    if repeat and repeat.dye and not load.finish.dye:
        load = replace(load, finish=replace(load.finish, dye=repeat.dye))
    today, rule = load.bath, load.finish.rule
    acid = given("acid", today.acid_g_per_l, "g/L")
    aluminium = given_or_none("aluminium", today.aluminium_g_per_l, "g/L")
    temperature, liquid = given("bath now", today.temperature_c, "C"), given("liquid", load.tank.liquid_l, "L")
    parts = part_areas(load, shelf)
    area = whole_area(parts)
    density = repeat.density_a_per_dm2 if repeat else load.finish.density_a_per_dm2
    law, window = today.law, _window(load, density)
    kappa, wanted = conductivity(acid, temperature, aluminium), wanted_film(load.finish, repeat)
    evening = Evening(kappa, law, wanted, rise_per_um(today.temperature_c))
    limit_a = load.supply.limit_a if load.supply else None
    throw = plan_throw(parts, area, density or window.middle_a_per_dm2, limit_a, evening)
    currents = plan_current(throw.effective, window, density, load.supply)
    hard = is_hard(currents.window)
    start = law.voltage(currents.density, temperature, acid)
    rack = rack_of(load, area, currents.set)
    series_ohm = rack.resistance.estimate.value if rack else 0.0
    alloys = plan_alloys(load, hard)
    slowest, *of_parts = (_takes(alloy, rule) for alloy in (alloys.slowest, *alloys.of_parts))
    try:
        time = plan_time(
            wanted,
            throw.effective,
            currents.set,
            start,
            today,
            law,
            load.supply,
            series_ohm,
            slowest.film_factor,
            rule,
        )
    except CannotRun as refused:
        refuse_past_ceiling(wanted, ceiling(currents.density, acid, temperature, rule), refused)
        raise
    way = load.finish.growth or (HARD if hard else "charge")
    film = plan_film(
        wanted, time.charge, throw.effective, currents.density, acid, temperature, slowest, of_parts, rule, way
    )
    volts = plan_volts(law, currents.density, film.film, temperature, acid, rack.drop if rack else None, load.supply)
    heat = plan_heat(currents.set, volts.mean, time.time, liquid, today, acid, temperature)
    if hard:
        refuse_uncooled_hard_coating(today.cooling_w, heat.heat.estimate.value)
    etch = plan_etch(load, area)
    return Stages(
        load=load, electrolyte=Electrolyte(today.acid_g_per_l, today.temperature_c, today.aluminium_g_per_l),
        repeat=repeat, parts=parts, area=area, conductivity=kappa, alloys=alloys, throw=throw, currents=currents,
        volts=volts, time=time, film=film, heat=heat,
        bath=plan_bath(
            time.charge, currents.set, area, load.tank, acid, aluminium, carried_by(parts), load.room_m3,
            aluminium_of_several([p.all.estimate.value / area.estimate.value for p in parts],
                                 [aluminium_per_ah(rule, takes) for takes in of_parts]),
            MOST_HARD if hard else MOST_CONVENTIONAL,
        ),
        plant=plan_plant(
            load, parts, area, throw.effective, currents, rack, time,
            most_volts(law, currents, wanted, temperature, acid, series_ohm),
        ),
        etch=etch, burn=burn(currents.density, volts.end, film.film, currents.window, hard),
        fits=plan_fits(load, [part.outward for part in film.by_part], etch.lost if etch else None),
        bores=throw.with_films([part.film for part in film.by_part]),
    )  # fmt: skip


def is_hard(window: Window) -> bool:
    """Whether a density window is that of hard coating, by name or because it lies above all others."""
    return window.name == "hard" or window.middle_a_per_dm2 > WINDOWS["small-tank"].most_a_per_dm2


def _takes(alloy: Alloy, rule: ThicknessRule) -> Takes:
    """What the alloy makes of a charge; an efficiency of the person's own holds for their alloy as it is."""
    return Takes(Constant(1.0, "", Source(Kind.ENTERED, "in your film_efficiency"))) if rule.is_own else alloy.takes


def _window(load: Load, density_a_per_dm2: float | None) -> Window:
    """The load's window; widened to the density of a run that is repeated, which went well."""
    chosen = load.finish.window
    if density_a_per_dm2 is None or chosen.least_a_per_dm2 <= density_a_per_dm2 <= chosen.most_a_per_dm2:
        return chosen
    return Window(chosen.name, min(chosen.least_a_per_dm2, density_a_per_dm2),
                  max(chosen.most_a_per_dm2, density_a_per_dm2), chosen.source, chosen.use)  # fmt: skip
