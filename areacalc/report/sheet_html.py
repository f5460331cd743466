"""The run sheet as one HTML file that needs nothing else: to look at, to print on A4, to write on."""

from __future__ import annotations

from functools import partial
from importlib.resources import files

from areacalc.digits import three
from areacalc.plan.plan import Plan
from areacalc.plant.supply import Course
from areacalc.report.explain import links
from areacalc.report.figures import bounds_text, value_text, whole_text
from areacalc.report.html import filled
from areacalc.report.plan_summary import STOPPED
from areacalc.report.words.bores import bore_sentence
from areacalc.report.words.cautions import caution_lines
from areacalc.report.words.covered import covered_words
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.faults import WEIGHTS
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

_DIALS = ("current", "time", "voltage-start", "voltage-end")
_EXPECTED = ("density", "charge", "film", "heat", "warming", "bath-end", "hydrogen", "air", "drag-out", "rinse")
_EXPLAINED = ("current", "time", "film")


def sheet_html(plan: Plan, inch: bool = False) -> str:
    """The sheet of one run as a whole HTML document; with `inch` in US units."""
    figures = plan.figures
    return filled(
        (files(__package__) / "sheet.html").read_text("utf-8"),
        plan=plan,
        inch=inch,
        stopped=STOPPED,
        value=partial(value_text, inch=inch),
        bounds=partial(bounds_text, inch=inch),
        whole=partial(whole_text, inch=inch),
        covered=partial(covered_words, inch=inch),
        dials=[figures[name] for name in _DIALS],
        expected=[figures[name] for name in _EXPECTED],
        areas={"in all": figures["area"]} | ({"for the current": plan.throw.effective} if plan.bores else {}),
        told=[*(bore_sentence(b, inch) for b in plan.bores), *(tell(f.fact(f.fit.verdict), inch) for f in plan.fits)],
        cautions=caution_lines(plan.cautions, inch),
        steps=[(step, step_words(step, inch)) for step in plan.steps],
        faults=[(f.weight.word, WEIGHTS[f.weight], tell(f.fact, inch)) for f in plan.faults],
        ways_out=ways_out_words(plan.plant.ways_out, inch),
        meters=_meters(plan.course),
        chains=[links(figures[name], inch) for name in _EXPLAINED],
    )


def _meters(course: Course | None) -> dict[str, str] | None:
    """Amperes and volts over the run, as two lines on one time axis, each to its own largest value."""
    if course is None:
        return None
    wide, high, left, end_s = 640.0, 120.0, 40.0, course.reached_s
    most_a = max(m.current_a for m in course.moments)
    most_v = max(m.voltage_v for m in course.moments) or 1.0

    def line(values: list[tuple[float, float]], most: float) -> str:
        return " ".join(f"{left + wide * t / end_s:.1f},{10 + high * (1 - v / most):.1f}" for t, v in values)

    return {
        "amps": line([(m.time_s, m.current_a) for m in course.moments], most_a),
        "volts": line([(m.time_s, m.voltage_v) for m in course.moments], most_v),
        "most_a": three(most_a),
        "most_v": three(most_v),
        "minutes": three(end_s / 60),
    }
