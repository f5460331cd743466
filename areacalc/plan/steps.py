"""The steps of a run in their order, each with its minutes, the figures of its bath and its source."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.cautions import cautions_at, cautions_of
from areacalc.bath.dye import DYE_C, DYE_G_PER_L, DYE_PH, SHOP_DYE_C, dye_time, shades_within
from areacalc.bath.etch import MATTE_C, MATTE_CAUSTIC, MATTE_MINUTES, SHOP_CAUSTIC
from areacalc.bath.seal import DEFAULT_SEAL, Seal, seal_named, seal_time
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, Value, fact, quantity
from areacalc.figure import Figure
from areacalc.load.load import Load, Look
from areacalc.logbook.logbook import Entry
from areacalc.plan.stages import Stages
from areacalc.plant.supply import Mode
from areacalc.sources import Constant, Kind, Source

_PRACTICE = Source(Kind.COMMON_PRACTICE, "small shops")
_CLEAN = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 407: clean when water runs off unbroken")
_DESMUT = Source(Kind.PUBLISHED, "handbooks of pre-treatment: nitric acid 30 to 55 %, or a deoxidiser, 2 to 5 min")


class StepKind(Enum):
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
class Step:
    """One step: what is done, with its figures, the minutes to allow (None: as long as it takes), and its source.

    cautions are what can hurt.
    """

    fact: Fact
    minutes: Estimate | None
    source: Source
    cautions: tuple[str, ...] = ()

    @property
    def kind(self) -> Enum:
        """What is done."""
        return self.fact.kind


def steps_of(made: Stages) -> tuple[Step, ...]:
    """All steps of the load, from the bench to the logbook."""
    finish, repeat = made.load.finish, made.repeat
    steps = [
        _step(StepKind.RACK, None, _PRACTICE),
        _step(StepKind.CLEAN, (5.0, 3.0, 10.0), _CLEAN),
        _step(StepKind.RINSE_CLEANER, (1.0, 0.5, 2.0), _PRACTICE),
    ]
    if finish.look is Look.MATTE:
        etching = finish.etching
        steps += [
            _step(
                StepKind.ETCH, (etching.minutes,) * 3, SHOP_CAUSTIC.source, "etch",
                caustic=quantity(etching.caustic_g_per_l, "g/L"), temperature=quantity(etching.temperature_c, "C"),
                guide_caustic=_of(MATTE_CAUSTIC), guide_temperature=_of(MATTE_C),
                guide_time=quantity(MATTE_MINUTES.value, "min"), guide=MATTE_CAUSTIC.source,
            ),
            _step(StepKind.RINSE_CAUSTIC, (1.0, 0.5, 2.0), _PRACTICE),
            _step(StepKind.DESMUT, (3.0, 2.0, 5.0), _DESMUT, "desmut"),
            _step(StepKind.RINSE_DESMUT, (2.0, 1.0, 3.0), _PRACTICE),
        ]  # fmt: skip
    steps.append(_anodise(made))
    steps.append(_step(StepKind.RINSE_ACID, (2.0, 1.0, 3.0), _PRACTICE, water=made.bath.rinse))
    if finish.is_dyed or (repeat and repeat.dye):
        steps += _dye(made.load, made.film.film, repeat)
    steps.append(_seal(made.load, made.film.film, repeat))
    steps.append(_step(StepKind.INSPECT, None, _PRACTICE))
    return tuple(steps)


def _step(
    kind: StepKind, minutes: tuple[float, float, float] | None, source: Source, cautioned: str = "",
    **values: Value | Figure | None,
) -> Step:  # fmt: skip
    return Step(fact(kind, **values), Estimate(*minutes) if minutes else None, source, _cautions(cautioned))


def _of(constant: Constant) -> Quantity:
    """A constant with the ends it is published between."""
    low, high = (constant.value if end is None else end for end in (constant.low, constant.high))
    return quantity(Estimate(constant.value, low, high), constant.unit)


def _anodise(made: Stages) -> Step:
    time, supply, course = made.time, made.load.supply, made.time.course
    minutes = time.time.estimate.scaled(1.0 / 60.0)
    values: dict[str, Value | Figure | None] = {
        "current": made.currents.set, "time": quantity(minutes.value, "min"),
        "ramp": quantity(supply.ramp_s, "s") if supply and supply.ramp_s else None,
    }  # fmt: skip
    kind = StepKind.ANODISE
    if course is None:
        values |= {"start": made.volts.start, "end": made.volts.end}
    else:
        values["end"] = quantity(course.end.voltage_v, "V")
        if supply is not None and supply.mode is Mode.VOLTAGE:
            kind = StepKind.ANODISE_AT_VOLTS
            values |= {"voltage": quantity(course.most_v, "V"), "most": quantity(course.most_a, "A")}
    return Step(fact(kind, **values), minutes, time.time.source, _cautions("anodise"))


def _dye(load: Load, film: Figure, repeat: Entry | None) -> list[Step]:
    minutes, source = _minutes(dye_time(film), repeat.dye_s if repeat else None)
    shades = shades_within(round(film.estimate.value, 6))
    return [
        _step(
            StepKind.DYE, minutes, source, "dye", dye=load.finish.dye or (repeat.dye if repeat else None),
            temperature=quantity(DYE_C.value, "C"), shops=_of(SHOP_DYE_C), ph=_of(DYE_PH), strength=_of(DYE_G_PER_L),
            shade=shades[-1] if shades else None,
        ),
        _step(StepKind.RINSE_DYE, (1.0, 0.5, 2.0), _PRACTICE),
    ]  # fmt: skip


def _seal(load: Load, film: Figure, repeat: Entry | None) -> Step:
    how = seal_of(load)
    minutes, source = _minutes(seal_time(film, how), repeat.seal_s if repeat else None)
    return _step(
        StepKind.SEAL, minutes, source, _seal_steps(load), seal=how.name, note=how.note,
        temperature=quantity(how.temperature_c.value, "C"), ph=quantity(how.ph.value, "") if how.ph else None,
    )  # fmt: skip


def seal_of(load: Load) -> Seal:
    """The seal of a load; hot water where none is named."""
    return seal_named(load.finish.seal) if load.finish.seal else DEFAULT_SEAL


def _minutes(figure: Figure, logged_s: float | None) -> tuple[tuple[float, float, float], Source]:
    """Minutes with bounds and their source: those of the run that is repeated, else the figure's."""
    if logged_s:
        return (logged_s / 60.0,) * 3, Source(Kind.ENTERED, "as in the run that is repeated")
    e = figure.estimate
    return (e.value, e.low, e.high), figure.source


def _cautions(step: str) -> tuple[str, ...]:
    return tuple(said.text for said in cautions_at(step)) if step else ()


def _seal_steps(load: Load) -> str:
    """The step whose cautions the seal takes."""
    return "nickel seal" if seal_of(load).holds_nickel else "seal"


def cautions(load: Load) -> tuple[str, ...]:
    """What can hurt in this load, each once, with its source; the data sheets and local codes first."""
    etched = ("etch", "desmut") if load.finish.look is Look.MATTE else ()
    lead = load.cathodes is not None and load.cathodes.strip_metal.name == "lead"
    dyed = ("dye",) if load.finish.is_dyed else ()
    steps = ("tank", *etched, "anodise", *(("lead cathodes",) if lead else ()), *dyed, _seal_steps(load), "waste")
    return tuple(f"{each.said.text} ({each.said.source})" for each in cautions_of(*steps))
