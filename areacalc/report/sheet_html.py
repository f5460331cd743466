"""The run sheet as one HTML file that needs nothing else: to look at, to print on A4, to write on."""

from __future__ import annotations

from html import escape

from areacalc.digits import three
from areacalc.plan.plan import Plan
from areacalc.plant.supply import Course
from areacalc.report.explain import links
from areacalc.report.figures import bounds_text, value_text, whole_text
from areacalc.report.sheet_text import STOPPED
from areacalc.report.words.bores import bore_sentence
from areacalc.report.words.cautions import caution_lines
from areacalc.report.words.covered import covered_words
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.faults import WEIGHTS
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell

_STYLE = """
:root{--ink:#22302c;--soft:#5f6d68;--line:#c9d3ce;--tint:#eef4f1;--mark:#1f6f63;--warn:#a83f22}
*{box-sizing:border-box}body{font:14px/1.4 Georgia,serif;color:var(--ink);margin:0 auto;max-width:190mm;padding:8mm}
h1{font-size:24px;margin:0}h2{font-size:15px;margin:18px 0 6px;border-bottom:2px solid var(--mark);padding-bottom:2px}
header{display:flex;justify-content:space-between;align-items:end;gap:12px}
.fill{border-bottom:1px solid var(--ink);display:inline-block;min-width:24mm;height:1.1em}
.dials{display:grid;grid-template-columns:repeat(4,1fr);gap:8px;margin:12px 0}
.dial{border:1px solid var(--line);border-top:4px solid var(--mark);padding:6px 8px;background:var(--tint)}
.dial b{display:block;font-size:24px;line-height:1.2}.dial small{color:var(--soft)}
table{border-collapse:collapse;width:100%}td,th{text-align:left;padding:3px 8px 3px 0;vertical-align:top}
tr+tr td{border-top:1px solid var(--line)}th{font-weight:normal;color:var(--soft)}
.r{text-align:right;white-space:nowrap}
.box{display:inline-block;width:12px;height:12px;border:1.5px solid var(--ink)}
.stops,.spoils{color:var(--warn);font-weight:bold}.care{border:2px solid var(--warn);padding:6px 12px}
.care ul{margin:0;padding-left:18px}.soft{color:var(--soft);font-size:12px}ol{padding-left:22px;margin:0}
.chain{font-size:11px;margin:6px 0}.chain p{margin:1px 0}svg{width:100%;height:auto}
@media(max-width:640px){.dials{grid-template-columns:repeat(2,1fr)}}
@media print{body{padding:0;font-size:11px}h2{break-after:avoid}tr,.care{break-inside:avoid}}
@page{size:A4;margin:14mm}
"""


def sheet_html(plan: Plan, inch: bool = False) -> str:
    """The sheet of one run as a whole HTML document; with `inch` in US units."""
    name = escape(plan.load.name)
    stopped = "" if plan.can_run else f'<p class="stops">{STOPPED}</p>'
    body = "".join((
        _head(name, inch), stopped, _dials(plan, inch), _parts(plan, inch), _cautions(plan, inch), _steps(plan, inch),
        _faults(plan, inch), _course(plan.course), _expect(plan, inch), _as_it_went(inch), _worked_out(plan, inch),
    ))  # fmt: skip
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Run sheet: {name}</title>'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<style>{_STYLE}</style></head><body>{body}</body></html>\n"
    )


def _head(name: str, inch: bool) -> str:
    bath = f"bath, {'F' if inch else 'C'}"
    blanks = "".join(f'{word} <span class="fill"></span> ' for word in ("date", "by", bath))
    return f"<header><h1>{name}</h1><div>{blanks}</div></header>"


def _dials(plan: Plan, inch: bool) -> str:
    cells = []
    for key in ("current", "time", "voltage-start", "voltage-end"):
        figure = plan.figures[key]
        value, bounds = escape(value_text(figure, inch)), bounds_text(figure, inch) or "set it so"
        cells.append(f'<div class="dial">{escape(figure.name)}<b>{value}</b><small>{bounds}</small></div>')
    return f'<div class="dials">{"".join(cells)}</div>'


def _parts(plan: Plan, inch: bool) -> str:
    rows = "".join(
        f'<tr><td class="r">{p.line.count} x</td><td>{escape(p.line.name)}</td>'
        f'<td class="r">{whole_text(p.each, inch)} each</td>'
        f"<td>{escape('; '.join(covered_words(p, inch)))}</td></tr>"
        for p in plan.parts
    )
    areas = {"in all": plan.figures["area"]} | ({"for the current": plan.throw.effective} if plan.bores else {})
    told = (*(bore_sentence(b, inch) for b in plan.bores), *(tell(f.fact(f.fit.verdict), inch) for f in plan.fits))
    fits = "".join(f"<li>{escape(each)}</li>" for each in told)
    last = "".join(
        f'<tr><td></td><td>{name}</td><td class="r">{whole_text(area, inch)}</td><td></td></tr>'
        for name, area in areas.items()
    )
    return f"<h2>On the rack</h2><table>{rows}{last}</table>" + (f"<ul>{fits}</ul>" if fits else "")


def _steps(plan: Plan, inch: bool) -> str:
    rows = "".join(
        f'<tr><td><span class="box"></span></td><td class="r">{n}</td><td><b>{said.name}</b></td>'
        f'<td class="r">{said.minutes}{" min" if said.minutes else ""}</td><td>{escape(said.does)}<br>'
        f'<span class="soft">look for: {escape(said.look_for)}. {escape(str(step.source))}</span></td></tr>'
        for n, (step, said) in enumerate(((s, step_words(s, inch)) for s in plan.steps), 1)
    )
    return f"<h2>Steps</h2><table>{rows}</table>"


def _faults(plan: Plan, inch: bool) -> str:
    if not plan.faults:
        return "<h2>Faults</h2><p>Nothing was found.</p>"
    items = "".join(
        f'<li><span class="{f.weight.word}">{WEIGHTS[f.weight]}</span>: {escape(tell(f.fact, inch))}</li>'
        for f in plan.faults
    )
    ways = "".join(f"<li>{escape(way)}</li>" for way in ways_out_words(plan.plant.ways_out, inch))
    more = f"<p>Ways out of a power supply that is too small:</p><ul>{ways}</ul>" if ways else ""
    return f"<h2>Faults, worst first</h2><ol>{items}</ol>{more}"


def _cautions(plan: Plan, inch: bool) -> str:
    items = "".join(f"<li>{escape(c)}</li>" for c in caution_lines(plan.cautions, inch))
    return f'<h2>Cautions</h2><div class="care"><ul>{items}</ul></div>'


def _course(course: Course | None) -> str:
    """Amperes and volts over the run, as two lines on one time axis, each to its own largest value."""
    if course is None:
        return ""
    wide, high, left, end_s = 640.0, 120.0, 40.0, course.reached_s
    most_a = max(m.current_a for m in course.moments)
    most_v = max(m.voltage_v for m in course.moments) or 1.0

    def line(values: list[tuple[float, float]], most: float) -> str:
        return " ".join(f"{left + wide * t / end_s:.1f},{10 + high * (1 - v / most):.1f}" for t, v in values)

    amps = line([(m.time_s, m.current_a) for m in course.moments], most_a)
    volts = line([(m.time_s, m.voltage_v) for m in course.moments], most_v)
    return (
        f'<h2>At the meters</h2><svg viewBox="0 0 740 160" role="img" aria-label="amperes and volts over the run">'
        f'<path d="M{left} 10V{10 + high}H{left + wide}" fill="none" stroke="#5f6d68"/>'
        f'<polyline points="{amps}" fill="none" stroke="#1f6f63" stroke-width="2"/>'
        f'<polyline points="{volts}" fill="none" stroke="#a83f22" stroke-width="2" stroke-dasharray="6 4"/>'
        f'<g font-size="11" font-family="Georgia,serif"><text x="{left + wide + 4}" y="18" fill="#1f6f63">'
        f'{three(most_a)} A</text><text x="{left + wide + 4}" y="34" fill="#a83f22">{three(most_v)} V</text>'
        f'<text x="{left}" y="148">0</text><text x="{left + wide}" y="148" text-anchor="end">'
        f"{three(end_s / 60)} min</text></g></svg>"
    )


def _expect(plan: Plan, inch: bool) -> str:
    shown = ("density", "charge", "film", "heat", "warming", "bath-end", "hydrogen", "air", "drag-out", "rinse")
    rows = "".join(
        f'<tr><td>{escape(plan.figures[n].name)}</td><td class="r">{escape(value_text(plan.figures[n], inch))}</td>'
        f'<td class="r">{bounds_text(plan.figures[n], inch)}</td></tr>'
        for n in shown
    )
    heads = '<tr><th></th><th class="r">figure</th><th class="r">least to most</th></tr>'
    return f"<h2>Expect</h2><table>{heads}{rows}</table>"


def _as_it_went(inch: bool) -> str:
    read = ("end F", "film mil") if inch else ("end C", "film um")
    blanks = "".join(f'{word} <span class="fill"></span> ' for word in ("start V", "start A", "end V", "end A", *read))
    return f"<h2>As it went</h2><p>{blanks}</p>"


def _worked_out(plan: Plan, inch: bool) -> str:
    chains = []
    for key in ("current", "time", "film"):
        lines = "".join(
            f'<p style="margin-left:{each.depth * 14}px"><b>{escape(each.name)}</b> = {escape(each.value)}: '
            f'{escape(each.formula)}. <span class="soft">{escape(each.source)}</span></p>'
            for each in links(plan.figures[key], inch)
        )
        chains.append(f'<div class="chain">{lines}</div>')
    return f"<h2>How this was worked out</h2>{''.join(chains)}"
