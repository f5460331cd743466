"""A drawing on paper: shapes to scale, dimensions beside them, as SVG in mm of paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

_LETTER_MM = 1.85  # what a letter takes of a line
_STYLE = (
    "text{font:3.2px sans-serif;fill:#2b2b2b}.t{font-size:4.6px;font-weight:bold}"
    ".tub{fill:#f4efe6;stroke:#8a7a5c}.wall{fill:#dfe3e0;stroke:#59615c}.acid{fill:#dcebe7;stroke:none}.air{fill:#fff;stroke:none}"
    ".cathode{fill:#9aa0a6;stroke:#4b5054}.part{fill:#e8b58a;stroke:#8c5426}.behind{fill:#f0d6bf;stroke:#b08a68}"
    ".bar{fill:#c78a52;stroke:#6d4520}.wire{stroke:#6d4520;fill:none}.contact{fill:#b3261e;stroke:none}"
    ".level{stroke:#2d7d6f;stroke-dasharray:3 1.5;fill:none}.dim{stroke:#2b2b2b;fill:none}"
    "rect,line,path,polygon{stroke-width:.25px;stroke-linejoin:round}"
)


@dataclass
class Paper:
    """Marks on paper; `scale` is mm of the real thing to one mm of paper. inch: dimensions are written in inches."""

    scale: float
    inch: bool = False
    marks: list[str] = field(default_factory=list)

    def box(self, kind: str, x: float, y: float, wide: float, high: float, name: str = "") -> None:
        """A rectangle: x, y on paper [mm], wide and high of the real thing [mm]."""
        s = self.scale
        place = f'x="{x:.3f}" y="{y:.3f}" width="{wide / s:.3f}" height="{high / s:.3f}"'
        self.marks.append(f'<rect class="{kind}" {place}>{_title(name)}</rect>')

    def shape(self, kind: str, x: float, y: float, ring: Sequence[tuple[float, float]], name: str = "") -> None:
        """A closed outline of the real thing [mm], its corner at x, y on paper."""
        points = " ".join(f"{x + right / self.scale:.3f},{y + down / self.scale:.3f}" for right, down in ring)
        self.marks.append(f'<polygon class="{kind}" points="{points}">{_title(name)}</polygon>')

    def line(self, kind: str, *points: tuple[float, float]) -> None:
        """A line through points on paper."""
        path = "L".join(f"{x:.3f} {y:.3f}" for x, y in points)
        self.marks.append(f'<path class="{kind}" d="M{path}"/>')

    def dot(self, kind: str, x: float, y: float, radius: float = 0.5) -> None:
        """A dot on paper."""
        self.marks.append(f'<circle class="{kind}" cx="{x:.3f}" cy="{y:.3f}" r="{radius:g}"/>')

    def words(self, x: float, y: float, text: str, kind: str = "", anchor: str = "start", turn: bool = False) -> None:
        """Text at a place on paper."""
        turned = f' transform="rotate(-90 {x:.3f} {y:.3f})"' if turn else ""
        self.marks.append(
            f'<text class="{kind}" x="{x:.3f}" y="{y:.3f}" text-anchor="{anchor}"{turned}>{escape(text)}</text>'
        )

    def across(self, x: float, y: float, *real: float) -> None:
        """Dimensions to the right from x, y on paper, one after the other [mm of the real thing]."""
        for start, end, mm, lift in self._chain(x, real):
            self.marks.append(
                f'<path class="dim" d="M{start:.3f} {y - 1.5:.3f}v3M{end:.3f} {y - 1.5:.3f}v3'
                f'M{start:.3f} {y:.3f}H{end:.3f}"/>'
            )
            self.words(0.5 * (start + end), y - 0.8 + (4.0 if lift else 0.0), self._number(mm), anchor="middle")

    def down(self, x: float, y: float, *real: float) -> None:
        """Dimensions downward from x, y on paper, one after the other [mm of the real thing]."""
        for start, end, mm, lift in self._chain(y, real):
            self.marks.append(
                f'<path class="dim" d="M{x - 1.5:.3f} {start:.3f}h3M{x - 1.5:.3f} {end:.3f}h3'
                f'M{x:.3f} {start:.3f}V{end:.3f}"/>'
            )
            self.words(x - 0.8 + (4.0 if lift else 0.0), 0.5 * (start + end), self._number(mm), anchor="middle",
                       turn=True)  # fmt: skip

    def svg(self, title: str, wide: float, high: float) -> str:
        """The drawing as one SVG document, sized in mm so that it prints to the scale it names."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.1f}mm" height="{high:.1f}mm" '
            f'viewBox="0 0 {wide:.1f} {high:.1f}"><title>{escape(title)}</title><style>{_STYLE}</style>'
            + "".join(self.marks)
            + "</svg>\n"
        )

    def _chain(self, at: float, real: Sequence[float]) -> list[tuple[float, float, float, bool]]:
        """Where each dimension starts and ends on paper, and whether its number must stand on the line's other side."""
        found, lifted = [], False
        for mm in real:
            end = at + mm / self.scale
            lifted = end - at < _LETTER_MM * len(self._number(mm)) and not lifted
            found.append((at, end, mm, lifted))
            at = end
        return found

    def _number(self, mm: float) -> str:
        return f"{mm / 25.4:.2f}" if self.inch else f"{mm:.0f}"


def _title(name: str) -> str:
    return f"<title>{escape(name)}</title>" if name else ""
