"""A drawing on paper: shapes to scale with dimensions beside them, in mm of paper; written as SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

_LETTER_MM = 1.85  # what a letter takes of a line
_TEXT_MM = {"title": 4.6, "": 3.2, "small": 2.4}
LOOKS: dict[str, tuple[str | None, str | None]] = {
    "tub": ("#f4efe6", "#8a7a5c"), "wall": ("#dfe3e0", "#59615c"), "air": ("#ffffff", None), "acid": ("#dcebe7", None),
    "cathode": ("#9aa0a6", "#4b5054"), "part": ("#e8b58a", "#8c5426"), "behind": ("#f0d6bf", "#b08a68"),
    "bar": ("#c78a52", "#6d4520"), "wire": (None, "#6d4520"), "contact": ("#b3261e", None), "level": (None, "#2d7d6f"),
    "dim": (None, "#2b2b2b"), "words": ("#2b2b2b", None),
}  # fmt: skip
"""Fill and line of each kind of mark."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A line, or a closed outline, through points on paper [mm]; `name` says what it is where a pointer rests on it."""

    kind: str
    points: tuple[tuple[float, float], ...]
    closed: bool = False
    name: str = ""


@dataclass(frozen=True, slots=True)
class Dot:
    """A dot on paper [mm]."""

    kind: str
    x: float
    y: float
    radius_mm: float = 0.5


@dataclass(frozen=True, slots=True)
class Lettering:
    """Text at a place on paper [mm]; middle: centred on it, turned: running upward."""

    x: float
    y: float
    text: str
    title: bool = False
    middle: bool = False
    turned: bool = False
    small: bool = False

    @property
    def size_mm(self) -> float:
        """The height of its letters."""
        return _TEXT_MM["title" if self.title else "small" if self.small else ""]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing with its size [mm of paper]."""

    title: str
    wide_mm: float
    high_mm: float
    marks: tuple[Mark | Dot | Lettering, ...]


@dataclass
class Paper:
    """Marks on paper; `scale` is mm of the real thing to one mm of paper. inch: dimensions are written in inches."""

    scale: float
    inch: bool = False
    marks: list[Mark | Dot | Lettering] = field(default_factory=list)

    def box(self, kind: str, x: float, y: float, wide: float, high: float, name: str = "") -> None:
        """A rectangle: x, y on paper [mm], wide and high of the real thing [mm]."""
        self.shape(kind, x, y, ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), name)

    def shape(self, kind: str, x: float, y: float, ring: Sequence[tuple[float, float]], name: str = "") -> None:
        """A closed outline of the real thing [mm], its corner at x, y on paper."""
        points = tuple((x + right / self.scale, y + down / self.scale) for right, down in ring)
        self.marks.append(Mark(kind, points, True, name))

    def line(self, kind: str, *points: tuple[float, float]) -> None:
        """A line through points on paper."""
        self.marks.append(Mark(kind, points))

    def dot(self, kind: str, x: float, y: float) -> None:
        """A dot on paper."""
        self.marks.append(Dot(kind, x, y))

    def words(self, x: float, y: float, text: str, title: bool = False) -> None:
        """Text that begins at a place on paper."""
        self.marks.append(Lettering(x, y, text, title))

    def letter(self, x: float, y: float, text: str) -> None:
        """A letter in the middle of a place on paper."""
        if text:
            self.marks.append(Lettering(x, y + 0.36 * _TEXT_MM["small"], text, middle=True, small=True))

    def across(self, x: float, y: float, *real: float) -> None:
        """Dimensions to the right from x, y on paper, one after the other [mm of the real thing]."""
        for start, end, mm, lift in self._chain(x, real):
            for at in (start, end):
                self.line("dim", (at, y - 1.5), (at, y + 1.5))
            self.line("dim", (start, y), (end, y))
            self._number(0.5 * (start + end), y - 0.8 + (4.0 if lift else 0.0), mm, False)

    def down(self, x: float, y: float, *real: float) -> None:
        """Dimensions downward from x, y on paper, one after the other [mm of the real thing]."""
        for start, end, mm, lift in self._chain(y, real):
            for at in (start, end):
                self.line("dim", (x - 1.5, at), (x + 1.5, at))
            self.line("dim", (x, start), (x, end))
            self._number(x - 0.8 + (4.0 if lift else 0.0), 0.5 * (start + end), mm, True)

    def done(self, title: str, wide_mm: float, high_mm: float) -> Drawing:
        """The finished drawing."""
        return Drawing(title, wide_mm, high_mm, tuple(self.marks))

    def _chain(self, at: float, real: Sequence[float]) -> list[tuple[float, float, float, bool]]:
        """Where each dimension starts and ends on paper, and whether its number must stand on the line's other side."""
        found, lifted = [], False
        for mm in real:
            if mm < 0.5:
                continue
            end = at + mm / self.scale
            lifted = end - at < _LETTER_MM * len(self._written(mm)) and not lifted
            found.append((at, end, mm, lifted))
            at = end
        return found

    def _number(self, x: float, y: float, mm: float, turned: bool) -> None:
        self.marks.append(Lettering(x, y, self._written(mm), middle=True, turned=turned))

    def _written(self, mm: float) -> str:
        return f"{mm / 25.4:.2f}" if self.inch else f"{mm:.0f}"


def svg(drawing: Drawing) -> str:
    """The drawing as one SVG document, sized in mm so that it prints to the scale it names."""
    looks = "".join(f".{kind}{{fill:{fill or 'none'};stroke:{line or 'none'}}}" for kind, (fill, line) in LOOKS.items())
    wide, high = f"{drawing.wide_mm:.1f}", f"{drawing.high_mm:.1f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}">'
        f"<title>{escape(drawing.title)}</title><style>text{{font-family:sans-serif}}{looks}"
        "polygon,polyline{stroke-width:.25px;stroke-linejoin:round}.level{stroke-dasharray:3 1.5}</style>"
        + "".join(_svg_mark(mark) for mark in drawing.marks)
        + "</svg>\n"
    )


def _svg_mark(mark: Mark | Dot | Lettering) -> str:
    if isinstance(mark, Dot):
        return f'<circle class="{mark.kind}" cx="{mark.x:.3f}" cy="{mark.y:.3f}" r="{mark.radius_mm:g}"/>'
    if isinstance(mark, Lettering):
        turned = f' transform="rotate(-90 {mark.x:.3f} {mark.y:.3f})"' if mark.turned else ""
        how = f'font-size="{mark.size_mm}"' + (' font-weight="bold"' if mark.title else "")
        how += ' text-anchor="middle"' if mark.middle else ""
        return f'<text class="words" x="{mark.x:.3f}" y="{mark.y:.3f}" {how}{turned}>{escape(mark.text)}</text>'
    points = " ".join(f"{x:.3f},{y:.3f}" for x, y in mark.points)
    name = f"<title>{escape(mark.name)}</title>" if mark.name else ""
    shape = "polygon" if mark.closed else "polyline"
    return f'<{shape} class="{mark.kind}" points="{points}">{name}</{shape}>'
