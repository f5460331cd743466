"""A sweep drawn as SVG: one small graph a figure, its value as a line, its bounds as a band."""

import math
from collections.abc import Sequence
from xml.sax.saxutils import escape

from areacalc.digits import three
from areacalc.load.changes import Sweep
from areacalc.plan.load_book import SweptPlan
from areacalc.report.figures import in_shown_unit

_WIDE, _HIGH, _GAP, _LEFT, _TOP = 250.0, 130.0, 58.0, 58.0, 48.0
_STYLE = (
    "text{font:11px sans-serif;fill:#2b2b2b}.head{font-size:14px;font-weight:bold}.name{font-weight:bold}"
    ".band{fill:#cfe3dd;stroke:none}.line{fill:none;stroke:#1f6f63;stroke-width:1.8}.mark{fill:#1f6f63}"
    ".stops{fill:#b3452c}.axis{stroke:#8a8f8c;stroke-width:.7;fill:none}"
)


def sweep_svg(title: str, asked: Sweep, rows: Sequence[SweptPlan], names: Sequence[str]) -> str:
    """The drawing as one SVG document, two graphs a row."""
    shown = [n for n in names if any(r.plan and n in r.plan.figures for r in rows)]
    tall = math.ceil(len(shown) / 2)
    width, height = _LEFT + 2 * (_WIDE + _GAP), _TOP + tall * (_HIGH + _GAP) + 14.0
    marks = [f'<text class="head" x="{_LEFT:g}" y="24">{escape(title)}: {escape(asked.setting.words)}</text>']
    for i, name in enumerate(shown):
        left, top = _LEFT + (i % 2) * (_WIDE + _GAP), _TOP + (i // 2) * (_HIGH + _GAP)
        marks += _graph(asked, rows, name, left, top)
    marks.append(
        f'<text x="{_LEFT:g}" y="{height - 6:g}">Band: least to most. Red: the run cannot be made as asked.</text>'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="0 0 {width:g} {height:g}"><title>{escape(title)}</title><style>{_STYLE}</style>'
        f'<rect width="100%" height="100%" fill="#fff"/>{"".join(marks)}</svg>\n'
    )


def _graph(asked: Sweep, rows: Sequence[SweptPlan], name: str, left: float, top: float) -> list[str]:
    points = [(r.value, *in_shown_unit(r.plan.figures[name].estimate, r.plan.figures[name].unit), r.plan.can_run)
              for r in rows if r.plan and name in r.plan.figures]  # fmt: skip
    unit = points[0][2]
    first, last = min(asked.values), max(asked.values)
    floor, ceiling = min(p[1].low for p in points), max(p[1].high for p in points)
    margin = 0.06 * (ceiling - floor) or 0.5 * abs(ceiling) or 1.0
    floor, ceiling = floor - margin, ceiling + margin

    def x(value: float) -> float:
        return left + _WIDE * (value - first) / (last - first)

    def y(value: float) -> float:
        return top + _HIGH * (ceiling - value) / (ceiling - floor)

    upper = " ".join(f"{x(p[0]):.1f},{y(p[1].high):.1f}" for p in points)
    lower = " ".join(f"{x(p[0]):.1f},{y(p[1].low):.1f}" for p in reversed(points))
    line = " ".join(f"{x(p[0]):.1f},{y(p[1].value):.1f}" for p in points)
    texts = dict(zip(asked.values, asked.texts, strict=True))
    return [
        f'<text class="name" x="{left:.1f}" y="{top - 8:.1f}">{escape(name)} [{escape(unit)}]</text>',
        f'<polygon class="band" points="{upper} {lower}"/><polyline class="line" points="{line}"/>',
        *(f'<circle class="{"mark" if p[3] else "stops"}" cx="{x(p[0]):.1f}" cy="{y(p[1].value):.1f}" r="2.6"/>'
          for p in points),
        f'<path class="axis" d="M{left:.1f} {top:.1f}V{top + _HIGH:.1f}H{left + _WIDE:.1f}"/>',
        *(f'<text x="{left - 5:.1f}" y="{y(v) + 4:.1f}" text-anchor="end">{three(v)}</text>'
          for v in (floor + margin, ceiling - margin)),
        *(f'<text x="{x(v):.1f}" y="{top + _HIGH + 15:.1f}" text-anchor="middle">{escape(texts[v])}</text>'
          for v in (asked.values[0], asked.values[-1])),
    ]  # fmt: skip
