"""The JSON document of a plan; report/schemas/plan.json describes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from areacalc.figure import Figure
from areacalc.logbook.logbook import Entry
from areacalc.plan.plan import Plan
from areacalc.plan.readings import BackCheck
from areacalc.plan.steps import Step
from areacalc.plan.throw import BoreThrow
from areacalc.plant.rule import judged_fact
from areacalc.plant.supply import Course
from areacalc.report.documents import Document, interval, schema_id
from areacalc.report.words.bores import bore_notes, bore_sentence
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell


def plan_document(plan: Plan, inch: bool = False) -> Document:
    """Everything of a plan that a program may want; with `inch` its sentences are in US units."""
    load = plan.load
    return {
        "schema": schema_id("plan"),
        "name": load.name,
        "can_run": plan.can_run,
        "parts": [
            {"name": p.line.name, "count": p.line.count, "alloy": alloy.name, "film_um": interval(grown.film.estimate),
             "area_each_mm2": interval(p.each.estimate), "area_all_mm2": interval(p.all.estimate)}
            for p, alloy, grown in zip(plan.parts, plan.alloys.of_parts, plan.film.by_part, strict=True)
        ],
        "expects": list(plan.alloys.expects),
        "window": {"name": plan.currents.window.name, "source": str(plan.currents.window.source)},
        "figures": {name: figure_document(figure) for name, figure in plan.figures.items()},
        "course": course_document(plan.course) if plan.course else None,
        "judged": [{"text": tell(judged_fact(j), inch), "kept": j.kept} for j in plan.plant.judged],
        "ways_out": list(ways_out_words(plan.plant.ways_out, inch)),
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
        "steps": [_step(step, inch) for step in plan.steps],
        "cautions": list(plan.cautions),
        "faults": [{"weight": f.weight.word, "kind": f.kind.value, "text": tell(f.fact, inch)} for f in plan.faults],
    }  # fmt: skip


def bore_document(bore: BoreThrow, inch: bool = False) -> Document:
    """What a bore takes: densities, each as a share of the outside's too, and its thinnest film."""
    found = bore.thrown
    return {
        "part": bore.part, "names": list(bore.names), "says": bore_sentence(bore, inch),
        "mouth_a_per_dm2": interval(found.mouth.estimate), "mouth_share": interval(found.mouth_share.estimate),
        "mean_a_per_dm2": interval(found.mean.estimate), "mean_share": interval(found.mean_share.estimate),
        "least_a_per_dm2": interval(found.least.estimate), "least_share": interval(found.least_share.estimate),
        "least_at_mm": bore.least_at_mm, "least_film_um": interval(bore.film.estimate),
    }  # fmt: skip


def _step(step: Step, inch: bool) -> Document:
    said, e = step_words(step, inch), step.minutes
    return {
        "name": said.name, "does": said.does, "minutes": e.value if e else None, "least_min": e.low if e else None,
        "most_min": e.high if e else None, "look_for": said.look_for, "source": str(step.source),
        "cautions": list(step.cautions),
    }  # fmt: skip


def figure_document(figure: Figure) -> Document:
    """One figure: value, low, high, unit, formula, source, and what widens it."""
    return {**interval(figure.estimate), "unit": figure.unit, "name": figure.name, "formula": figure.formula,
            "source": str(figure.source), "because": figure.estimate.because}  # fmt: skip


def course_document(course: Course) -> Document:
    """A run in the supply, as rows of time [s], current [A], volts [V] and charge [C]."""
    return {
        "reached_s": course.reached_s,
        "spans": [{"limited_by": by.value, "from_s": a, "to_s": b} for by, a, b in course.spans()],
        "moments": [[m.time_s, m.current_a, m.voltage_v, m.charge_c] for m in course.moments],
    }


def meters_document(found: BackCheck) -> Document:
    """The area that a reading implies; report/schemas/meters.json describes it."""
    return {
        "schema": schema_id("meters"),
        "planned": figure_document(found.planned),
        "implied": figure_document(found.implied),
        "agrees": found.agrees,
        "verdict": found.verdict,
        "causes": [{"words": c.words, "area_mm2": c.area_mm2} for c in found.causes],
    }


def logbook_document(entries: Sequence[Entry]) -> Document:
    """The runs of a load, oldest first; report/schemas/logbook.json describes it."""
    return {"schema": schema_id("logbook"), "runs": [asdict(entry) for entry in entries]}
