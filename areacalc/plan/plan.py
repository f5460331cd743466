"""The plan of a load: what to set, what to expect, what would spoil it; every figure with the chain it came from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.bath.alloy import Alloy
from areacalc.bath.burn import burn
from areacalc.bath.ceiling import ceiling
from areacalc.bath.conductivity import conductivity, gap_drop
from areacalc.bath.dye import dye_time
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.etch import Etch
from areacalc.bath.film import ThicknessRule
from areacalc.bath.heat import refuse_uncooled_hard_coating
from areacalc.bath.seal import seal_time
from areacalc.bath.voltage import rise_per_um
from areacalc.bath.window import WINDOWS, Window
from areacalc.errors import CannotRun, UnknownName
from areacalc.figure import Figure, given, given_or_none
from areacalc.load.load import Load
from areacalc.logbook.logbook import Entry
from areacalc.part.shelf import Shelf
from areacalc.plan.alloy import AlloyPlan, plan_alloys
from areacalc.plan.area import PartArea, carried_by, part_areas, whole_area
from areacalc.plan.bath import BathPlan, plan_bath
from areacalc.plan.current import CurrentPlan, plan_current
from areacalc.plan.equipment import PlantPlan, plan_plant, rack_of
from areacalc.plan.etch import etch_figures, plan_etch
from areacalc.plan.faults import Spoiler, Weight, spoilers
from areacalc.plan.film import FilmPlan, plan_film, refuse_past_ceiling, wanted_film
from areacalc.plan.fits import FitPlan, plan_fits
from areacalc.plan.heat import HeatPlan, plan_heat
from areacalc.plan.steps import Step, cautions, plan_steps, seal_of
from areacalc.plan.throw import BoreThrow, Throw, plan_throw
from areacalc.plan.time import TimePlan, plan_time
from areacalc.plan.volts import VoltsPlan, most_volts, plan_volts
from areacalc.plant.supply import Course
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.thrown import Evening

CARRIED = (
    "Intervals are carried through from the area to the film by trying every corner, which is exact where a formula "
    "rises or falls steadily in each input; nothing is drawn at random."
)


@dataclass(frozen=True, slots=True)
class Plan:
    """What to set and what to expect for one load. `figures` are all of them by the name that `explain` takes."""

    load: Load
    parts: tuple[PartArea, ...]
    alloys: AlloyPlan
    throw: Throw
    currents: CurrentPlan
    volts: VoltsPlan
    time: TimePlan
    film: FilmPlan
    heat: HeatPlan
    bath: BathPlan
    plant: PlantPlan
    fits: tuple[FitPlan, ...]
    bores: tuple[BoreThrow, ...]
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]
    spoilers: tuple[Spoiler, ...]
    figures: dict[str, Figure]

    @property
    def course(self) -> Course | None:
        """The run in the supply, moment by moment, where there is a supply."""
        return self.time.course

    @property
    def can_run(self) -> bool:
        """Whether nothing stops the run as it was asked for."""
        return all(s.weight is not Weight.STOPS for s in self.spoilers)

    def figure(self, name: str) -> Figure:
        """The figure of that name. Raises UnknownName with those that exist."""
        if name not in self.figures:
            raise UnknownName.among("figure", name, self.figures)
        return self.figures[name]


def plan_of(load: Load, repeat: Entry | None = None, shelf: Shelf | None = None) -> Plan:
    """The plan for a load; `repeat` is the logged run whose film and density are wanted again.

    Raises BadLoad for parts that cannot be used, CannotRun for a hard coating that nothing cools and for a supply whose
    volts drive no current.
    """
    if repeat and repeat.dye and not load.finish.dye:
        load = replace(load, finish=replace(load.finish, dye=repeat.dye))
    today = load.bath
    bath = Electrolyte(today.acid_g_per_l, today.temperature_c, today.aluminium_g_per_l)
    acid = given("acid", today.acid_g_per_l, "g/L")
    aluminium = given_or_none("aluminium", today.aluminium_g_per_l, "g/L")
    temperature, liquid = given("bath now", today.temperature_c, "C"), given("liquid", load.tank.liquid_l, "L")
    parts = part_areas(load, shelf)
    area = whole_area(parts)
    density = repeat.density_a_per_dm2 if repeat else load.finish.density_a_per_dm2
    law, window = today.law, _window(load, density)
    kappa = conductivity(acid, temperature, aluminium)
    wanted = wanted_film(load.finish, repeat)
    evening = Evening(kappa, law, wanted, rise_per_um(today.temperature_c))
    limit_a = load.supply.limit_a if load.supply else None
    throw = plan_throw(parts, area, density or window.middle_a_per_dm2, limit_a, evening)
    currents = plan_current(throw.effective, window, density, load.supply)
    start = law.voltage(currents.density, temperature, acid)
    rack = rack_of(load, area, currents.set)
    series_ohm = rack.resistance.estimate.value if rack else 0.0
    alloys = plan_alloys(load, is_hard(currents.window))
    rule = load.finish.rule
    factor, *factors = (_film_factor(alloy, rule) for alloy in (alloys.slowest, *alloys.of_parts))
    try:
        time = plan_time(
            wanted, throw.effective, currents.set, start, today, law, load.supply, series_ohm, factor, rule
        )
    except CannotRun as refused:
        refuse_past_ceiling(wanted, ceiling(currents.density, acid, temperature, rule), refused)
        raise
    film = plan_film(wanted, time.charge, throw.effective, currents.density, acid, temperature, factor, factors, rule)
    volts = plan_volts(law, currents.density, film.film, temperature, acid, rack.drop if rack else None, load.supply)
    heat = plan_heat(currents.set, volts.mean, time.time, liquid, today, acid, temperature)
    if is_hard(currents.window):
        refuse_uncooled_hard_coating(today.cooling_w, heat.heat.estimate.value)
    chemistry = plan_bath(
        time.charge, currents.set, area, liquid, acid, aluminium, carried_by(parts), rule, load.room_m3
    )
    plant = plan_plant(
        load, parts, area, throw.effective, currents, rack, time,
        most_volts(law, currents, wanted, temperature, acid, series_ohm),
    )  # fmt: skip
    etch = plan_etch(load, area)
    burnt = burn(currents.density, volts.end, film.film, currents.window, is_hard(currents.window))
    fits = plan_fits(load, [part.outward for part in film.by_part], etch.lost if etch else None)
    bores = throw.with_films([part.film for part in film.by_part])
    spoiled = spoilers(
        load, bath, parts, currents, film, heat, plant, time.course, fits, (*alloys.warnings, *burnt.causes), bores,
        _is_sure(area, currents.window),
    )  # fmt: skip
    figures = _figures(area, currents, volts, time, film, heat, chemistry, plant)
    figures["heat-on-skin"] = burnt.heat_on_skin
    figures |= _of_finish(load, film.film, etch) | _of_bath(load, currents.density, kappa) | throw.figures(bores)
    steps = plan_steps(load, currents.set, film.film, time, volts, chemistry.rinse, repeat)
    care = cautions(load)
    return Plan(
        load, parts, alloys, throw, currents, volts, time, film, heat, chemistry, plant, fits, bores, steps, care,
        spoiled, figures,
    )  # fmt: skip


def _film_factor(alloy: Alloy, rule: ThicknessRule) -> Constant:
    """What the alloy makes of the charge rule; an efficiency of the person's own holds for their alloy as it is."""
    return Constant(1.0, "", Source(Kind.ENTERED, "in your film_efficiency")) if rule.is_own else alloy.film_factor


def is_hard(window: Window) -> bool:
    """Whether a density window is that of hard coating, by name or because it lies above all others."""
    return window.name == "hard" or window.middle_a_per_dm2 > WINDOWS["small-tank"].most_a_per_dm2


def _window(load: Load, density_a_per_dm2: float | None) -> Window:
    """The load's window; widened to the density of a run that is repeated, which went well."""
    chosen = load.finish.window
    if density_a_per_dm2 is None or chosen.least_a_per_dm2 <= density_a_per_dm2 <= chosen.most_a_per_dm2:
        return chosen
    return Window(chosen.name, min(chosen.least_a_per_dm2, density_a_per_dm2),
                  max(chosen.most_a_per_dm2, density_a_per_dm2), chosen.source, chosen.use)  # fmt: skip


def _figures(
    area: Figure, currents: CurrentPlan, volts: VoltsPlan, time: TimePlan, film: FilmPlan, heat: HeatPlan,
    bath: BathPlan, plant: PlantPlan,
) -> dict[str, Figure]:  # fmt: skip
    """Every figure by the name that a person asks for it with."""
    in_band = {"time-in-band": heat.in_band} if heat.in_band else {}
    runs = {"runs-left": bath.runs_left} if bath.runs_left else {}
    cold = {"ice": heat.ice, "chilled-water": heat.chilled}
    room = {"air-changes": bath.air_changes, "hydrogen-in-room": bath.closed_room}
    known = {name: figure for name, figure in (cold | room).items() if figure is not None}
    rack = (
        {"rack-drop": plant.rack.drop, "rack-warmth": plant.rack.rise, "current-a-contact": plant.rack.a_contact}
        if plant.rack
        else {}
    )
    hung = {}
    if plant.cathodes:
        hung = {"cathode-over-part": plant.cathodes.over_part, "current-a-strip": plant.cathodes.a_strip,
                "cathode-density": plant.cathodes.density}  # fmt: skip
    return {
        "area": area, "current-least": currents.least, "current": currents.set, "current-most": currents.most,
        "density": currents.density, "voltage-start": volts.start, "voltage-end": volts.end,
        "voltage-supply": volts.at_supply, "time": time.time, "charge": time.charge,
        "charge-wanted": time.charge_wanted, "film-wanted": film.wanted, "film": film.film,
        "growth-outward": film.growth.outward,
        "growth-inward": film.growth.inward, "ceiling": film.ceiling,
        "heat": heat.heat, "warming": heat.warming, "bath-end": heat.end, **in_band, "cooling": heat.cooling,
        "cathode-face": plant.cathode_face, **hung, **rack,
        "hydrogen": bath.hydrogen, "air": bath.air.wanted, "air-thin": bath.air.by_share, "aluminium": bath.aluminium,
        "aluminium-rise": bath.aluminium_rise, "acid-used": bath.acid_used, "drag-out": bath.drag_out,
        "acid-dragged": bath.acid_dragged, "rinse": bath.rinse, **runs, **known,
    }  # fmt: skip


def _of_bath(load: Load, density: Figure, kappa: Figure) -> dict[str, Figure]:
    """How well the bath conducts, and the volts that it takes where the distance to the cathodes is told."""
    named = {"conductivity": kappa}
    if load.cathodes is not None and load.cathodes.distance_mm is not None:
        gap = given("part to cathode", load.cathodes.distance_mm, "mm")
        named["bath-drop"] = gap_drop(density, gap, kappa)
    return named


def _is_sure(area: Figure, window: Window) -> bool:
    """Whether the area alone, shared evenly, would let some current lie in the window for certain."""
    e = area.estimate
    return e.high * window.least_a_per_dm2 <= e.low * window.most_a_per_dm2


def _of_finish(load: Load, film: Figure, etch: Etch | None) -> dict[str, Figure]:
    """The figures of etch, dye and seal, where the load has them."""
    named = {"seal": seal_time(film, seal_of(load))}
    if load.finish.dye or load.finish.shade:
        named["dye"] = dye_time(film)
    return named | (etch_figures(load, etch) if etch else {})
