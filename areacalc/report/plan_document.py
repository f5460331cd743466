"""The JSON documents of a plan, of readings held against it, and of the runs in the logbook."""

from typing import Literal, TypedDict, cast

from areacalc.plan.area import PartArea
from areacalc.plan.course import RunPlan
from areacalc.plan.fault import Fault, changes_for, changes_of, keys_of
from areacalc.plan.plan import Plan
from areacalc.plan.steps import RunStep
from areacalc.plan.throw import BoreThrow
from areacalc.plant.rule import judged_fact
from areacalc.report.documents import Interval, interval
from areacalc.report.figure_document import FigureDocument, figure_document
from areacalc.report.rack_document import RackDocument, WiresDocument, rack_document, wires_document
from areacalc.report.words.at_the_tank import AGREES, POINTS_LESS, POINTS_MORE, PROVES_LITTLE
from areacalc.report.words.bores import bore_notes, bore_sentence
from areacalc.report.words.cautions import CautionDocument, caution_document, caution_text
from areacalc.report.words.course import coating_reason
from areacalc.report.words.equipment import ways_out_told
from areacalc.report.words.hung import hangs
from areacalc.report.words.places import Keys
from areacalc.report.words.rack import contacts_words, racks_told
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell
from areacalc.run.alarms import STOPS
from areacalc.run.judged import Checked


class PlannedPart(TypedDict):
    """One kind of part of a load: the area of one and of all, the coating it gets, what points up and how that is told.

    up is None where it makes no difference or is not known; up_chosen: the load left it free.
    """

    name: str
    count: int
    alloy: str
    film_um: Interval
    area_each_mm2: Interval
    area_all_mm2: Interval
    up: tuple[float, float, float] | None
    up_chosen: bool
    hangs: str


class WindowDocument(TypedDict):
    """A density window and whose it is."""

    name: str
    source: str


class SpanDocument(TypedDict):
    """What decides the current from one time to another."""

    limited_by: str
    from_s: float
    to_s: float


class CourseDocument(TypedDict):
    """A run in the power supply; moments are rows of time [s], current [A], volts [V] and charge [C]."""

    reached_s: float
    spans: list[SpanDocument]
    moments: list[list[float]]


class JudgedDocument(TypedDict):
    """A rule of the equipment and whether it is kept."""

    text: str
    kept: bool


class FitDocument(TypedDict):
    """A size through etch and coating; turned_mm and after_mm are None where it was not measured."""

    part: str
    name: str
    kind: str
    least_mm: float
    most_mm: float
    turned_mm: float | None
    change_mm: Interval
    turn_least_mm: float
    after_mm: Interval | None
    turn_most_mm: float
    verdict: str


class BoreDocument(TypedDict):
    """What bores that are alike take: densities, each as a share of the outside's too, and their thinnest coating."""

    part: str
    names: list[str]
    says: str
    mouth_a_per_dm2: Interval
    mouth_share: Interval
    mean_a_per_dm2: Interval
    mean_share: Interval
    least_a_per_dm2: Interval
    least_share: Interval
    least_at_mm: float
    least_film_um: Interval


class RunStepDocument(TypedDict):
    """One step of a run; minutes are None where it takes as long as it takes; takes: the minutes as printed."""

    name: str
    does: str
    takes: str
    minutes: float | None
    least_min: float | None
    most_min: float | None
    look_for: str
    source: str
    cautions: list[str]


class FaultDocument(TypedDict):
    """What is wrong with a run: how bad, its kind, and the sentence a person reads.

    keys: those of the load that mend it, such as "supply.current"; changes: to which values, where that is known; an
    empty one leaves its key out. part: whose keys those of [[part]] are; else empty.
    """

    weight: Literal["stops", "spoils", "watch"]
    kind: str
    text: str
    source: str | None
    part: str
    keys: list[str]
    changes: dict[str, str]


class WayOutDocument(TypedDict):
    """A way out of a tank or a power supply that is too small, and the values of the load that take it."""

    text: str
    changes: dict[str, str]


class PlanDocument(TypedDict):
    """Everything of a plan that a program may want. coating_reason: why it is thicker than asked; else empty."""

    schema: Literal["areacalc/plan/1"]
    name: str
    can_run: bool
    coating_reason: str
    parts: list[PlannedPart]
    expects: list[str]
    window: WindowDocument
    figures: dict[str, FigureDocument]
    course: CourseDocument | None
    practice: list[str]
    rack: RackDocument | None
    wires: list[WiresDocument]
    judged: list[JudgedDocument]
    ways_out: list[WayOutDocument]
    fits: list[FitDocument]
    bores: list[BoreDocument]
    bores_say: list[str]
    steps: list[RunStepDocument]
    cautions: list[CautionDocument]
    faults: list[FaultDocument]


class CauseDocument(TypedDict):
    """What would explain a reading, and the area it would make."""

    words: str
    area_mm2: float


class CheckDocument(TypedDict):
    """The area that a reading implies, beside the planned one."""

    schema: Literal["areacalc/check/1"]
    planned: FigureDocument
    implied: FigureDocument
    agrees: bool
    verdict: str
    causes: list[CauseDocument]


def plan_document(plan: Plan, inch: bool = False) -> PlanDocument:
    """Everything of a plan that a program may want; with `inch` its sentences are in US units."""
    load = plan.load
    return {
        "schema": "areacalc/plan/1",
        "name": load.name,
        "can_run": plan.can_run,
        "coating_reason": coating_reason(plan, inch),
        "parts": [
            {"name": p.line.name, "count": p.line.count, "alloy": alloy.name, "film_um": interval(grown.film.estimate),
             "area_each_mm2": interval(p.each.estimate), "area_all_mm2": interval(p.all.estimate),
             "up": p.part.hanging.up if p.part and p.part.hanging else None, "up_chosen": p.free is not None,
             "hangs": hangs(p)}
            for p, alloy, grown in zip(plan.parts, plan.alloys.of_parts, plan.film.by_part, strict=True)
        ],
        "expects": list(plan.alloys.expects),
        "window": {"name": plan.currents.window.name, "source": str(plan.currents.window.source)},
        "figures": {name: figure_document(figure) for name, figure in plan.figures.items()},
        "course": course_document(plan.run),
        "practice": [tell(each, inch) for each in plan.practice],
        "rack": _rack(plan, inch),
        "wires": [wires_document(each, inch) for each in racks_told(plan.plant.rack, plan.plant.wires)],
        "judged": [{"text": tell(judged_fact(j), inch), "kept": j.kept} for j in plan.plant.judged],
        "ways_out": [
            {"text": said, "changes": changes_for(way)} for way, said in ways_out_told(plan.plant.ways_out, inch)
        ],
        "fits": [
            {"part": p.part, "name": p.fit.name, "kind": p.fit.kind, "least_mm": p.fit.wanted.least_mm,
             "most_mm": p.fit.wanted.most_mm, "turned_mm": p.fit.turned.estimate.value if p.fit.turned else None,
             "change_mm": interval(p.fit.change.estimate), "turn_least_mm": p.fit.turn_least_mm,
             "after_mm": interval(p.fit.filmed.estimate) if p.fit.filmed else None,
             "turn_most_mm": p.fit.turn_most_mm, "verdict": p.fit.verdict.value}
            for p in plan.fits
        ],
        "bores": [bore_document(bore, inch) for bore in plan.bores],
        "bores_say": list(bore_notes(plan.throw, plan.bores)),
        "steps": [_step(step, inch, plan.parts) for step in plan.steps],
        "cautions": [caution_document(each, inch) for each in plan.cautions],
        "faults": [_fault(each, inch) for each in plan.faults],
    }  # fmt: skip


def _fault(fault: Fault, inch: bool) -> FaultDocument:
    told = fault.fact
    return {
        "weight": cast(Literal["stops", "spoils", "watch"], fault.weight.word), "kind": fault.kind.value,
        "text": tell(told, inch), "source": str(told.source) if told.source else None,
        "part": str(told["part"]) if "part" in told else "", "keys": list(keys_of(fault)),
        "changes": changes_of(fault),
    }  # fmt: skip


def bore_document(bore: BoreThrow, inch: bool = False) -> BoreDocument:
    """What a bore takes: densities, each as a share of the outside's too, and its thinnest film."""
    found = bore.thrown
    return {
        "part": bore.part, "names": list(bore.names), "says": bore_sentence(bore, inch),
        "mouth_a_per_dm2": interval(found.mouth.estimate), "mouth_share": interval(found.mouth_share.estimate),
        "mean_a_per_dm2": interval(found.mean.estimate), "mean_share": interval(found.mean_share.estimate),
        "least_a_per_dm2": interval(found.least.estimate), "least_share": interval(found.least_share.estimate),
        "least_at_mm": bore.least_at_mm, "least_film_um": interval(bore.film.estimate),
    }  # fmt: skip


def _rack(plan: Plan, inch: bool) -> RackDocument | None:
    layout, load = plan.plant.room.layout, plan.load
    kind = load.rack.kind if load.rack is not None else None
    if layout is None:
        return None
    laid = rack_document(layout, inch, kind, load.tank.freeboard_mm or 0.0)
    laid["says"] = "; ".join(filter(None, [laid["says"], contacts_words(load.rack)]))
    return laid


def _step(step: RunStep, inch: bool, parts: tuple[PartArea, ...]) -> RunStepDocument:
    said, e = step_words(step, inch, parts), step.minutes
    return {
        "name": said.name, "does": said.does, "takes": said.minutes, "minutes": e.value if e else None,
        "least_min": e.low if e else None, "most_min": e.high if e else None, "look_for": said.look_for,
        "source": str(step.source), "cautions": [caution_text(each, inch) for each in step.cautions],
    }  # fmt: skip


def course_document(run: RunPlan) -> CourseDocument:
    """The run, as rows of time [s], current [A], volts at the supply [V] and charge [C]."""
    return {
        "reached_s": run.set_s,
        "spans": [{"limited_by": by.word, "from_s": a, "to_s": b} for by, a, b in run.spans()],
        "moments": run.moments().tolist(),
    }


def verdict(found: Checked, inch: bool = False) -> str:
    """What a reading says, in words: all that speaks against the plan, the area first."""
    said = [tell(alarm.fact, inch) for alarm in found.alarms]
    if any(alarm.kind in STOPS for alarm in found.alarms):
        return " ".join(said)
    if not found.is_near:
        said.insert(0, (POINTS_LESS if found.share < 1.0 else POINTS_MORE).format(percent=100.0 * found.share))
    elif found.proves_little:
        said.append(PROVES_LITTLE.format(Keys()))
    return " ".join(said) or AGREES


def check_document(found: Checked) -> CheckDocument:
    """The area that a reading implies."""
    causes = [cause for alarm in found.alarms for cause in alarm.causes]
    return {
        "schema": "areacalc/check/1",
        "planned": figure_document(found.planned),
        "implied": figure_document(found.implied),
        "agrees": found.agrees,
        "verdict": verdict(found),
        "causes": [{"words": tell(c.fact), "area_mm2": c.area_mm2} for c in causes],
    }
