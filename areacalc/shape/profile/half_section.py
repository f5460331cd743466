"""The half section of a turned part drawn to scale with its sizes: SVG, PNG, and plain text for a terminal."""

import io
import itertools
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from areacalc.shape.profile.profile import Profile, Segment, flattened
from areacalc.shape.profile.thread import Thread

_OUTSIDE, _BORE, _PLAIN, _METAL = "#1f4e79", "#b35900", "#555555", "#dfe7ee"
_WIDE, _TALL, _MARGIN = 900.0, 360.0, 70.0
Points = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A polyline in picture points."""

    points: Points
    ink: str
    width: float = 1.0
    dashed: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True)
class DrawnText:
    """A text in picture points; anchor is start or middle."""

    x: float
    y: float
    text: str
    ink: str = "#222222"
    size: int = 12
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class HalfSection:
    """A half section laid out: the metal's outline, lines and words, in picture points with y downward."""

    width: float
    height: float
    metal: Points
    lines: tuple[DrawnLine, ...]
    words: tuple[DrawnText, ...]
    title: str


def layout(profile: Profile, inches: bool = False) -> HalfSection:
    """The profile laid out to scale: positions under the axis, diameters at every straight length that has room."""
    left, right = profile.span_mm
    tall = profile.largest_radius_mm
    scale = min((_WIDE - 2 * _MARGIN) / (right - left), _TALL / tall)
    base = tall * scale + _MARGIN + 40

    def place(spots: Any) -> Points:
        return [(_MARGIN + (float(p) - left) * scale, base - float(r) * scale) for p, r in spots]

    outlines = [place(flattened(s, 0.2 / scale)) for s in profile.segments]
    area_unit, unit_mm2 = ("in2", 645.16) if inches else ("mm2", 1.0)
    lines = [
        DrawnLine(points, _ink(s), 2.5, s.dress is not None, f"{s.name}: {s.area_mm2.value / unit_mm2:.4g} {area_unit}")
        for s, points in zip(profile.segments, outlines, strict=True)
    ]
    ends = place([(left, 0.0), (right, 0.0)])
    lines.append(DrawnLine([(ends[0][0] - 20, base), (ends[1][0] + 20, base)], _PLAIN, 1.0, True))
    unit = 25.4 if inches else 1.0
    title = f"{profile.name}, sizes in {'in' if inches else 'mm'}"
    ticks, numbers = _stations(profile, place, unit)
    words = [DrawnText(_MARGIN, 26, title, size=15, anchor="start"), *numbers, *_diameters(profile, place, unit)]
    metal = [p for points in outlines for p in points]
    return HalfSection(ends[1][0] + _MARGIN, base + 50, metal, (*lines, *ticks), tuple(words), title)


def _ink(s: Segment) -> str:
    return _BORE if "bore" in s.feature else _OUTSIDE


def _stations(profile: Profile, place: Any, unit_mm: float) -> tuple[list[DrawnLine], list[DrawnText]]:
    ticks, numbers, last = [], [], -1e9
    for mm in sorted({round(p[0], 6) for s in profile.segments for p in (s.start, s.end)}):
        x, base = place([(mm, 0.0)])[0]
        if x - last < 34:
            continue
        last = x
        ticks.append(DrawnLine([(x, base + 4), (x, base + 14)], _PLAIN))
        numbers.append(DrawnText(x, base + 28, f"{mm / unit_mm:.4g}"))
    return ticks, numbers


def _diameters(profile: Profile, place: Any, unit_mm: float) -> list[DrawnText]:
    """Diameters over straight lengths that have room, a thread's name where that alone has, and the ends of slopes."""
    base = place([(0.0, 0.0)])[0][1]
    out: list[DrawnText] = []
    for s in profile.segments:
        (x0, y0), (x1, y1) = place([s.start, s.end])
        across, inside = f"⌀{2 * s.end[1] / unit_mm:.4g}", "bore" in s.feature
        level = s.centre is None and abs(s.start[1] - s.end[1]) < 1e-9
        said = [across, s.dress.name, f"{across} {s.dress.name}"] if isinstance(s.dress, Thread) else [across]
        fits = [each for each in said if abs(x1 - x0) >= 6.5 * len(each)]
        if not fits or (inside and not level):
            continue
        below = inside and base - y0 > 22.0  # nearer to the axis a bore's diameter stands in the metal
        spot = ((x0 + x1) / 2, y0 + (15 if below else -7)) if level else (x1, y1 - 7)
        if all(abs(spot[0] - each.x) > 6.5 * len(each.text) or abs(spot[1] - each.y) > 14 for each in out):
            out.append(DrawnText(*spot, fits[-1], _ink(s)))
    return out


def svg(profile: Profile, inches: bool = False) -> str:
    drawing = layout(profile, inches)

    def spell(points: Points) -> str:
        return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)

    body = [f'<polygon points="{spell(drawing.metal)}" fill="{_METAL}"/>']
    for line in drawing.lines:
        dash = ' stroke-dasharray="7 4"' if line.dashed else ""
        title = f"<title>{escape(line.title)}</title>" if line.title else ""
        body.append(
            f'<polyline points="{spell(line.points)}" fill="none" stroke="{line.ink}" '
            f'stroke-width="{line.width}"{dash}>{title}</polyline>'
        )
    body += [
        f'<text x="{w.x:.1f}" y="{w.y:.1f}" text-anchor="{w.anchor}" fill="{w.ink}" font-size="{w.size}">'
        f"{escape(w.text)}</text>"
        for w in drawing.words
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawing.width:.0f} {drawing.height:.0f}" '
        f'width="{drawing.width:.0f}" height="{drawing.height:.0f}" font-family="sans-serif" role="img" '
        f'aria-label="half section of {escape(drawing.title)}">\n<rect width="100%" height="100%" fill="#fff"/>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )


def png(profile: Profile, inches: bool = False, magnify: int = 2) -> bytes:
    from PIL import Image, ImageDraw, ImageFont

    drawing = layout(profile, inches)
    m = magnify
    picture = Image.new("RGB", (round(drawing.width) * m, round(drawing.height) * m), "white")
    pen = ImageDraw.Draw(picture)
    pen.polygon([(x * m, y * m) for x, y in drawing.metal], fill=_METAL)
    for line in drawing.lines:
        points = [(x * m, y * m) for x, y in line.points]
        for stretch in _dashes(points, 7 * m, 4 * m) if line.dashed else [points]:
            pen.line(stretch, fill=line.ink, width=max(1, round(line.width * m)))
    for w in drawing.words:
        anchor = "ms" if w.anchor == "middle" else "ls"
        words, font = w.text.replace("⌀", "dia "), ImageFont.load_default(w.size * m)
        pen.text((w.x * m, w.y * m), words, fill=w.ink, font=font, anchor=anchor)
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def _dashes(points: Points, on: float, off: float) -> list[Points]:
    stretches = []
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        length = float(np.hypot(x1 - x0, y1 - y0))
        for start in np.arange(0.0, length, on + off):
            a, b = start / length, min(start + on, length) / length
            stretches.append([(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (a, b)])
    return stretches


def text(profile: Profile, inches: bool = False, columns: int = 76, rows: int = 18) -> str:
    """The half section in characters: # metal, blank outside and in bores, - the axis; about to scale."""
    from shapely import contains_xy
    from shapely.geometry import Polygon

    left, right = profile.span_mm
    tall = profile.largest_radius_mm
    rows = max(4, min(rows, round(columns * tall / (right - left) / 2)))  # a character is twice as high as wide
    points = np.concatenate([flattened(s, tall / 500) for s in profile.segments])  # both ends: a blind bore starts anew
    across = left + (np.arange(columns) + 0.5) * (right - left) / columns
    up = (np.arange(rows) + 0.5) * tall / rows
    filled = contains_xy(Polygon(points).buffer(0), *np.meshgrid(across, up))
    lines = ["".join("#" if cell else " " for cell in row).rstrip() for row in filled[::-1]]
    per, unit = (25.4, "in") if inches else (1.0, "mm")
    ends = f"x {left / per:.4g} {unit}", f"x {right / per:.4g} {unit}"
    told = "half section, dashes on the centre line".center(columns - len(ends[0]) - len(ends[1]))
    return "\n".join([*lines, "-" * columns, ends[0] + told + ends[1]])
