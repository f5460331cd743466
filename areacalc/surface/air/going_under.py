"""A part going under, in pictures: an upright cut through it, and the liquid and the air at each depth."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
import shapely

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.air.hanging import Hanging
from areacalc.surface.air.trapped_air import Trapped
from areacalc.surface.features.fit import square_to
from areacalc.surface.skin import SurfaceMap

_OFF = 1e-7  # of the size: the cut keeps this far from any corner that lies on it
_NEAR = 1e-6
_MARGIN = 0.15
_STEPS = (0.35, 0.7)  # of the part's height, for a strip of few pictures


class Moment(StrEnum):
    """Where the part is when a picture is taken."""

    ABOVE = "above the liquid"
    GOING_UNDER = "going under"
    UNDER = "under"
    AT_LINE = "at its line"
    COMING_UP = "coming up"
    LIFTED_OUT = "lifted out"


@dataclass(frozen=True, eq=False)
class Frame:
    """One picture: its moment, and polygons (shapely, x to the right and y up, mm) of liquid and of trapped air."""

    moment: Moment
    liquid: Any
    air: Any


@dataclass(frozen=True, eq=False)
class Strip:
    """metal: the cut through the part; frames from above the bath to lifted out; box (left, bottom, right, top) mm."""

    metal: Any
    frames: tuple[Frame, ...]
    box: tuple[float, float, float, float]


def strip(hung: Hanging, named: SurfaceMap | None = None, steps: int = 0) -> Strip:
    """The part going down in four steps and lifted out; with `steps`, in so many steps down and as many up again."""
    skin, up = hung.skin, np.asarray(hung.up)
    right, through = _plane(hung, named)
    flat, row = _cut(skin.points, skin.corners, right, up, np.cross(up, right), through, _OFF * skin.size_mm)
    metal = _polygons(flat, row)
    points = np.stack([skin.points @ right, skin.points @ up], axis=1)[np.unique(skin.corners)]
    low, high = points.min(axis=0), points.max(axis=0)
    pad = _MARGIN * float((high - low).max())
    box = (float(low[0]) - pad, float(low[1]) - pad, float(high[0]) + pad, float(high[1]) + 2 * pad)
    room = shapely.box(*box).difference(metal)
    air = _rooms(room, flat, hung.air, row, box, below=False)
    cups = _rooms(room, flat, hung.liquid, row, box, below=True)
    first, last = float(low[1]) - 0.5 * pad, float(high[1]) + pad
    last = last if hung.line_mm is None else hung.line_mm
    between = [float(low[1]) + share * float(high[1] - low[1]) for share in _STEPS]
    levels = [first, *between, last] if steps == 0 else np.linspace(first, last, steps).tolist()
    deepest = Moment.UNDER if hung.line_mm is None else Moment.AT_LINE
    moments = [Moment.ABOVE, *[Moment.GOING_UNDER] * (len(levels) - 2), deepest]
    frames = [_frame(moment, level, room, air, cups, box) for moment, level in zip(moments, levels, strict=True)]
    full = [(place, brim) for place, brim in cups if brim < last]
    if steps:
        frames += [_frame(Moment.COMING_UP, level, room, air, full, box) for level in levels[-2:0:-1]]
    held = shapely.union_all([place for place, _ in full])
    bath = room.intersection(shapely.box(box[0], box[1], box[2], levels[0]))
    frames.append(Frame(Moment.LIFTED_OUT, shapely.union_all([held, bath]), shapely.Polygon()))
    return Strip(metal, tuple(frames), box)


def _frame(moment: Moment, level: float, room: Any, air: list[tuple[Any, float]], cups: list[tuple[Any, float]],
           box: tuple[float, float, float, float]) -> Frame:  # fmt: skip
    """Cups whose brim stands above the level are still empty as the part goes down, and full as it comes up."""
    liquid = room.intersection(shapely.box(box[0], box[1], box[2], level))
    caught = shapely.union_all([place for place, brim in air if brim < level])
    above = shapely.union_all([place for place, brim in cups if brim >= level])
    if moment is Moment.COMING_UP:
        return Frame(moment, shapely.union_all([liquid, above]).difference(caught), caught)
    return Frame(moment, liquid.difference(caught).difference(above), caught)


def _plane(hung: Hanging, named: SurfaceMap | None) -> tuple[Floats, Floats]:
    """The direction to the right and a point of the cut: through the largest pocket or bore, leaning in the picture."""
    up, skin = np.asarray(hung.up), hung.skin
    right = np.zeros(3)
    bores = [f for f in named.features if f.axis is not None and f.mouths] if named is not None else []
    first = max(bores, key=lambda f: f.area_mm2.value, default=None)
    through = skin.points[np.unique(skin.corners)].mean(axis=0)
    if first is not None:
        axis = np.asarray(first.axis)
        right, through = axis - (axis @ up) * up, np.asarray(first.mouths[0])
    pockets = hung.air.pockets or hung.liquid.pockets
    if pockets:
        through = np.asarray(pockets[0].middle)
    if float(np.linalg.norm(right)) < 1e-3:
        right = max(square_to(up), key=lambda each: float(np.ptp(skin.points @ each)))
    return right / np.linalg.norm(right), through


def _cut(points: Floats, corners: Ints, right: Floats, up: Floats, normal: Floats, through: Floats,
         off_mm: float) -> tuple[Floats, Ints]:  # fmt: skip
    """The segments (s, 2, 2) in which the plane cuts the triangles, metal on one side, and the triangle of each."""
    side = (points - through) @ normal
    side[np.abs(side) < off_mm] = off_mm
    over = side[corners] > 0.0
    rows = np.nonzero(over.any(axis=1) & ~over.all(axis=1))[0].astype(np.int32)
    ends = np.empty((len(rows), 2, 2))
    flat = np.stack([points @ right, points @ up], axis=1)
    for j in range(3):
        a, b = corners[rows, j], corners[rows, (j + 1) % 3]
        # the same two corners in the same order for both triangles of an edge: the same point to the last bit
        first, last = np.minimum(a, b), np.maximum(a, b)
        crossed = (side[a] > 0.0) != (side[b] > 0.0)
        f, g = first[crossed], last[crossed]
        share = (side[f] / (side[f] - side[g]))[:, None]
        ends[crossed, np.where(side[a[crossed]] > 0.0, 0, 1)] = flat[f] + share * (flat[g] - flat[f])
    return ends, rows


def _polygons(segments: Floats, rows: Ints) -> Any:
    """The metal: every loop of segments, those inside others cut out."""
    following = {(float(a[0]), float(a[1])): (float(b[0]), float(b[1])) for a, b in segments}
    metal = shapely.Polygon()
    while following:
        start = next(iter(following))
        loop, at = [start], following.pop(start)
        while at != start and at in following:
            loop.append(at)
            at = following.pop(at)
        if len(loop) > 2:
            metal = metal.symmetric_difference(shapely.make_valid(shapely.Polygon(loop)))
    return metal


def _rooms(room: Any, segments: Floats, found: Trapped, owner: Ints, box: tuple[float, float, float, float],
           below: bool) -> list[tuple[Any, float]]:  # fmt: skip
    """For each pocket that the cut meets, the room it fills there and the height of its level."""
    rooms = []
    size = max(box[2] - box[0], box[3] - box[1])
    for number, pocket in enumerate(found.pockets):
        level = -pocket.level_mm if below else pocket.level_mm
        half = (box[0], box[1], box[2], level) if below else (box[0], level, box[2], box[3])
        mine = segments[found.pocket_of[owner] == number]
        wall = shapely.intersection(shapely.multilinestrings([shapely.linestrings(mine)]) if len(mine) else
                                    shapely.MultiLineString(), shapely.box(*half))  # fmt: skip
        if shapely.is_empty(wall).all():
            continue
        space = room.intersection(shapely.box(*half))
        near = shapely.buffer(wall, _NEAR * size)
        parts = [part for part in shapely.get_parts(space) if part.intersects(near).any()]
        parts = [part for part in parts if part.area > 0.0 and not _outside(part, box)]
        if parts:
            rooms.append((shapely.union_all(parts), level))
    return rooms


def _outside(part: Any, box: tuple[float, float, float, float]) -> bool:
    """Whether a room reaches the edge of the picture: then it only touches the pocket's brim."""
    left, bottom, right, top = part.bounds
    return bool(left <= box[0] or right >= box[2] or bottom <= box[1] or top >= box[3])
