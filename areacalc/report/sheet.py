"""What stands on the run sheet, in the order that a person at the tank works: one side, and a back for sources."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

from areacalc.plan.area import PartArea
from areacalc.plan.plan import Plan
from areacalc.plan.rack_drawing import rack_scene
from areacalc.plant.drawing import Scene, closeup, drawn, glance
from areacalc.plant.hung import Way
from areacalc.plant.paper import Drawing
from areacalc.report.explain import Link, links
from areacalc.report.figures import bounds_text, in_print, shown, value_text
from areacalc.report.words.bores import bore_sentence
from areacalc.report.words.cautions import caution_text
from areacalc.report.words.covered import covered_words
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.faults import WEIGHTS
from areacalc.report.words.hung import hangs, in_words
from areacalc.report.words.rack import contacts_words
from areacalc.report.words.steps import StepWords, step_words
from areacalc.report.words.tell import tell
from areacalc.report.words.telling import counted

_SETTINGS = (
    ("current", "set"),
    ("time", "time in all"),
    ("voltage-supply-start", "volts when raised"),
    ("voltage-supply", "volts at the end"),
    ("coating", "coating"),
)
_EXPECTED = (
    "area", "cathode-face", "density", "charge", "coating", "heat", "warming", "bath-end", "hydrogen", "drag-out",
    "rinse",
)  # fmt: skip
_EXPLAINED = ("current", "time", "coating")
_DEEP = 2  # how far down a chain the back goes; `explain` prints the rest
_DRAWING_MM = 165.0
_CLOSEUP_MM, _GLANCE_MM = (80.0, 42.0), (38.0, 40.0)
_READINGS = 6
_COOL_W = 0.05  # chosen: less is none


@dataclass(frozen=True, slots=True)
class Dial:
    """One thing to set or expect, in large type."""

    label: str
    value: str
    bounds: str


@dataclass(frozen=True, slots=True)
class MeterReading:
    """When to read the meters, and what they should show."""

    at: str
    current: str
    volts: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One run on paper. A run that must not be started has no settings, readings or steps."""

    name: str
    what: str  # parts, alloy, dye and coating
    can_run: bool
    bath: str
    tank: tuple[str, ...]  # cathodes to hang, cooling
    settings: tuple[Dial, ...]
    parts: tuple[tuple[str, str, tuple[str, ...]], ...]  # how many, what, what is plugged or masked
    cautions: tuple[str, ...]
    steps: tuple[StepWords, ...]
    readings: tuple[MeterReading, ...]
    blanks: tuple[str, ...]
    faults: tuple[tuple[str, str, str], ...]  # weight, its words, the fault
    ways_out: tuple[str, ...]
    notes: tuple[str, ...]
    expected: tuple[Dial, ...]
    sources: tuple[str, ...]
    derived: tuple[Link, ...]
    drawing: Drawing | None
    glance: Drawing | None  # what hangs where, small
    closeup: Drawing | None  # each kind of part as it hangs, its mouths named


@in_print()
def sheet_of(plan: Plan, inch: bool = False) -> Sheet:
    """The sheet of a plan, in metric or US units."""
    run, figures, today = plan.can_run, plan.figures, plan.load.bath
    said = [step_words(step, inch, plan.parts, above=True) for step in plan.steps]
    scene = rack_scene(plan, inch) if run else None
    return Sheet(
        name=plan.load.name,
        what=_what(plan, inch),
        can_run=run,
        bath=f"{_whole(shown(today.acid_g_per_l, 'g/L', inch))} acid, {_whole(shown(today.temperature_c, 'C', inch))}",
        tank=_tank(plan, inch) if run else (),
        settings=tuple(_setting(plan, *each, inch) for each in _SETTINGS) if run else (),
        parts=tuple(_parts(plan, scene, inch)),
        cautions=tuple(caution_text(each, inch) for each in plan.cautions),
        steps=tuple(said) if run else (),
        readings=_readings(plan) if run else (),
        blanks=("volts", "amps", "bath °F" if inch else "bath °C"),
        faults=tuple((f.weight.word, WEIGHTS[f.weight], tell(f.fact, inch)) for f in plan.faults),
        ways_out=ways_out_words(plan.plant.ways_out, inch),
        notes=(*(bore_sentence(b, inch) for b in plan.bores),
               *(tell(f.fact(), inch) for f in plan.fits)),
        expected=tuple(Dial(figures[n].name, value_text(figures[n], inch), bounds_text(figures[n], inch))
                       for n in _EXPECTED),
        sources=(*dict.fromkeys(str(f.fact.source) for f in plan.faults if f.fact.source),
                 *(f"{caution_text(each, inch)} ({each.source})" for each in plan.cautions)),
        derived=tuple(dict.fromkeys(each for name in _EXPLAINED for each in links(figures[name], inch)
                                    if each.depth <= _DEEP)),
        drawing=drawn(scene, _DRAWING_MM) if scene is not None else None,
        glance=glance(scene, *_GLANCE_MM) if scene is not None else None,
        closeup=closeup(scene, *_CLOSEUP_MM) if scene is not None else None,
    )  # fmt: skip


def _what(plan: Plan, inch: bool) -> str:
    """What is run, in short: the parts, their alloy, the dye, the coating asked."""
    parts = (f"{p.line.count} x {p.line.name}" for p in plan.parts)
    alloys = dict.fromkeys(p.line.alloy for p in plan.parts if p.line.alloy)
    asked = value_text(plan.figures["coating-wanted"], inch)
    return ", ".join((*parts, *alloys, *filter(None, (plan.load.finish.dye,)), f"{asked} asked"))


def _parts(plan: Plan, scene: Scene | None, inch: bool) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """How many of each kind of part, its name with the drawing's letter for it, how it hangs and what is covered."""
    layout, kinds = plan.plant.room.layout, count()
    for part in plan.parts:
        name, told = part.line.name, _hung(part, None)
        if layout is not None and part.part is not None:
            kind = next(kinds)
            highest_mm = min(place.z_mm for place in layout.places if place.part == kind)
            told = _hung(part, layout.ways[kind])
            told += (f"{shown(highest_mm, 'mm', inch)} under the surface",) if highest_mm > 0.0 else ()
            if scene is not None and (letter := scene.letters[kind]):
                name += f" ({letter})"
        yield str(part.line.count), name, (*told, *covered_words(part, inch))


def _tank(plan: Plan, inch: bool) -> tuple[str, ...]:
    """What hangs and works in the bath besides the parts: cathodes, cooling and rack."""
    strips, cooling_w = plan.load.cathodes, plan.load.bath.cooling_w
    needed = plan.figures["cooling"]
    said = []
    if strips is not None:
        wide, deep = (_whole(shown(each, "mm", inch)) for each in (strips.width_mm, strips.immersed_mm))
        said.append(f"{counted(strips.count, 'cathode')} of {strips.strip_metal.name}, {wide} wide, {deep} deep")
    if cooling_w:
        said.append(f"cooling {_whole(shown(cooling_w, 'W', inch))}")
    else:
        likely, most = (_whole(shown(each, "W", inch)) for each in (needed.estimate.value, needed.estimate.high))
        said.append(
            f"cooling of {likely}, at most {most}" if needed.estimate.value >= _COOL_W
            else "no cooling likely: watch the thermometer" if needed.estimate.high >= _COOL_W else "no cooling needed"
        )  # fmt: skip
    if (rack := plan.load.rack) is not None:
        bare = "" if rack.insulated else "bare "
        for rod in rack.members:
            thick, long = (_whole(shown(mm, "mm", inch)) for mm in (rod.diameter_mm, rod.wet_mm / rod.number))
            said.append(f"{rod.number} x {rod.piece.value}, {bare}{rack.metal}, {thick} thick, {long} of each wet")
        said += ["partly assumed"] if rack.unsaid else []
        said += filter(None, [contacts_words(rack)])
    return tuple(said)


def _whole(text: str) -> str:
    """A value that is never broken before its unit."""
    return text.replace(" ", "\u00a0")


def _hung(part: PartArea, way: Way | None) -> tuple[str, ...]:
    """How the part hangs in the bath, in words that can be followed with the part in hand, and how deep.

    One that traps as much however it hangs is told as it is drawn.
    """
    words = hangs(part)
    if not words and way is not None and part.part is not None and part.part.ranked:
        words = f"as drawn, {in_words(way.axes[2], part.part.skin)}; another way is as good"
    up = (words,) if words else ()
    return (*up, f"liquid to {part.line.liquid_line}") if part.line.liquid_line else up


def _setting(plan: Plan, name: str, label: str, inch: bool) -> Dial:
    figure = plan.figures[name]
    bounds = bounds_text(figure, inch)
    if name == "coating":
        bounds = f"{bounds}; asked {value_text(plan.figures['coating-wanted'], inch)}".removeprefix("; ")
    if name == "current":
        supply = plan.load.supply
        low, high = plan.figures["current-least"].estimate.low, plan.figures["current-most"].estimate.high
        bounds = f"in the window: {shown(low, 'A')} to {shown(min(high, supply.limit_a) if supply else high, 'A')}"
        ramp = supply.ramp_s if supply else 0.0
        label = f"raise over {shown(ramp, 's')} to" if ramp else label
    return Dial(label, value_text(figure, inch), bounds)


def _readings(plan: Plan) -> tuple[MeterReading, ...]:
    """When to read the meters, at whole minutes and at the end, with what they should show."""
    course, rows, end_s = plan.run.course, [], plan.run.set_s
    step_s = 60.0 * max(1, round(end_s / 60.0 / _READINGS))
    whole = [n * step_s for n in range(1, 2 * _READINGS) if n * step_s < end_s - 0.5 * step_s]
    for time_s in (*whole, end_s):
        current, volts = (course.cases.bounds(course.at(x, time_s)) for x in (course.current_a, course.supply_v))
        bounds = f"{volts.value:.1f} V ({volts.low:.1f} to {volts.high:.1f})"
        rows.append(MeterReading(shown(time_s, "s"), shown(current.value, "A"), bounds))
    return tuple(rows)
