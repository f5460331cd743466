"""The strip of a part going under, as SVG, PNG or a page of its own."""

from __future__ import annotations

import html
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from areacalc.report.html import filled

from .write import write

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from areacalc.surface.air.going_under import Strip

FORMS = (".svg", ".png", ".html")
_WIDTH, _GAP, _WORDS = 190.0, 14.0, 22.0  # of one picture, between two, and under it [px]
_STEPS, _SECONDS = 24, 0.2  # down, and as many up; how long each is seen
METAL, LIQUID, AIR, EDGE = "#6f757d", "#a9d3e6", "#fff3d6", "#b3541e"


def write_strip(path: Path, draw: Callable[[int], Strip], title: str, force: bool) -> None:
    """Write the strip in the form that the name asks for, one of FORMS. Raises BadInput.

    draw makes a strip of so many steps down and up, and of few where it is 0.
    """
    match path.suffix.lower():
        case ".svg":
            write(path, svg(draw(0), title), force)
        case ".html":
            write(path, page(draw(0), draw(_STEPS), title), force)
        case _:
            write(path, png(draw(0)), force)


def svg(made: Strip, title: str) -> str:
    """The strip as SVG: metal, liquid, and trapped air with a line round it."""
    width, height = _size(made)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" role="img">',
        f"<title>{html.escape(title)}</title>",
        f'<rect width="{width:.0f}" height="{height:.0f}" fill="#ffffff"/>',
    ]
    for index in range(len(made.frames)):
        parts += _frame(made, index, index, height)
    return "\n".join([*parts, "</svg>\n"])


def _frame(made: Strip, index: int, place: int, height: float) -> list[str]:
    """One picture of the strip and the words under it, at a place counted from the left."""
    frame, parts = made.frames[index], []
    for shape, style in ((frame.liquid, f'fill="{LIQUID}"'), (made.metal, f'fill="{METAL}"'),
                         (frame.air, f'fill="{AIR}" stroke="{EDGE}" stroke-width="1.2"')):  # fmt: skip
        path = " ".join(
            "M" + " L".join(f"{x:.2f},{y:.2f}" for x, y in ring) + "Z"
            for outer, holes in _rings(shape, made, place)
            for ring in (outer, *holes)
        )
        if path:
            parts.append(f'<path d="{path}" {style} fill-rule="evenodd"/>')
    middle = _GAP + place * (_WIDTH + _GAP) + _WIDTH / 2
    parts.append(
        f'<text x="{middle:.1f}" y="{height - 7:.1f}" text-anchor="middle" font-family="sans-serif" '
        f'font-size="12">{html.escape(frame.moment.value)}</text>'
    )
    return parts


def page(made: Strip, fine: Strip, title: str) -> str:
    """A page that needs nothing else: the part moving down and up, and the strip.

    The motion can be stopped, and whoever asks their system for less motion sees the strip alone.
    """
    template = (files(__package__) / "hang_template.html").read_text("utf-8")
    return filled(template, title=title, count=len(fine.frames), seconds=_SECONDS, moving=_moving(fine),
                  strip=svg(made, title))  # fmt: skip


def _moving(made: Strip) -> str:
    _, height = _size(made)
    width = _WIDTH + 2 * _GAP
    frames = [
        f'<g class="f" style="--i:{index}">' + "".join(_frame(made, index, 0, height)) + "</g>"
        for index in range(len(made.frames))
    ]
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" aria-hidden="true">'
    return head + "\n".join(frames) + "</svg>"


def png(made: Strip) -> bytes:
    """The strip as PNG, twice as large as the SVG."""
    import io

    from PIL import Image, ImageDraw

    scale = 2.0
    width, height = _size(made)
    size = (round(width * scale), round(height * scale))
    picture = Image.new("RGB", size, "#ffffff")
    for index, frame in enumerate(made.frames):
        for shape, colour in ((frame.liquid, LIQUID), (made.metal, METAL), (frame.air, AIR)):
            for outer, holes in _rings(shape, made, index):
                mask = Image.new("1", size, 0)
                draw = ImageDraw.Draw(mask)
                draw.polygon([(x * scale, y * scale) for x, y in outer], fill=1)
                for hole in holes:
                    draw.polygon([(x * scale, y * scale) for x, y in hole], fill=0)
                picture.paste(colour, mask=mask)
        draw = ImageDraw.Draw(picture)
        for outer, _ in _rings(frame.air, made, index):
            draw.line([(x * scale, y * scale) for x, y in [*outer, outer[0]]], fill=EDGE, width=2)
        place = ((_GAP + index * (_WIDTH + _GAP) + _WIDTH / 2) * scale, (height - 14) * scale)
        draw.text(place, frame.moment.value, fill="#000000", anchor="mm", font_size=12 * scale)
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def _size(made: Strip) -> tuple[float, float]:
    left, bottom, right, top = made.box
    count = len(made.frames)
    return _GAP + count * (_WIDTH + _GAP), _WIDTH * (top - bottom) / (right - left) + 2 * _GAP + _WORDS


def _rings(
    shape: Any, made: Strip, index: int
) -> Iterator[tuple[list[tuple[float, float]], list[list[tuple[float, float]]]]]:
    """The outer line and the holes of every polygon of a shape, in pixels of one picture of the strip."""
    import shapely

    left, _, right, top = made.box
    scale = _WIDTH / (right - left)
    start = _GAP + index * (_WIDTH + _GAP)

    def placed(ring: Any) -> list[tuple[float, float]]:
        return [(start + (x - left) * scale, _GAP + (top - y) * scale) for x, y in ring.coords]

    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and not part.is_empty:
            yield placed(part.exterior), [placed(ring) for ring in part.interiors]
