"""The steps of a run in their order, each with its minutes, its bath and what to look for."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.cautions import cautions_at, cautions_of
from areacalc.bath.dye import DYE_C, DYE_G_PER_L, DYE_PH, SHOP_DYE_C, dye_time, shades_within
from areacalc.bath.etch import MATTE_C, MATTE_CAUSTIC, MATTE_MINUTES, SHOP_CAUSTIC
from areacalc.bath.seal import DEFAULT_SEAL, Seal, seal_named, seal_time
from areacalc.digits import three
from areacalc.figure import Figure
from areacalc.load.load import Load, Look
from areacalc.logbook.logbook import Entry
from areacalc.plan.figure_text import whole_text
from areacalc.plan.time import TimePlan
from areacalc.plan.volts import VoltsPlan
from areacalc.plant.supply import Mode
from areacalc.sources import Constant, Kind, Source

_PRACTICE = Source(Kind.COMMON_PRACTICE, "small shops")
_CLEAN = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 407: clean when water runs off unbroken")
_DESMUT = Source(Kind.SECOND_HAND, "a blog on anodising, 2008: nitric acid 30 to 55 %, or a deoxidiser, 2 to 5 min")

_RACKING = (
    "Brass and steel inserts out or plugged; wire and rack of aluminium or grade 2 titanium alone, since steel, brass "
    "and copper are eaten. Hang the parts tight on clean contacts; plugs and masks on; gloves from here on."
)


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what is done, the minutes to allow (None: as long as it takes) with bounds, and its source.

    look_for says how a person knows that it went well; cautions what can hurt.
    """

    name: str
    does: str
    minutes: float | None
    least_min: float | None
    most_min: float | None
    look_for: str
    source: str
    cautions: tuple[str, ...] = ()

    @property
    def minutes_text(self) -> str:
        """Minutes as they stand in a list."""
        if self.minutes is None:
            return ""
        if self.least_min is not None and self.most_min is not None and self.least_min < self.most_min:
            return f"{three(self.minutes)} ({three(self.least_min)} to {three(self.most_min)})"
        return three(self.minutes)


def plan_steps(
    load: Load, current: Figure, film: Figure, time: TimePlan, volts: VoltsPlan, rinse: Figure,
    repeat: Entry | None = None,
) -> tuple[Step, ...]:  # fmt: skip
    """All steps of the load, from the bench to the logbook."""
    finish = load.finish
    water = f"about {whole_text(rinse)} of clean water over the parts; run it through every bore"
    steps = [
        _open("rack", _RACKING, "every part tight, no finger mark; no scratch, which shows more after than before"),
        _timed("clean", "Mild cleaner, warm, brushed into bores.", (5.0, 3.0, 10.0), "water runs off unbroken", _CLEAN),
        _timed("rinse", "Clean water.", (1.0, 0.5, 2.0), "no foam left", _PRACTICE),
    ]  # fmt: skip
    if finish.look is Look.MATTE:
        etch = (finish.etching.minutes,) * 3
        steps += [
            _timed("etch", _etch_words(load), etch, "an even dull skin", SHOP_CAUSTIC.source, "etch"),
            _timed("rinse", "Clean water.", (1.0, 0.5, 2.0), "no slippery feel", _PRACTICE),
            _timed("desmut", "Until the grey is gone.", (3.0, 2.0, 5.0), "a glove stays clean", _DESMUT, "desmut"),
            _timed("rinse", "Clean water, twice.", (2.0, 1.0, 3.0), "water runs off unbroken", _PRACTICE),
        ]  # fmt: skip
    steps.append(_anodise(load, current, time, volts))
    bleeds = "no acid left in bores: it bleeds out later"
    steps.append(_timed("rinse", f"At once: {water}.", (2.0, 1.0, 3.0), bleeds, _PRACTICE))
    if finish.dye or finish.shade or (repeat and repeat.dye):
        steps += _dye(load, film, repeat)
    steps.append(_seal(load, film, repeat))
    steps.append(_open("look", "Unrack, dry, look in good light; strip aluminium contacts; write the logbook.",
                       "even colour, no powder that wipes off"))  # fmt: skip
    return tuple(steps)


def _etch_words(load: Load) -> str:
    etching = load.finish.etching
    guide = f"{_range(MATTE_CAUSTIC)} g/L at {_range(MATTE_C)} C for {three(MATTE_MINUTES.value)} min"
    return (
        f"Caustic soda, {three(etching.caustic_g_per_l)} g/L, {three(etching.temperature_c)} C; it takes metal off "
        f"every wet face. Stronger and hotter: {guide} ({MATTE_CAUSTIC.source})."
    )


def _range(held: Constant) -> str:
    """Least to most of a constant."""
    return f"{three(held.low or held.value)} to {three(held.high or held.value)}"


def _open(name: str, does: str, look_for: str) -> Step:
    """A step that takes as long as it takes."""
    return Step(name, does, None, None, None, look_for, str(_PRACTICE))


def _timed(
    name: str, does: str, minutes: tuple[float, float, float], look_for: str, source: Source, cautioned: str = ""
) -> Step:
    return Step(name, does, *minutes, look_for, str(source), _cautions(cautioned))


def _anodise(load: Load, current: Figure, time: TimePlan, volts: VoltsPlan) -> Step:
    estimate = time.time.estimate.scaled(1.0 / 60.0)
    ramp_s = load.supply.ramp_s if load.supply else 0.0
    ramp = f"Up evenly over {three(ramp_s / 60.0)} min to " if ramp_s else "At "
    course = time.course
    setting = f"{whole_text(current)}, then hold"
    if course is not None and load.supply is not None and load.supply.mode is Mode.VOLTAGE:
        setting = f"{three(course.most_v)} V and hold; {three(course.most_a)} A flow at most"
    meters = (f"volts from about {three(volts.start.estimate.value)} to {three(volts.end.estimate.value)}"
              if course is None else f"at the end about {three(course.end.voltage_v)} V")  # fmt: skip
    return Step(
        "anodise", f"{ramp}{setting}; {three(estimate.value)} min in all.", estimate.value,
        estimate.low, estimate.high, f"{meters}; a current that wanders is a loose contact", str(time.time.source),
        _cautions("anodise"),
    )  # fmt: skip


def _dye(load: Load, film: Figure, repeat: Entry | None) -> list[Step]:
    what = load.finish.dye or (repeat.dye if repeat else None) or "Dye"
    figure = dye_time(film)
    minutes, source = _minutes(figure, repeat.dye_s if repeat else None)
    bath = (f"{three(DYE_C.value)} C (small shops {_range(SHOP_DYE_C)} C, pH {_range(DYE_PH)}), "
            f"{_range(DYE_G_PER_L)} g/L")  # fmt: skip
    shades = shades_within(round(film.estimate.value, 6))
    holds = f"this film holds a {shades[-1]} shade at most" if shades else "this film is too thin to dye well"
    return [
        _timed("dye", f"{what}, {bath}; from the rinse, never dried; {holds}.", minutes, "the shade or deeper", source,
               "dye"),
        _timed("rinse", "Cold clean water, until no colour runs.", (1.0, 0.5, 2.0), "clear water", _PRACTICE),
    ]  # fmt: skip


def _seal(load: Load, film: Figure, repeat: Entry | None) -> Step:
    how = seal_of(load)
    minutes, source = _minutes(seal_time(film, how), repeat.seal_s if repeat else None)
    ph = f", pH {three(how.ph.value)}" if how.ph else ""
    return _timed("seal", f"{how.name}, {three(how.temperature_c.value)} C{ph}. {how.note}", minutes,
                  "a drop of dye wipes off without a mark", source, _seal_steps(load))  # fmt: skip


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
    return "nickel seal" if "ickel" in seal_of(load).name + seal_of(load).note else "seal"


def cautions(load: Load) -> tuple[str, ...]:
    """What can hurt in this load, each once, with its source; the data sheets and local codes first."""
    etched = ("etch", "desmut") if load.finish.look is Look.MATTE else ()
    lead = load.cathodes is not None and load.cathodes.strip_metal.name == "lead"
    dyed = ("dye",) if load.finish.dye or load.finish.shade else ()
    steps = ("tank", *etched, "anodise", *(("lead cathodes",) if lead else ()), *dyed, _seal_steps(load), "waste")
    return tuple(f"{each.said.text} ({each.said.source})" for each in cautions_of(*steps))
