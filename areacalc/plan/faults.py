"""What is wrong with a run or puts it at risk, worst first: facts, each with its weight."""

from collections.abc import Callable, Iterable
from dataclasses import asdict
from enum import Enum
from functools import partial
from typing import cast

from areacalc.bath.burn import Burning
from areacalc.bath.ceiling import Ceiling, ceiling_fact
from areacalc.bath.course import LimitedBy
from areacalc.bath.dissolved import Aluminium, aluminium_fact
from areacalc.bath.dye import DYED_BATH_C, SHADES, shade_in, shades_within
from areacalc.bath.electrolyte import BATH_TEMPERATURE
from areacalc.bath.film import Stated
from areacalc.bath.fits import Verdict
from areacalc.bath.seal import SOFTENS, seal_bath_faults, seal_time
from areacalc.bath.window import LEAST_PUBLISHED, WINDOWS, odd, published_at
from areacalc.estimate import total
from areacalc.fact import Value, fact, quantity
from areacalc.figure import Figure
from areacalc.load.load import SurfaceFinish
from areacalc.part.part import Part
from areacalc.plan.equipment import short_of_volts
from areacalc.plan.fault import Fault, FaultKind, Weight, idle_keys
from areacalc.plan.named_figures import evenness
from areacalc.plan.room import askew
from areacalc.plan.stages import COLD_C, Stages
from areacalc.plant.cathode import DISTANCE
from areacalc.plant.rule import Judgement, judged_fact
from areacalc.plant.supply import Mode
from areacalc.shape.file_unit import makes_too_large
from areacalc.shape.kinds import FileNote, Note
from areacalc.sources import Constant, Kind, Source
from areacalc.surface.air.narrow_mouths import Help
from areacalc.surface.notes import SurfaceNote, advised_once
from areacalc.throw.outside import MATTERS

_NO_LESS = 0.01  # chosen: of the middle setting; a supply that gives so little less is told as giving it


SPOT = Constant(1.0, "mm2", Source(Kind.COMMON_PRACTICE, "a smaller bare spot is not seen at arm's length"))
_BARE_SHARE = 0.03  # chosen: of the area; bare metal past it makes the coating thinner by as much


def _fault(weight: Weight, kind: Enum, **values: Value | Figure | None) -> Fault:
    return Fault(weight, fact(kind, **values))


_stops, _spoils, _watch = (partial(_fault, weight) for weight in (Weight.STOPS, Weight.SPOILS, Weight.WATCH))


_MISSING = frozenset({
    FaultKind.NO_SUPPLY, FaultKind.AGITATION_NOT_GIVEN, FaultKind.DISTANCE_NOT_KNOWN, FaultKind.NO_TRIAL_ETCH,
    FaultKind.NOT_ON_RACK, FaultKind.MOVED_NOTHING, FaultKind.DYE_NOT_KNOWN, Aluminium.NOT_GIVEN,
})  # fmt: skip
"""What is not known, or does no harm to the part: told after what harms it."""


def faults_of(made: Stages) -> tuple[Fault, ...]:
    """All that is wrong with a run, each once: by weight, then the gravest for the part first."""
    found = [
        *_of_wires(made), *_of_current(made), *_of_parts(made), *_of_bores(made), *_of_burning(made),
        *_of_fits(made), *_of_film(made),
        *_of_supply(made), *_of_heat(made), *(Fault(Weight.STOPS, each) for each in made.plant.room.no_place),
        *(Fault(Weight.SPOILS, each) for each in made.alloys.mixed), *_of_seal(made), *_of_rules(made),
        *(Fault(Weight.WATCH, each) for each in idle_keys(made.load, made.seal is not None)),
        *_of_cathodes(made), *_of_aluminium(made), *(Fault(Weight.WATCH, each) for each in made.alloys.over_limits),
    ]  # fmt: skip
    first = FaultKind.UNIT_DOUBTED  # else nothing that is told of the part is true
    return tuple(sorted(dict.fromkeys(found), key=lambda f: (-f.weight, f.kind is not first, f.kind in _MISSING)))


def _of_current(made: Stages) -> Iterable[Fault]:
    currents, window = made.currents, made.currents.window
    if (far := odd(window)) is not None:
        yield Fault(Weight.WATCH, far)
    least, most = quantity(window.least_a_per_dm2, "A/dm2"), quantity(window.most_a_per_dm2, "A/dm2")
    held: dict[str, Value | Figure | None] = {
        "current": currents.set, "density": currents.density, "least": least, "most": most,
    }  # fmt: skip
    if not currents.in_window and not made.is_hard and (sound := published_at(currents.density.estimate.value)):
        yield _watch(FaultKind.SUPPLY_IN_OTHER_WINDOW, **held, other=sound.name, range=sound.density,
                     time=made.time.time, source=sound.source)  # fmt: skip
    elif not currents.in_window:
        yield _weigh_low(currents.density)(FaultKind.SUPPLY_BELOW_WINDOW, **held, source=window.source)
    elif currents.held_down and currents.set.estimate.value < (1.0 - _NO_LESS) * currents.wanted_a:
        yield _watch(FaultKind.SUPPLY_SETS_CURRENT, current=currents.set, wanted=quantity(currents.wanted_a, "A"))
    if _air_decides(made):
        yield from _narrow_bores(made)
    elif not currents.is_sure:
        yield _watch(FaultKind.BORES_NOT_KNOWN) if made.area_is_sure else _spoils(FaultKind.AREA_NOT_KNOWN)
    thin, under = made.time.density.estimate, window.least_a_per_dm2 * (1 - 1e-9)
    if currents.in_window and not _air_decides(made) and thin.low < under <= thin.value and not window.is_one:
        yield _watch(FaultKind.DENSITY_MAY_BE_LOW, density=made.time.density, least=least)


def _weigh_low(density: Figure) -> Callable[..., Fault]:
    """A density too low stops the run where it is below every published window even at the most it may be."""
    return _stops if density.estimate.high < LEAST_PUBLISHED else _spoils


def _narrow_bores(made: Stages) -> Iterable[Fault]:
    window, thrown = made.currents.window, made.time.density.estimate
    most, least = (quantity(each, "A/dm2") for each in (window.most_a_per_dm2, window.least_a_per_dm2))
    for part in made.parts:
        if part.narrow:
            yield _spoils(FaultKind.AREA_IN_NARROW_BORES, part=part.line.name, bores=part.narrow, fill=part.narrow,
                          current=made.currents.set, density=made.time.density,
                          most=most if thrown.high > window.most_a_per_dm2 else None,
                          least=least if thrown.low < window.least_a_per_dm2 else None)  # fmt: skip


def _air_decides(made: Stages) -> bool:
    """Whether the current may be too high, or none is sure, and narrow bores that may keep air or fill are most of the
    doubt: told once, with its density."""
    may_burn = any(cause.kind is Burning.MAY_BE_ABOVE_WINDOW for cause in made.burn.causes)
    unsure = not made.currents.is_sure and not made.area_is_sure
    area, held_mm2 = made.area.estimate, 0.0
    for part in made.parts:
        bare = [each for bore, each in part.bare_mm2.items() if bore in part.narrow]
        held_mm2 += part.line.count * sum(each.high - each.low for each in bare)
    return (may_burn or unsure) and held_mm2 > 0.5 * (area.high - area.low)


def _of_supply(made: Stages) -> Iterable[Fault]:
    supply, run, buy = made.load.supply, made.run, made.plant.buy
    if buy is not None:
        yield _watch(FaultKind.NO_SUPPLY, current=quantity(buy.rating_a, "A"), voltage=quantity(buy.rating_v, "V"))
    if supply is None:
        return
    for by, start_s, stop_s in run.spans():
        span = {"start": quantity(start_s, "s"), "stop": quantity(stop_s, "s")}
        if by is LimitedBy.VOLTAGE:
            least_a, most_a = run.driven_a(start_s, stop_s)
            yield _spoils(
                FaultKind.VOLTS_HOLD_DOWN, **span, limit=quantity(supply.limit_v, "V"), set=made.currents.set,
                least=quantity(least_a, "A"), most=quantity(most_a, "A"),
            )  # fmt: skip
        elif by is LimitedBy.CURRENT and not made.currents.held_down:
            yield _watch(FaultKind.CURRENT_LIMIT, **span, limit=quantity(supply.limit_a, "A"))
    window = made.currents.window
    low = made.time.density.estimate.value < window.least_a_per_dm2 * (1 - 1e-9)
    if made.currents.in_window and low and short_of_volts(supply, run, made.currents):
        yield _weigh_low(made.time.density)(
            FaultKind.VOLTS_TOO_LOW, voltage=quantity(supply.limit_v, "V"), current=quantity(run.most_a, "A"),
            density=made.time.density, least=quantity(window.least_a_per_dm2, "A/dm2"),
            most=quantity(window.most_a_per_dm2, "A/dm2"),
        )  # fmt: skip
    if supply.mode is Mode.CURRENT and supply.ramp_s == 0.0:
        yield Fault(Weight.SPOILS if made.burn.causes else Weight.WATCH, fact(FaultKind.NO_RAMP))
    if made.run.ends_in_ramp:
        yield _spoils(
            FaultKind.RAMP_TOO_LONG, ramp=quantity(supply.ramp_s, "s"), time=made.time.time,
            reached=quantity(made.run.most_a, "A"), set=made.currents.set,
        )  # fmt: skip


def _of_film(made: Stages) -> Iterable[Fault]:
    if (near := ceiling_fact(made.film.film, made.film.ceiling)) is not None:
        yield Fault(Weight.SPOILS if near.kind is Ceiling.PAST else Weight.WATCH, near)
    bath, alloy = made.load.bath, made.alloys.slowest.name
    if bath.rule is not None and bath.rule_for(alloy) is None:
        yield _watch(FaultKind.FILM_OF_OTHER_ALLOY, measured=bath.measured_alloy, alloy=alloy, rule=made.rule.name)
    for outside in made.rule.outside(made.electrolyte):
        if made.electrolyte.aluminium_g_per_l or outside.kind is not Stated.ALUMINIUM:  # not given is told once
            yield Fault(Weight.WATCH, outside)
    dye, film = made.load.finish.dye, made.film.film.estimate
    if dye is None or (made.repeat and made.repeat.dye == dye):
        return
    if (shade := shade_in(dye)) and round(film.value, 6) < (wants := SHADES[shade]).value:
        weigh = _spoils if film.high < wants.value else _watch
        yield weigh(FaultKind.THIN_FOR_DYE, dye=dye, shade=shade, film=made.film.film,
                    wants=quantity(wants.value, "um"), source=wants.source)  # fmt: skip
    elif not (shade or made.load.finish.shade) and len(holds := shades_within(film.value)) < len(SHADES):
        yield _watch(FaultKind.DYE_NOT_KNOWN, dye=dye, shade=holds[-1] if holds else None)


def _of_heat(made: Stages) -> Iterable[Fault]:
    heat, rise, band_k = made.heat, made.heat.warming.estimate, made.load.bath.band_k
    now_c, dye_limit = made.load.bath.temperature_c, quantity(DYED_BATH_C.high, "C")
    now, too_warm = quantity(now_c, "C"), made.load.finish.is_dyed and now_c > DYED_BATH_C.high
    if too_warm:
        yield _spoils(FaultKind.TOO_WARM_FOR_DYE, now=now, most=dye_limit, source=DYED_BATH_C.source)
    if made.is_hard and now_c > COLD_C:
        yield _watch(FaultKind.TOO_WARM_FOR_HARD, now=now, source=WINDOWS["hard"].source)
    dyed = made.load.finish.is_dyed and not too_warm and heat.end.estimate.high > DYED_BATH_C.high
    cure = {"cooling": heat.cooling, "ice": heat.ice, "dyed": dye_limit if dyed else None}
    band = quantity(band_k, "K")
    if heat.end.estimate.low > BATH_TEMPERATURE.high:
        if heat.boils is not None:
            yield _stops(FaultKind.BATH_BOILS, after=heat.boils, **cure)
        else:
            known = quantity(BATH_TEMPERATURE.high, "C")
            yield _stops(FaultKind.BATH_TOO_HOT, end=heat.end, known=known, source=BATH_TEMPERATURE.source, **cure)
    elif rise.low > band_k:
        weigh, kind = (_stops, FaultKind.HARD_BATH_WARMS) if made.is_hard else (_spoils, FaultKind.BATH_WARMS)
        yield weigh(kind, rise=heat.warming, band=band, **cure)
    elif rise.high > band_k:
        yield _watch(FaultKind.BATH_MAY_WARM, rise=heat.warming, band=band, dyed=cure["dyed"])
    elif dyed:
        yield _watch(FaultKind.MAY_BE_TOO_WARM_FOR_DYE, most=dye_limit, end=heat.end, source=DYED_BATH_C.source)


def _of_burning(made: Stages) -> Iterable[Fault]:
    for cause in made.burn.causes:
        if cause.kind is Burning.MAY_BE_ABOVE_WINDOW and _air_decides(made):
            continue
        yield Fault(Weight.WATCH if cause.kind is Burning.MAY_BE_UNSTABLE else Weight.SPOILS, cause)
    if not made.load.bath.agitation_told:
        yield _watch(FaultKind.AGITATION_NOT_GIVEN, counted=made.load.bath.agitation)


def _of_seal(made: Stages) -> Iterable[Fault]:
    seal, finish = made.seal, made.load.finish
    if seal is None:
        return
    if made.is_hard:
        time, softer = seal_time(made.film.film, seal), quantity(SOFTENS.value, "")
        yield _watch(FaultKind.SEALED_HARD_COAT, seal=seal.name, time=time, softer=softer, source=SOFTENS.source)
    for each in seal_bath_faults(seal, finish.seal_bath_c, finish.seal_bath_ph):
        yield Fault(Weight.SPOILS, each)


def _of_rules(made: Stages) -> Iterable[Fault]:
    for each in made.plant.judged:
        told = made.load.cathodes is not None and made.load.cathodes.distance_mm is not None
        if each.rule.name == DISTANCE.name and not each.kept and not told:
            limit = each.rule.limit
            wide_mm = made.plant.room.room.width_mm + 2.0 * (limit.value - each.value)
            yield _watch(FaultKind.TANK_NARROW, distance=quantity(each.value, "mm"), usual=quantity(limit.value, "mm"),
                         wide=quantity(wide_mm, "mm"), source=limit.source)  # fmt: skip
        elif not each.kept:
            broken = each.judgement is Judgement.BROKEN
            yield Fault(Weight.SPOILS if broken else Weight.WATCH, judged_fact(each))


def _of_cathodes(made: Stages) -> Iterable[Fault]:
    cathodes = made.load.cathodes
    if cathodes is None:
        return
    if cathodes.count % 2:
        yield _spoils(FaultKind.ODD_STRIPS, count=cathodes.count)
    strays = evenness(made)
    if strays is not None and strays.estimate.value > MATTERS.value:
        yield _watch(FaultKind.UNEVEN, strays=strays)
    a_side_mm = made.plant.room.a_side_mm
    if a_side_mm is not None and cathodes.distance_mm is not None:
        told, room = quantity(cathodes.distance_mm, "mm"), quantity(max(0.0, a_side_mm), "mm")
        width = quantity(made.plant.room.room.width_mm, "mm")
        yield _spoils(FaultKind.DISTANCE_DOES_NOT_FIT, told=told, room=room, width=width)
    elif not made.plant.room.no_place and all(each.rule.name != DISTANCE.name for each in made.plant.judged):
        usual = quantity(DISTANCE.limit.value, "mm")
        yield _watch(FaultKind.DISTANCE_NOT_KNOWN, usual=usual, source=DISTANCE.limit.source)


def _of_aluminium(made: Stages) -> Iterable[Fault]:
    found = aluminium_fact(made.electrolyte.aluminium_g_per_l, made.is_hard)
    if found is not None:
        yield Fault(Weight.SPOILS if found.kind is Aluminium.TOO_MUCH else Weight.WATCH, found)


_FITS = {
    Verdict.LOST: Weight.SPOILS, Verdict.LIKELY_LOST: Weight.SPOILS, Verdict.MAY_BE_LOST: Weight.WATCH,
    Verdict.NO_ROOM: Weight.WATCH,
}  # fmt: skip


def _of_fits(made: Stages) -> Iterable[Fault]:
    for each in made.fits:
        if (weight := _FITS.get(each.fit.verdict)) is not None:
            yield Fault(weight, each.fact())
    if made.fits and made.load.finish.surface is SurfaceFinish.MATTE and made.load.finish.etching.trial_loss_g is None:
        yield _watch(FaultKind.NO_TRIAL_ETCH)


def _of_wires(made: Stages) -> Iterable[Fault]:
    """Bare wires that the plan offers and does not count, as no rack is told; those it counts by what it assumes."""
    for wires in made.plant.wires:
        share = wires.rack.bare_mm2.value / made.area.estimate.value
        if share > _BARE_SHARE:
            bare = quantity(wires.rack.bare_mm2.value, "mm2")
            yield _watch(FaultKind.BARE_WIRES, bare=bare, share=quantity(share, ""))
    rack, bare_rack = made.load.rack, made.bare_rack
    if rack is None or bare_rack is None or not rack.unsaid:
        return
    share = bare_rack.estimate.value / made.area.estimate.value
    if share > _BARE_SHARE:
        thick, current = max(rod.diameter_mm for rod in rack.members), share * made.currents.set.estimate.value
        yield _watch(
            FaultKind.WIRES_ASSUMED, metal=rack.metal, thick=quantity(thick, "mm"), bare=bare_rack, unsaid=rack.unsaid,
            share=quantity(share, ""), current=quantity(current, "A"), of=made.currents.set,
        )  # fmt: skip


def _of_parts(made: Stages) -> Iterable[Fault]:
    advised: set[Value] = set()
    for part in made.parts:
        name = part.line.name
        told = {**asdict(part.line.choices), "up": part.line.up}  # what says nothing of a bare area
        if part.line.file is None and (idle := tuple(key for key, said in told.items() if said)):
            yield _spoils(FaultKind.KEYS_WITHOUT_FILE, part=name, keys=idle)
        shut = {bore: bare for bore, bare in part.bare_mm2.items() if bore not in part.narrow and bare.high > 0.0}
        if (dry := total(shut.values())).high > SPOT.value:
            weigh, kind = (_spoils, FaultKind.AIR_TRAPPED) if dry.value > SPOT.value else (
                _watch, FaultKind.AIR_IF_TILTED)  # fmt: skip
            yield weigh(kind, part=name, bores=tuple(shut), bare=quantity(dry.value, "mm2"),
                        most=quantity(dry.high, "mm2"), up=_airless(part.part))  # fmt: skip
        too_large = makes_too_large(part.notes)
        if too_large is not None and part.part is not None:
            yield _stops(FaultKind.UNIT_DOUBTED, part=name, note=too_large, unit=part.part.body.unit.name)
        for note in part.notes:
            if note.warns and note.fact != too_large:
                yield _spoils(FaultKind.PART_NOTE, part=name, note=note.fact)
            elif note.fact.kind is SurfaceNote.AIR_HELD:
                yield _spoils(FaultKind.AIR_HELD, part=name, note=advised_once(note.fact, advised), fill=_fill(note))
            elif note.fact.kind is SurfaceNote.AIR_MAY_BE_HELD and not _air_decides(made):
                yield _watch(FaultKind.AIR_HELD, part=name, note=advised_once(note.fact, advised), fill=_fill(note))
    if of := [p.line.name for p in made.parts if any(n.fact.kind is FileNote.UNIT_ASSUMED for n in p.notes)]:
        yield _watch(FaultKind.UNIT_ASSUMED, parts=tuple(of))
    room = made.plant.room
    if room.layout is not None and (apart := tuple(part.line.name for part in made.parts if part.part is None)):
        yield _watch(FaultKind.NOT_ON_RACK, parts=apart)
    if made.load.rack is not None and made.plant.rack is None and not room.no_place:
        yield _watch(FaultKind.RACK_NOT_MADE)
    if turning := tuple(askew(made.parts, room.layout, made.load.rack)):
        yield _watch(FaultKind.TURNS, parts=turning)
    yield from (_watch(FaultKind.MOVED_NOTHING, part=name) for name in room.not_there)
    open_ones = (p for p in made.parts if p.part is not None and p.part.up is None and not p.part.ranked)
    if unsaid := [p.line.name for p in open_ones]:  # their meshes are open, so that no way up can be chosen
        of_some = tuple(unsaid) if len(unsaid) < len(made.parts) else None
        yield _watch(FaultKind.HANGING_NOT_GIVEN, parts=of_some)


def _airless(part: Part | None) -> str | None:
    """The way up that `hang` ranks first, as the key `up` takes it, where it traps no air however the part leans."""
    best = part.ranked[0] if part is not None and part.ranked else None
    if best is None or (best.most or best.outcome).dry_mm2 > SPOT.value:
        return None
    axis = max(range(3), key=lambda k: abs(best.up[k]))
    if abs(best.up[axis]) > 1.0 - 1e-9:
        return "xyz"[axis] + ("+" if best.up[axis] > 0.0 else "-")
    return ",".join(f"{x:.3g}" for x in best.up)


def _fill(note: Note) -> Value | None:
    """The bores of a note that a syringe fills."""
    helps = cast("tuple[Help, ...]", note.fact["helps"])
    return note.fact["features"] if Help.SYRINGE in helps else None


def _of_bores(made: Stages) -> Iterable[Fault]:
    """Bores whose film is for certain thinner than the outside's, and what that does to the colour."""
    dyed, outside = made.load.finish.is_dyed, made.film.film
    for bore in made.bores:
        thin = bore.film.estimate
        if not dyed and thin.high >= outside.estimate.low:
            continue
        shades = shades_within(thin.value)
        if dyed and shades == shades_within(outside.estimate.value):
            continue
        told: dict[str, Value | Figure | None] = {
            "part": bore.part, "bore": bore.names[0], "alike": len(bore.names), "film": bore.film,
            "at": quantity(bore.least_at_mm, "mm"), "mouth": bore.mouth, "outside": outside,
            "catches_up": int(bore.thrown.catches_up),
        }  # fmt: skip
        if not dyed:
            yield _watch(FaultKind.BORE_THIN, **told)
        elif shades:
            yield _watch(FaultKind.BORE_THIN_DYED, **told, shade=shades[-1])
        else:
            weigh = _watch if shades_within(thin.high) else _spoils
            yield weigh(FaultKind.BORE_TAKES_NO_DYE, **told)
