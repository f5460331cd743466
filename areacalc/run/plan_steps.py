"""The steps of a run in their order, each with its minutes, its bath and what to look for."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.figure import Figure, constant, worked
from areacalc.run.cautions import ACID, CAUSTIC, CURRENT, DESMUT, HEAT, HYDROGEN
from areacalc.run.load import Load, Look
from areacalc.run.logbook import Entry
from areacalc.run.plan_text import number, whole_text
from areacalc.run.plan_time import TimePlan
from areacalc.run.plan_volts import VoltsPlan
from areacalc.sources import Constant, Kind, Source

_PRACTICE = Source(Kind.COMMON_PRACTICE, "small shops")
_CLEAN = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 407: clean when water runs off unbroken")
_DYE = Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 412: 0.25 to 10 g/L, 60 C, 10 to 30 min")
_DESMUT = Source(Kind.PUBLISHED, "handbooks of pre-treatment: nitric acid 30 to 55 %, or a deoxidiser, 2 to 5 min")
_ETCH = Source(Kind.COMMON_PRACTICE, "about 20 g/L of caustic soda, two to four minutes")
SEAL_PER_UM = Constant(
    2.5, "min/um", Source(Kind.COMMON_PRACTICE, "hot water seal, 2 to 3 min a micrometre, 15 min at least"), 2.0, 3.0
)
_SEAL_LEAST_MIN = 15.0


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
            return f"{number(self.minutes)} ({number(self.least_min)} to {number(self.most_min)})"
        return number(self.minutes)


def plan_steps(
    load: Load, current: Figure, film: Figure, time: TimePlan, volts: VoltsPlan, rinse: Figure,
    repeat: Entry | None = None,
) -> tuple[Step, ...]:  # fmt: skip
    """All steps of the load, from the bench to the logbook."""
    finish = load.finish
    water = f"about {whole_text(rinse)} of clean water over the parts; run it through every bore"
    steps = [
        _open("rack", "Hang the parts tight on clean contacts; plugs and masks on; gloves from here on.",
              "every part tight, no finger mark"),
        _timed("clean", "Mild cleaner, warm, brushed into bores.", (5.0, 3.0, 10.0), "water runs off unbroken", _CLEAN),
        _timed("rinse", "Clean water.", (1.0, 0.5, 2.0), "no foam left", _PRACTICE),
    ]  # fmt: skip
    if finish.look is Look.MATTE:
        etch = (finish.etch_min, finish.etch_min, finish.etch_min)
        steps += [
            _timed("etch", "Caustic soda takes metal off every wet face.", etch, "an even dull skin", _ETCH, CAUSTIC),
            _timed("rinse", "Clean water.", (1.0, 0.5, 2.0), "no slippery feel", _PRACTICE),
            _timed("desmut", "Until the grey is gone.", (3.0, 2.0, 5.0), "a wiped glove stays clean", _DESMUT, DESMUT),
            _timed("rinse", "Clean water, twice.", (2.0, 1.0, 3.0), "water runs off unbroken", _PRACTICE),
        ]  # fmt: skip
    steps.append(_anodise(load, current, time, volts))
    bleeds = "no acid left in bores: it bleeds out later"
    steps.append(_timed("rinse", f"At once: {water}.", (2.0, 1.0, 3.0), bleeds, _PRACTICE))
    if finish.dye or finish.shade or (repeat and repeat.dye):
        steps += _dye(load, repeat)
    steps.append(_seal(film, repeat))
    steps.append(_open("look", "Unrack, dry, look in good light; strip aluminium contacts; write the logbook.",
                       "even colour, no powder that wipes off"))  # fmt: skip
    return tuple(steps)


def seal_time(film: Figure) -> Figure:
    """Minutes in a hot-water seal for a film [um], 15 at least.

    >>> from areacalc.figure import given
    >>> seal_time(given("film", 12.0, "um")).estimate.value
    30.0
    """
    return worked(
        "time to seal", "min", "film x minutes a micrometre, 15 at least", SEAL_PER_UM.source,
        lambda h, k: max(_SEAL_LEAST_MIN, h * k), film, constant("minutes a micrometre", SEAL_PER_UM),
    )  # fmt: skip


def _open(name: str, does: str, look_for: str) -> Step:
    """A step that takes as long as it takes."""
    return Step(name, does, None, None, None, look_for, str(_PRACTICE))


def _timed(
    name: str, does: str, minutes: tuple[float, float, float], look_for: str, source: Source, *cautions: str
) -> Step:
    return Step(name, does, *minutes, look_for, str(source), cautions)


def _anodise(load: Load, current: Figure, time: TimePlan, volts: VoltsPlan) -> Step:
    estimate = time.time.estimate.scaled(1.0 / 60.0)
    ramp_s = load.supply.ramp_s if load.supply else 0.0
    ramp = f"Up evenly over {number(ramp_s / 60.0)} min to " if ramp_s else "At "
    course = time.course
    meters = (f"volts from about {number(volts.start.estimate.value)} to {number(volts.end.estimate.value)}"
              if course is None else f"at the end about {number(course.end.voltage_v)} V")  # fmt: skip
    return Step(
        "anodise", f"{ramp}{whole_text(current)}, then hold; {number(estimate.value)} min in all.", estimate.value,
        estimate.low, estimate.high, f"{meters}; a current that wanders is a loose contact", str(time.time.source),
        (ACID, HYDROGEN, CURRENT),
    )  # fmt: skip


def _dye(load: Load, repeat: Entry | None) -> list[Step]:
    what = load.finish.dye or (repeat.dye if repeat else None) or "Dye"
    minutes = (15.0, 10.0, 30.0)
    if repeat and repeat.dye_s:
        minutes = (repeat.dye_s / 60.0,) * 3
    return [
        _timed("dye", f"{what}, from the rinse, never dried.", minutes, "the shade wanted or deeper", _DYE, HEAT),
        _timed("rinse", "Cold clean water, until no colour runs.", (1.0, 0.5, 2.0), "clear water", _PRACTICE),
    ]  # fmt: skip


def _seal(film: Figure, repeat: Entry | None) -> Step:
    if repeat and repeat.seal_s:
        minutes = (repeat.seal_s / 60.0,) * 3
    else:
        e = seal_time(film).estimate
        minutes = (e.value, e.low, e.high)
    return _timed("seal", "Deionised water near boiling, or the seal you use by its sheet.", minutes,
                  "a drop of dye wipes off without a mark", SEAL_PER_UM.source, HEAT)  # fmt: skip
