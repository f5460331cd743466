"""A part's skin as a PNG picture, drawn without a graphics card: coloured by state, named, with a key."""

import io
import math
from typing import Any

import numpy as np
from PIL import Image, ImageColor, ImageDraw, ImageFont

from areacalc.shape.kinds import Floats
from areacalc.surface.picture import Picture
from areacalc.surface.picture_loops import nearest
from areacalc.surface.skin import SurfaceMap, Vector

from .palette import STATE_STYLES

WIDE, TALL = 1200, 900
_FINE = 2  # drawn so many times larger, then brought down: edges without steps
_KEY = 56
_CORNER, _ARROW = (80, TALL - 70), 48  # where the axes stand, and how long each is
_PAPER, _INK, _METAL, _UP = (250, 248, 243), (31, 42, 46), (154, 163, 168), (179, 84, 30)
_TURN = (0.62, 0.38)  # to the side and from above [rad], as the page shows it first


def png(
    skin: SurfaceMap, drawn: Picture, titles: tuple[str, str], cut: int | None = None, up: Vector | None = None
) -> bytes:  # fmt: skip
    """The picture as PNG, two titles over it, with the axes of the file, and up in the bath where that is told.

    With a cut, the half beyond the plane across that axis (0, 1, 2) is not drawn.
    """
    turn, spots, pixels = _placed(drawn)
    keep = _kept(drawn, cut, turn, pixels)
    colour, toward, shown = _painted(drawn, spots, keep, turn)
    _draw_lines(colour, toward, pixels(drawn.lines.reshape(-1, 3)).reshape(-1, 2, 3), keep)
    image = Image.fromarray(colour.astype(np.uint8)).resize((WIDE, TALL), Image.Resampling.BOX)
    page = Image.new("RGB", (WIDE, TALL + _KEY), _PAPER)
    page.paste(image, (0, 0))
    pen = ImageDraw.Draw(page)
    at = pixels(np.asarray(drawn.labels))
    kept = at @ keep[:3] + keep[3] >= -1e-6 * WIDE
    names = [
        f.name + (", behind" if _is_behind(spot, toward) else "") for f, spot in zip(skin.features, at, strict=True)
    ]
    _write_names(pen, names, at / _FINE * [1, 1, 0] + [0, 0, 1], kept)
    _write_axes(pen, turn, up)
    seen = {g.state for g in drawn.groups if ((shown >= g.start) & (shown < g.start + g.count)).any()}
    _write_key(pen, titles, {g.state: g.state in seen for g in drawn.groups})
    out = io.BytesIO()
    page.save(out, "PNG")
    return out.getvalue()


def _placed(drawn: Picture) -> tuple[Floats, Floats, Any]:
    """How it is turned (rows: right, up, toward the eye), the points in pixels, and the way to place more."""
    points = drawn.points[np.unique(drawn.corners)]
    low, high = points.min(axis=0), points.max(axis=0)
    middle, size = 0.5 * (low + high), high - low
    stand = _about(0, math.pi / 2) if size[2] >= max(size[0], size[1]) else np.eye(3)
    turn = (stand @ _about(1, -_TURN[0]) @ _about(0, -_TURN[1])).T
    flat = (points - middle) @ turn.T
    reach = np.abs(flat[:, :2]).max(axis=0)
    width, height = WIDE * _FINE, TALL * _FINE
    scale = 0.43 * min(width / max(reach[0], 1e-12), height / max(reach[1], 1e-12))

    def pixels(more: Floats) -> Floats:
        seen = (more - middle) @ turn.T * scale
        made: Floats = np.stack([width / 2 + seen[:, 0], height / 2 - seen[:, 1], seen[:, 2]], axis=1)
        return made

    return turn, pixels(drawn.points), pixels


def _about(axis: int, angle: float) -> Floats:
    one, two = (axis + 1) % 3, (axis + 2) % 3
    turn = np.eye(3)
    turn[one, one] = turn[two, two] = math.cos(angle)
    turn[two, one], turn[one, two] = math.sin(angle), -math.sin(angle)
    return turn


def _kept(drawn: Picture, cut: int | None, turn: Floats, pixels: Any) -> Floats:
    if cut is None:
        return np.array([0.0, 0.0, 0.0, 1.0])
    points = drawn.points[np.unique(drawn.corners)]
    low, high = points[:, cut].min(), points[:, cut].max()
    spot = points.mean(axis=0)
    spot[cut] = low + 0.5 * (high - low)
    across = turn[:, cut] * [1.0, -1.0, 1.0]
    side = -1.0 if across[2] >= 0.0 else 1.0  # what lies toward the eye is taken away
    normal = side * across
    keep: Floats = np.append(normal, -float(normal @ pixels(spot[None])[0]))
    return keep


def _painted(drawn: Picture, spots: Floats, keep: Floats, turn: Floats) -> tuple[Floats, Floats, Any]:
    """The colours, how near the skin lies at each spot, and the numbers of the triangles seen."""
    corners = np.ascontiguousarray(drawn.corners, np.int32)
    seen, toward = nearest(np.ascontiguousarray(spots), corners, WIDE * _FINE, TALL * _FINE, keep)
    hit = seen >= 0
    paint = np.zeros((len(corners), 3))
    for group in drawn.groups:
        paint[group.start : group.start + group.count] = ImageColor.getrgb(STATE_STYLES[group.state].colour)
    corner = drawn.points[corners[seen[hit]]]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]) @ turn.T
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    lamp = np.array([0.3, 0.6, 0.74]) / np.linalg.norm([0.3, 0.6, 0.74])
    light = 0.5 + 0.58 * np.clip(normal @ lamp, 0.0, 1.0)
    colour = np.empty((*seen.shape, 3))
    colour[:] = _PAPER
    shaded = np.clip(paint[seen[hit]] * light[:, None], 0.0, 255.0)
    inside = normal[:, 2] < 0.0
    shaded[inside] = _METAL if keep[:3].any() else np.clip(paint[seen[hit]][inside] * 0.62, 0.0, 255.0)
    colour[hit] = shaded
    return colour, toward, np.unique(seen[hit])


def _draw_lines(colour: Floats, toward: Floats, lines: Floats, keep: Floats) -> None:
    """Ink along the lines, where nothing stands before them."""
    if not len(lines):
        return
    long = np.linalg.norm(lines[:, 1, :2] - lines[:, 0, :2], axis=1)
    count = np.ceil(long).astype(int) + 1
    line = np.repeat(np.arange(len(lines)), count)
    share = (np.arange(len(line)) - np.repeat(np.cumsum(count) - count, count)) / np.maximum(count - 1, 1)[line]
    spots = lines[line, 0] + share[:, None] * (lines[line, 1] - lines[line, 0])
    spots = spots[spots @ keep[:3] + keep[3] >= -1e-9 * WIDE]
    column, row = np.floor(spots[:, 0]).astype(int), np.floor(spots[:, 1]).astype(int)
    height, width = toward.shape
    for dx, dy in ((0, 0), (1, 0), (0, 1)):
        x, y = column + dx, row + dy
        inside = (x >= 0) & (y >= 0) & (x < width) & (y < height)
        x, y, z = x[inside], y[inside], spots[inside, 2]
        bare = z >= toward[y, x] - 0.004 * width
        colour[y[bare], x[bare]] = _INK


def _write_names(pen: ImageDraw.ImageDraw, names: list[str], at: Floats, kept: Any) -> None:
    font = ImageFont.load_default(17)
    taken: list[tuple[float, float, float, float]] = []
    for name, (x, y, _), shown in zip(names, at, kept, strict=True):
        left, top, right, bottom = pen.textbbox((x, y), name, font=font, anchor="mm")
        box = (left - 6, top - 4, right + 6, bottom + 4)
        clash = any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in taken)
        if clash or not shown or box[0] < 0 or box[1] < 0 or box[2] > WIDE or box[3] > TALL:
            continue
        taken.append(box)
        pen.rectangle(box, fill=(255, 254, 251), outline=(120, 128, 130))
        pen.text((x, y), name, fill=_INK, font=font, anchor="mm")


def _is_behind(spot: Floats, toward: Floats) -> bool:
    """Whether metal stands before a place, so that a name there seems to point at that metal."""
    height, width = toward.shape
    column, row = (int(np.clip(x, 0, most - 1)) for x, most in zip(spot[:2], (width, height), strict=True))
    return bool(spot[2] < toward[row, column] - 0.02 * width)


def _write_axes(pen: ImageDraw.ImageDraw, turn: Floats, up: Vector | None) -> None:
    """The axes of the file as they point in the picture, at its lower left, and the way up in the bath."""
    font, (x, y) = ImageFont.load_default(18), _CORNER
    ways = {**dict(zip("xyz", turn.T, strict=True)), **({"up": turn @ np.asarray(up)} if up is not None else {})}
    for name, (right, above, _) in ways.items():
        paint = _UP if name == "up" else _INK
        pen.line((x, y, x + _ARROW * right, y - _ARROW * above), fill=paint, width=4 if name == "up" else 2)
        far = 1.3 * _ARROW if name == "up" else 1.15 * _ARROW  # beside an axis that points the same way
        pen.text((x + far * right, y - far * above), name, fill=paint, font=font, anchor="mm")


def _write_key(pen: ImageDraw.ImageDraw, titles: tuple[str, str], states: dict[Any, bool]) -> None:
    """The titles and the key of the states; one that lies on the far side alone is told as that."""
    x = 16.0
    font, large = ImageFont.load_default(16), ImageFont.load_default(20)
    pen.text((16, 14), titles[0], fill=_INK, font=large)
    pen.text((16, 40), titles[1], fill=_INK, font=font)
    for state, style in STATE_STYLES.items():
        if state not in states:
            continue
        pen.rectangle((x, TALL + 20, x + 16, TALL + 36), fill=style.colour, outline=_INK)
        words = style.words + ("" if states[state] else ", on the far side")
        pen.text((x + 24, TALL + 28), words, fill=_INK, font=font, anchor="lm")
        x += 24 + pen.textlength(words, font=font) + 26
