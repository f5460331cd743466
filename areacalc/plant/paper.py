"""A drawing on paper: shapes to scale with dimensions beside them, in mm of paper; written as SVG."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

_LETTER = 0.58  # how wide a letter is, of its height
_CLEAR_MM, _LEAD_MM = 0.4, 1.0  # round a number; what is further from its line is led to
_TEXT_MM = {"title": 4.6, "": 3.2, "small": 2.4}
LOOKS: dict[str, tuple[str | None, str | None]] = {
    "tub": ("#f4efe6", "#8a7a5c"), "wall": ("#dfe3e0", "#59615c"), "air": ("#ffffff", None), "acid": ("#dcebe7", None),
    "cathode": ("#9aa0a6", "#4b5054"), "part": ("#e8b58a", "#8c5426"), "behind": ("#f0d6bf", "#b08a68"),
    "bar": ("#c78a52", "#6d4520"), "wire": (None, "#6d4520"), "contact": ("#b3261e", None), "level": (None, "#2d7d6f"),
    "mouth": ("#1a56c4", None), "mouth-line": (None, "#1a56c4"), "dim": (None, "#2b2b2b"), "words": ("#2b2b2b", None),
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
    numbers: list[tuple[float, float, str, bool]] = field(default_factory=list)

    def box(self, kind: str, x: float, y: float, wide: float, high: float, name: str = "") -> None:
        """A rectangle: x, y on paper [mm], wide and high of the real thing [mm]."""
        self.shape(kind, x, y, ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), name)

    def shape(self, kind: str, x: float, y: float, ring: Sequence[tuple[float, float]], name: str = "") -> None:
        """A closed outline of the real thing [mm], its corner at x, y on paper."""
        points = tuple((x + right / self.scale, y + down / self.scale) for right, down in ring)
        self.marks.append(Mark(kind, points, True, name))

    def line(self, kind: str, *points: tuple[float, float]) -> None:
        self.marks.append(Mark(kind, points))

    def dot(self, kind: str, x: float, y: float, radius_mm: float = 0.5) -> None:
        self.marks.append(Dot(kind, x, y, radius_mm))

    def words(self, x: float, y: float, text: str, title: bool = False) -> None:
        self.marks.append(Lettering(x, y, text, title))

    def small(self, x: float, y: float, text: str) -> None:
        self.marks.append(Lettering(x, y, text, small=True))

    def letter(self, x: float, y: float, text: str) -> None:
        if text:
            self.marks.append(Lettering(x, y + 0.36 * _TEXT_MM["small"], text, middle=True, small=True))

    def across(self, x: float, y: float, *real: float) -> None:
        """Dimensions to the right from x, y on paper, one after the other [mm of the real thing]."""
        self._chain((x, y), real, turned=False)

    def down(self, x: float, y: float, *real: float) -> None:
        """Dimensions downward from x, y on paper, one after the other [mm of the real thing]."""
        self._chain((x, y), real, turned=True)

    def _chain(self, at: _Point, real: Sequence[float], turned: bool) -> None:
        """Lines with a tick at either end; their numbers are set when all else is drawn."""
        (x, y), along = at, (0.0, 1.0) if turned else (1.0, 0.0)
        for mm in real:
            if mm < 0.5:
                continue
            end = (x + along[0] * mm / self.scale, y + along[1] * mm / self.scale)
            for point in ((x, y), end):
                tick = (1.5 * along[1], 1.5 * along[0])
                self.line("dim", (point[0] - tick[0], point[1] - tick[1]), (point[0] + tick[0], point[1] + tick[1]))
            self.line("dim", (x, y), end)
            text = f"{mm / 25.4:.2f}" if self.inch else f"{mm:.0f}"
            self.numbers.append((0.5 * (x + end[0]), 0.5 * (y + end[1]), text, turned))
            x, y = end

    def done(self, title: str, wide_mm: float, high_mm: float) -> Drawing:
        """The finished drawing, each dimension's number on its line where there is room, else led to from it."""
        taken = [_extent(mark) for mark in self.marks if not isinstance(mark, Dot)]
        for x, y, text, turned in self.numbers:
            for off, aside in _BESIDE:
                number = Lettering(x + (off if turned else aside), y + (aside if turned else off), text, middle=True,
                                   turned=turned)  # fmt: skip
                left, top, right, bottom = box = _extent(number)
                inside = min(left, top) >= 0.0 and right <= wide_mm and bottom <= high_mm
                if inside and not any(_meet(box, other) for other in taken):
                    break
            near = (min(max(x, left - _CLEAR_MM), right + _CLEAR_MM), min(max(y, top - _CLEAR_MM), bottom + _CLEAR_MM))
            if math.dist((x, y), near) > _LEAD_MM:
                self.line("dim", (x, y), near)
            self.marks.append(number)
            taken.append(box)
        return Drawing(title, wide_mm, high_mm, tuple(self.marks))


_Point = tuple[float, float]
_Extent = tuple[float, float, float, float]
_BESIDE = [(-0.8, 0.0), (3.2, 0.0), *sorted(
    ((off, aside) for off in range(-24, 27) for aside in range(-24, 25)), key=lambda at: abs(at[0] - 1.2) + abs(at[1]),
)]  # fmt: skip
"""Places of a number off the middle of its line and along it [mm], the nearest first."""


def _extent(mark: Mark | Lettering) -> _Extent:
    """What a mark takes on paper: left, top, right, bottom."""
    if isinstance(mark, Mark):
        return (min(x for x, _ in mark.points), min(y for _, y in mark.points), max(x for x, _ in mark.points),
                max(y for _, y in mark.points))  # fmt: skip
    long, high = _LETTER * mark.size_mm * len(mark.text), 0.75 * mark.size_mm
    start = 0.5 * long if mark.middle else 0.0
    if mark.turned:
        return mark.x - high, mark.y - long + start, mark.x, mark.y + start
    return mark.x - start, mark.y - high, mark.x - start + long, mark.y


def _meet(one: _Extent, other: _Extent) -> bool:
    gap = _CLEAR_MM
    return (one[0] < other[2] + gap and other[0] < one[2] + gap and one[1] < other[3] + gap
            and other[1] < one[3] + gap)  # fmt: skip


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
