"""The steps of a run in their order, each with its minutes, the figures of its bath, its source, and what can hurt."""

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.cautions import Caution, Hazard, Work, caution, cautions_at, shock
from areacalc.bath.dye import DYE_C, DYE_G_PER_L, DYE_PH, SHADES, SHOP_DYE_C, dye_time, shades_within
from areacalc.bath.etch import HOT_FROM_C, MATTE_C, MATTE_CAUSTIC, MATTE_MINUTES, MILD_CAUSTIC, lost_in_matte_etch
from areacalc.bath.seal import Seal, seal_time
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, Value, fact, quantity
from areacalc.figure import Figure, given
from areacalc.load.load import Load, SurfaceFinish
from areacalc.logbook.records import Run
from areacalc.plan.film import as_then
from areacalc.plan.stages import Stages
from areacalc.plant.supply import Mode
from areacalc.sources import Constant, Kind, Source
from areacalc.surface.skin import FeatureKind, State

Care = dict[Work, tuple[Caution, ...]]


def care_of(made: Stages) -> Care:
    """The cautions of each piece of work that the load has.

    A power supply puts its highest volts on the bars as soon as a contact is lost, so its limit is what can shock.
    """
    load, strips = made.load, made.load.cathodes
    most = given("volts of the power supply", load.supply.limit_v, "V") if load.supply else made.volts["voltage-supply"]
    care: Care = {
        Work.TANK: cautions_at(Work.TANK),
        Work.ANODISE: (*shock(most), *cautions_at(Work.ANODISE)),
        Work.CATHODES: cautions_at(Work.CATHODES, *((Hazard.LEAD,) if strips and strips.metal == "lead" else ())),
        Work.WASTE: cautions_at(Work.WASTE),
    }
    if load.finish.surface is SurfaceFinish.MATTE:
        care |= {Work.ETCH: _at_the_etch(load), Work.DESMUT: cautions_at(Work.DESMUT)}
    if made.seal is not None:
        care[Work.SEAL] = cautions_at(Work.SEAL, *made.seal.hazards)
    if load.finish.is_dyed:
        care[Work.DYE] = cautions_at(Work.DYE)
    if load.rack is None or load.rack.wire_metal.stripped:
        care[Work.STRIP] = cautions_at(Work.STRIP)
    return care


def _at_the_etch(load: Load) -> tuple[Caution, ...]:
    etch_c = load.finish.etching.temperature_c
    if etch_c < HOT_FROM_C.value:
        return cautions_at(Work.ETCH)
    return (caution(Hazard.HOT_CAUSTIC, Work.ETCH, etch=quantity(etch_c, "C")), *cautions_at(Work.ETCH))


_PRACTICE = Source(Kind.COMMON_PRACTICE, "small shops")
_CLEAN = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 407: clean when water runs off unbroken")
_DESMUT = Source(Kind.REPORTED, "a blog on anodising, 2008: nitric acid 30 to 55 %, or a deoxidiser, 2 to 5 min")
_NITRIC = Estimate(42.5, 30.0, 55.0)
_PLUGS_OUT_C = 50.0  # chosen: a warmer seal bath swells the air behind a plug
_BORES = (FeatureKind.THROUGH_BORE, FeatureKind.BLIND_BORE, FeatureKind.PASSAGE)


class RunStepKind(Enum):
    """What is done; the rinses by what they take off."""

    RACK = "rack"
    CLEAN = "clean"
    RINSE_CLEANER = "rinse cleaner off"
    ETCH = "etch"
    RINSE_CAUSTIC = "rinse caustic off"
    DESMUT = "desmut"
    RINSE_DESMUT = "rinse desmut off"
    ANODISE = "anodise"
    ANODISE_AT_VOLTS = "anodise at constant voltage"
    RINSE_ACID = "rinse acid off"
    DYE = "dye"
    RINSE_DYE = "rinse dye off"
    SEAL = "seal"
    INSPECT = "inspect"


@dataclass(frozen=True, slots=True)
class RunStep:
    """One step: what is done, with its figures, the minutes to allow (None: as long as it takes), and its source.

    cautions are what can hurt.
    """

    fact: Fact
    minutes: Estimate | None
    source: Source
    cautions: tuple[Caution, ...] = ()

    @property
    def kind(self) -> Enum:
        return self.fact.kind


def steps_of(made: Stages, care: Care) -> tuple[RunStep, ...]:
    """All steps of the load, from the bench to the logbook; `care` holds what can hurt at each."""
    finish, repeat = made.load.finish, made.repeat
    states = {row.state for part in made.parts for row in part.rows if row.area_mm2.value > 0.0}
    bores, shut = _bores_open(made), True if states & {State.PLUGGED, State.MASKED} else None
    out_at_seal = shut if made.seal and made.seal.temperature_c.value > _PLUGS_OUT_C else None
    gloss = made.etch is None or None
    steps = [
        _step(RunStepKind.RACK, None, _PRACTICE, shut=shut),
        _step(RunStepKind.CLEAN, (5.0, 3.0, 10.0), _CLEAN, gloss=gloss,
              assumed=gloss and "surface" not in finish.told, open=bores, shut=shut),
        _step(RunStepKind.RINSE_CLEANER, (1.0, 0.5, 2.0), _PRACTICE),
    ]  # fmt: skip
    if made.etch is not None:
        etching = finish.etching
        steps += [
            _step(
                RunStepKind.ETCH, (etching.minutes,) * 3, MILD_CAUSTIC.source, care[Work.ETCH],
                caustic=quantity(etching.caustic_g_per_l, "g/L"), temperature=quantity(etching.temperature_c, "C"),
                lost=made.etch.lost, guide_lost=lost_in_matte_etch(),
                guide_caustic=_of(MATTE_CAUSTIC), guide_temperature=_of(MATTE_C),
                guide_time=quantity(MATTE_MINUTES.value, "min"), guide=MATTE_CAUSTIC.source,
            ),
            _step(RunStepKind.RINSE_CAUSTIC, (1.0, 0.5, 2.0), _PRACTICE),
            _step(RunStepKind.DESMUT, (3.0, 2.0, 5.0), _DESMUT, care[Work.DESMUT], nitric=quantity(_NITRIC, "%")),
            _step(RunStepKind.RINSE_DESMUT, (2.0, 1.0, 3.0), _PRACTICE),
        ]  # fmt: skip
    steps += [
        _anodise(made, care[Work.ANODISE]),
        _step(RunStepKind.RINSE_ACID, (2.0, 1.0, 3.0), _PRACTICE, water=made.bath["rinse"], open=bores, shut=shut),
    ]
    if finish.is_dyed:
        steps += _dye(made.load, made.film.film, repeat, care[Work.DYE], shut)
    if made.seal is not None:
        steps.append(_seal(made.seal, made.film.film, repeat, care[Work.SEAL], out_at_seal))
    out_last = None if out_at_seal else shut
    steps.append(_step(RunStepKind.INSPECT, None, _PRACTICE, care.get(Work.STRIP, ()), shut=out_last))
    return tuple(steps)


def _bores_open(made: Stages) -> bool | None:
    """Whether a bore lets cleaner and rinse in; taken so of parts given as an area. None: none does."""
    shut = (State.PLUGGED, State.MASKED, State.SEALED)
    rows = [row for part in made.parts for row in part.rows if row.feature.kind in _BORES and row.state not in shut]
    return True if rows or any(part.part is None for part in made.parts) else None


def _step(
    kind: RunStepKind, minutes: tuple[float, float, float] | None, source: Source, care: tuple[Caution, ...] = (),
    **values: Value | Figure | None,
) -> RunStep:  # fmt: skip
    return RunStep(fact(kind, **values), Estimate(*minutes) if minutes else None, source, care)


def _timed(kind: RunStepKind, time: Figure, care: tuple[Caution, ...], **values: Value | Figure | None) -> RunStep:
    return RunStep(fact(kind, **values), time.estimate, time.source, care)


def _of(constant: Constant) -> Quantity:
    return quantity(Estimate(constant.value, constant.low, constant.high), constant.unit)


def _anodise(made: Stages, care: tuple[Caution, ...]) -> RunStep:
    time, supply = made.time, made.load.supply
    minutes = time.time.estimate.scaled(1.0 / 60.0)
    values: dict[str, Value | Figure | None] = {
        "current": made.currents.set, "time": quantity(minutes.value, "min"),
        "ramp": quantity(supply.ramp_s, "s") if supply and supply.ramp_s else None,
        "reached": quantity(made.run.most_a, "A") if supply and made.run.ends_in_ramp else None,
        "fill": tuple(f"{' and '.join(p.line.choices.fill)} of {p.line.name}" for p in made.parts
                      if p.line.choices.fill) or None,
    }  # fmt: skip
    kind = RunStepKind.ANODISE
    values |= {"start": made.volts["voltage-supply-start"], "end": made.volts["voltage-supply"]}
    if supply is not None and supply.mode is Mode.VOLTAGE:
        kind = RunStepKind.ANODISE_AT_VOLTS
        values |= {"voltage": quantity(made.run.most_v, "V"), "most": quantity(made.run.most_a, "A")}
    return RunStep(fact(kind, **values), minutes, time.time.source, care)


def _dye(load: Load, film: Figure, repeat: Run | None, care: tuple[Caution, ...], shut: bool | None) -> list[RunStep]:
    time = as_then(dye_time(film), repeat.dye_s if repeat else None)
    shades = shades_within(round(film.estimate.value, 6))
    deeper = next((name for name in SHADES if name not in shades), None)
    return [
        _timed(
            RunStepKind.DYE, time, care, dye=load.finish.dye, shut=shut,
            temperature=quantity(DYE_C.value, "C"), shops=_of(SHOP_DYE_C), ph=_of(DYE_PH), strength=_of(DYE_G_PER_L),
            shade=shades[-1] if shades else None, deeper=deeper,
            wants=quantity(SHADES[deeper].value, "um") if deeper else None,
        ),
        _step(RunStepKind.RINSE_DYE, (1.0, 0.5, 2.0), _PRACTICE),
    ]  # fmt: skip


def _seal(how: Seal, film: Figure, repeat: Run | None, care: tuple[Caution, ...], shut: bool | None) -> RunStep:
    time = as_then(seal_time(film, how), repeat.seal_s if repeat else None)
    return _timed(
        RunStepKind.SEAL, time, care, seal=how.name, note=how.note, shut=shut,
        temperature=quantity(how.temperature_c.value, "C"), ph=quantity(how.ph.value, "") if how.ph else None,
    )  # fmt: skip
