"""Every figure of a plan by the name that a person asks for it with, and how even the outside comes out."""

from areacalc.bath.dye import dye_time
from areacalc.bath.electrolyte import gap_drop
from areacalc.bath.seal import seal_time
from areacalc.bath.voltage import rise_per_um
from areacalc.figure import Figure, given
from areacalc.plan.bath import etch_figures
from areacalc.plan.film import as_then
from areacalc.plan.stages import Stages
from areacalc.plant.rack import thinning
from areacalc.throw.outside import drop_per_mm, unevenness
from areacalc.throw.thrown import Evening


def named_figures(made: Stages) -> dict[str, Figure]:
    """All figures that the load has, in the order that tables show them."""
    named = {
        "area": made.area, **_run(made), **_heat(made), **_equipment(made), **made.bath,
        "ice": made.heat.ice, "chilled-water": made.heat.chilled, **_finish(made), "conductivity": made.conductivity,
        "bath-drop": _bath_drop(made), **made.throw.figures(made.bores),
    }  # fmt: skip
    return {name: figure for name, figure in named.items() if figure is not None}


def _run(made: Stages) -> dict[str, Figure | None]:
    currents, time, film = made.currents, made.time, made.film
    return {
        "current-least": currents.least, "current": currents.set, "current-most": currents.most,
        "density": time.density, "evenness": evenness(made), **made.volts, "time": time.time, "charge": time.charge,
        "charge-wanted": time.charge_wanted, "coating-wanted": film.wanted, "coating": film.film,
        "growth-outward": film.growth.outward, "growth-inward": film.growth.inward, "ceiling": film.ceiling,
    }  # fmt: skip


def _heat(made: Stages) -> dict[str, Figure | None]:
    heat = made.heat
    return {
        "heat": heat.heat, "heat-electric": heat.electric,
        "heat-on-surface": heat.on_surface, "surface-rise": heat.rise, "surface": heat.surface,
        "stable-rise": made.burn.stable_rise, "least-heat-transfer": made.burn.least_transfer, "warming": heat.warming,
        "bath-end": heat.end, "time-in-band": heat.in_band, "cooling": heat.cooling,
    }  # fmt: skip


def _equipment(made: Stages) -> dict[str, Figure | None]:
    cathodes, rack = made.plant.cathodes, made.plant.rack
    named: dict[str, Figure | None] = {"cathode-face": made.plant.cathode_face}
    if cathodes is not None:
        named |= {"cathode-hung": cathodes.over_part.inputs[0], "cathode-over-part": cathodes.over_part,
                  "current-a-strip": cathodes.a_strip, "cathode-density": cathodes.density}  # fmt: skip
    if rack is not None:
        named |= {"rack-drop": rack.drop, "rack-warmth": rack.rise, "current-a-contact": rack.a_contact}
    if made.bare_rack is not None:
        named |= {"rack-area": made.bare_rack, "rack-thinning": thinning(made.time.on_surface)}
    return named


def _finish(made: Stages) -> dict[str, Figure | None]:
    film, then = made.film.film, made.repeat
    named: dict[str, Figure | None] = {"seal": None}
    if made.seal is not None:
        named["seal"] = as_then(seal_time(film, made.seal), then.seal_s if then else None)
    if made.load.finish.is_dyed:
        named["dye"] = as_then(dye_time(film), then.dye_s if then else None)
    return named | (etch_figures(made.load, made.etch) if made.etch else {})


def _bath_drop(made: Stages) -> Figure | None:
    """The volts that the bath takes, where the distance to the cathodes is told and fits."""
    cathodes = made.load.cathodes
    if cathodes is None or cathodes.distance_mm is None or made.plant.room.a_side_mm is not None:
        return None
    return gap_drop(made.time.density, given("part to cathode", cathodes.distance_mm, "mm"), made.conductivity)


def evenness(made: Stages) -> Figure | None:
    """How far the density strays on the outside [%]; None where tank or strips are not told."""
    tank, today, strips = made.load.tank, made.load.bath, made.load.cathodes
    if strips is None or tank.length_mm is None or tank.width_mm is None or tank.depth_mm is None:
        return None
    evening = Evening(made.conductivity, today.law, made.film.film, rise_per_um(today.temperature_c))
    largest = max(part.each.estimate.value for part in made.parts)
    a_side = max(strips.count // 2, 1)
    gap_mm, below_mm = 0.5 * (tank.length_mm / a_side - strips.width_mm), tank.depth_mm - strips.immersed_mm
    drop = drop_per_mm(tank.length_mm, tank.width_mm, tank.depth_mm, max(gap_mm, 0.0), max(below_mm, 0.0))
    return unevenness(made.throw.effective, largest, drop, evening.wagner_length(made.time.density, "in the tank"))
