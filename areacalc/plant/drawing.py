"""A tank with its rack drawn to scale: front, side and plan, every part's outline in its place, with dimensions."""

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.digits import three
from areacalc.plant.cathode import CathodeSet
from areacalc.plant.layout import Layout, Place
from areacalc.plant.new_tank import TankDesign, Tub
from areacalc.plant.paper import Drawing, Paper
from areacalc.plant.rack import Rack
from areacalc.plant.strands import RackKind, RodKind, Strand, is_long, strands

_SCALES = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0, 200.0)
WALL_MM = 5.0  # drawn round a tank whose walls are not told
_OVER_WALL_MM = 25.0
_PAGE_MM = (180.0, 250.0)  # what A4 and Letter upright leave inside their margins
_MARGIN_MM, _TITLE_MM, _LEFT_MM, _BESIDE_MM, _UNDER_MM = 6.0, 24.0, 12.0, 27.0, 22.0
_LINE, _MOST_LINES = 84, 6  # letters in a line, lines of names
_MOST_KINDS, _MOST_MOUTHS = 3, 8
_NAMES_MM, _AXES_MM, _APART_MM = 24.0, 12.5, 1.8  # on paper: beside a part for names and for its axes, from dot to dot
_LETTER_MM = 1.9  # the least side of a part on paper that its letter goes into
Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class SeenMouth:
    """A mouth of a part seen from the front [mm]; across_mm: its width, where its bore has a wider or narrower one."""

    name: str
    x: float
    y: float
    across_mm: float | None = None

    def called(self, inch: bool) -> str:
        """Its name on paper."""
        if self.across_mm is None:
            return self.name
        return f"{self.name}, {three(self.across_mm / 25.4)} in" if inch else f"{self.name}, {three(self.across_mm)} mm"


@dataclass(frozen=True, slots=True)
class Outlines:
    """A part's outlines as it hangs [mm], from its box's corner, right and down: from the front, side and above.

    mouths: of its bores and pockets by name, from the front. ways: where the part's own x, y and z point to, right and
    down, from the front.
    """

    front: Outline
    side: Outline
    plan: Outline
    mouths: tuple[SeenMouth, ...] = ()
    ways: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Scene:
    """What is drawn: a rack in a tank whose length, width and depth are known, freeboard and walls round it [mm].

    outlines: one for each kind of part; an empty tuple draws boxes. pitch_mm: from strip to strip. hangs_by: the rack's
    rods; None draws wires.
    """

    title: str
    lines: tuple[str, ...]
    rack: Layout
    freeboard_mm: float
    wall_mm: float
    cathodes: CathodeSet | None
    pitch_mm: float = 0.0
    tub: Tub | None = None
    bar_mm: float = 0.0
    outlines: tuple[Outlines, ...] = ()
    inch: bool = False
    hangs_by: Rack | None = None

    @property
    def strands(self) -> tuple[Strand, ...]:
        return strands(self.rack, self.kind, self.freeboard_mm)

    @property
    def kind(self) -> RackKind:
        return (self.hangs_by.kind if self.hangs_by is not None else None) or RackKind.WIRES

    @property
    def letters(self) -> tuple[str, ...]:
        """What each kind of part is called in the drawing: A, B, C; nothing where there is one kind."""
        kinds = len(self.rack.parts)
        return tuple(chr(65 + n) if n < 26 else str(n + 1) for n in range(kinds)) if kinds > 1 else ("",)

    @property
    def hung(self) -> tuple[str, ...]:
        """Every kind of part by its letter, in lines that go on the paper."""
        named = (f"{letter} {part.count} x {part.name}" if part.count > 1 else f"{letter} {part.name}"
                 for letter, part in zip(self.letters, self.rack.parts, strict=True))  # fmt: skip
        return tuple(textwrap.wrap(", ".join(each.strip() for each in named), _LINE))


def tank_scene(
    design: TankDesign, title: str, lines: Sequence[str], outlines: Sequence[Outlines] = (), inch: bool = False
) -> Scene:
    """A new tank as a scene; title and lines stand over it."""
    return Scene(title, tuple(lines), design.rack, design.tank.freeboard_mm or 0.0, design.choices.wall_mm,
                 design.cathodes, design.pitch_mm, design.tub, design.bar.length_mm, tuple(outlines), inch)  # fmt: skip


def drawn(scene: Scene, page_high_mm: float = _PAGE_MM[1]) -> Drawing:
    """The three views on paper, as large as a usual scale and the height of the page [mm] let them be."""
    room, around = scene.rack.room, _around(scene)
    wide_mm = room.length_mm + room.width_mm + 3.0 * around[0]
    high_mm = room.depth_mm + scene.freeboard_mm + room.width_mm + 2.0 * around[1] + scene.wall_mm
    lines = (*scene.lines, *scene.hung[:_MOST_LINES])
    title_mm = _TITLE_MM + 4.0 * max(0, len(lines) - 2)
    free = (_PAGE_MM[0] - 2.0 * _MARGIN_MM - _LEFT_MM - _BESIDE_MM,
            page_high_mm - 2.0 * _MARGIN_MM - title_mm - 2.0 * _UNDER_MM)  # fmt: skip
    scale = next((s for s in _SCALES if wide_mm / s <= free[0] and high_mm / s <= free[1]), _SCALES[-1])
    paper = Paper(scale, scene.inch)
    unit = "inches" if scene.inch else "mm"
    paper.words(_MARGIN_MM, _MARGIN_MM, scene.title, title=True)
    for i, line in enumerate((f"Scale 1 : {scale:g} on paper; dimensions in {unit}", *lines)):
        paper.words(_MARGIN_MM, _MARGIN_MM + 5.0 + 4.0 * i, line)
    left = _MARGIN_MM + _LEFT_MM + around[0] / scale
    top = _MARGIN_MM + title_mm + 6.0
    beside = left + (room.length_mm + around[0]) / scale + _BESIDE_MM
    _front(paper, scene, left, top)
    _side(paper, scene, beside, top)
    floor = top + (scene.freeboard_mm + room.depth_mm + around[1]) / scale
    below = floor + _UNDER_MM + around[1] / scale
    _plan(paper, scene, left, below)
    wide = beside + (room.width_mm + around[0]) / scale + _MARGIN_MM
    high = below + (room.width_mm + around[1]) / scale + _UNDER_MM
    return paper.done(f"{scene.title}, to scale", max(wide, 130.0), high)


def glance(scene: Scene, wide_mm: float, high_mm: float) -> Drawing:
    """What hangs where, from the front, in a small picture [mm of paper] of the rack and the liquid round it alone."""
    rack, rim = scene.rack, 15.0
    low, high = rack.ends_mm
    out_mm = max(0.0, -min(_box_top_mm(scene, place) for place in rack.places))
    long_mm, deep_mm, above_mm = high[0] - low[0] + 2.0 * rim, high[2] + rim, max(20.0, out_mm + 12.0)
    paper = Paper(max(long_mm / wide_mm, (deep_mm + above_mm) / high_mm), scene.inch)
    level = above_mm / paper.scale
    paper.box("acid", 0.0, level, long_mm, deep_mm)
    paper.line("level", (0.0, level), (long_mm / paper.scale, level))
    paper.box("bar", 0.0, 0.0, long_mm, 10.0, "bar")
    _hang(paper, scene, (rim - low[0]) / paper.scale, level, 0.0)
    return paper.done(scene.title, long_mm / paper.scale, (deep_mm + above_mm) / paper.scale)


def closeup(scene: Scene, wide_mm: float, high_mm: float) -> Drawing | None:
    """Each of a few kinds of part as it hangs, one under another, its mouths named; high_mm: of one alone, on paper."""
    kinds = len(scene.outlines)
    if not 0 < kinds <= _MOST_KINDS:
        return None
    row_mm = high_mm if kinds == 1 else 0.7 * high_mm
    paper = Paper(1.0, scene.inch)
    for i, (seen, letter) in enumerate(zip(scene.outlines, scene.letters, strict=True)):
        left, top = _AXES_MM, 1.0 + i * row_mm
        wide, high = (max(at[k] for at in seen.front) for k in (0, 1))
        paper.scale = max(wide / (wide_mm - left - _NAMES_MM), high / (row_mm - 3.0))
        paper.letter(2.0, top + 2.0, letter)
        _axes(paper, 6.0, top + row_mm - 8.0, seen)
        paper.shape("part", left, top, seen.front)
        lowest = top + 1.0
        for x, y, name in _named(seen, paper.scale, scene.inch):
            at = left + x / paper.scale, top + y / paper.scale
            lowest = max(lowest, min(at[1], top + high / paper.scale))
            paper.dot("mouth", *at, radius_mm=0.8)
            paper.line("mouth-line", at, (left + wide / paper.scale + 1.5, lowest))
            paper.small(left + wide / paper.scale + 2.0, lowest + 0.8, name)
            lowest += 3.0
    return paper.done(f"{scene.title}, each part as it hangs", wide_mm, kinds * row_mm)


def _named(seen: Outlines, scale: float, inch: bool) -> list[tuple[float, float, str]]:
    """Where mouths are seen apart [mm], from the top down, each with the names of all that lie there."""
    spots: dict[tuple[float, float], list[SeenMouth]] = {}
    for mouth in seen.mouths:
        own = mouth.x, mouth.y
        spots.setdefault(next((at for at in spots if math.dist(at, own) < _APART_MM * scale), own), []).append(mouth)
    told = [(*at, each[0].called(inch) if len(each) == 1 else ", ".join(dict.fromkeys(mouth.name for mouth in each)))
            for at, each in list(spots.items())[:_MOST_MOUTHS]]  # fmt: skip
    return sorted(told, key=lambda each: each[1])


def _axes(paper: Paper, x: float, y: float, seen: Outlines) -> None:
    """Where the two of the part's own axes that are seen longest point to as it hangs: they stand well apart."""
    for name, (right, down) in sorted(zip("xyz", seen.ways, strict=True), key=lambda each: math.hypot(*each[1]))[1:]:
        paper.line("dim", (x, y), (x + 4.0 * right, y + 4.0 * down))
        paper.letter(x + 5.4 * right, y + 5.4 * down, name)


def _box_top_mm(scene: Scene, place: Place) -> float:
    """The top of a part under the liquid's level; below zero where it stands out."""
    outline, way = _outline(scene, place, "front"), scene.rack.ways[place.part]
    return place.z_mm + way.high_mm - max(y for _, y in outline)


def _around(scene: Scene) -> tuple[float, float]:
    """What stands round the tank's inside along and across [mm]: its walls, or the tub outside them."""
    if scene.tub is None:
        return scene.wall_mm, scene.wall_mm
    room = scene.rack.room
    return 0.5 * (scene.tub.length_mm - room.length_mm), 0.5 * (scene.tub.width_mm - room.width_mm)


def _stands_out_mm(scene: Scene, strips: CathodeSet) -> float:
    """How far a strip stands out of the liquid: what it has, up to where it hangs over the wall."""
    return min(strips.whole_length_mm - strips.immersed_mm, scene.freeboard_mm + _OVER_WALL_MM)


def _strips_at(scene: Scene) -> list[float]:
    """Where the strips of one side begin, along the tank [mm]."""
    strips = scene.cathodes
    if strips is None:
        return []
    number = (strips.count + 1) // 2
    pitch = scene.pitch_mm or scene.rack.room.length_mm / number
    first = 0.5 * (scene.rack.room.length_mm - pitch * (number - 1) - strips.width_mm)
    return [first + pitch * i for i in range(number)]


def _walls(paper: Paper, scene: Scene, x: float, y: float, inside_mm: float) -> None:
    """The tank seen from a side whose inside is so wide: walls, liquid and its level."""
    s, wall, depth, board = paper.scale, scene.wall_mm, scene.rack.room.depth_mm, scene.freeboard_mm
    if scene.tub is not None:
        long = inside_mm + 2.0 * (_around(scene)[0 if inside_mm == scene.rack.room.length_mm else 1])
        floor = y + (board + depth + wall) / s
        paper.box("tub", x - 0.5 * (long - inside_mm) / s, floor - scene.tub.height_mm / s, long, scene.tub.height_mm,
                  "spill tray")  # fmt: skip
    paper.box("wall", x - wall / s, y, inside_mm + 2.0 * wall, board + depth + wall, "tank wall")
    paper.box("air", x, y, inside_mm, board)
    paper.box("acid", x, y + board / s, inside_mm, depth, "bath")
    paper.line("level", (x, y + board / s), (x + inside_mm / s, y + board / s))


def _front(paper: Paper, scene: Scene, left: float, top: float) -> None:
    s, rack, strips = paper.scale, scene.rack, scene.cathodes
    room, level = rack.room, top + scene.freeboard_mm / s
    paper.words(left, top - 9.0, "Front")
    _front_shapes(paper, scene, left, top)
    low, high = rack.ends_mm
    under = top + (scene.freeboard_mm + room.depth_mm + scene.wall_mm) / s
    out = max(_around(scene)[1], scene.wall_mm) / s if scene.tub is not None else scene.wall_mm / s
    paper.across(left, under + 6.0, low[0], high[0] - low[0], room.length_mm - high[0])
    paper.across(left, under + 13.0, room.length_mm)
    paper.down(left - out - 4.0, level, room.depth_mm)
    if scene.freeboard_mm > 0.0:
        paper.down(left - out - 9.0, top, scene.freeboard_mm + room.depth_mm)
    right = left + room.length_mm / s + out
    paper.down(right + 5.0, level, low[2], high[2] - low[2], room.depth_mm - high[2])
    if strips is not None:
        paper.down(right + 13.0, level, strips.immersed_mm)


def _front_shapes(paper: Paper, scene: Scene, left: float, top: float) -> None:
    """One row of cathodes behind, the rows of parts, their wires up to the bar."""
    s, rack, strips = paper.scale, scene.rack, scene.cathodes
    room, level = rack.room, top + scene.freeboard_mm / s
    _walls(paper, scene, left, top, room.length_mm)
    if strips is not None:
        over = _stands_out_mm(scene, strips)
        for at in _strips_at(scene):
            paper.box("cathode", left + at / s, level - over / s, strips.width_mm, over + strips.immersed_mm, "cathode")
    bar_mm = scene.bar_mm or room.length_mm + 2.0 * scene.wall_mm
    bar_y = top - 12.0 / s
    paper.box("bar", left + 0.5 * (room.length_mm - bar_mm) / s, bar_y, bar_mm, 10.0, "bar")
    _hang(paper, scene, left, level, bar_y)


def _hang(paper: Paper, scene: Scene, left: float, level: float, bar_y: float) -> None:
    """The parts with their wires up to the bar, the rows behind first."""
    s, rack = paper.scale, scene.rack
    for strand in sorted(scene.strands, key=lambda each: -each.row):
        _rod(paper, scene, strand, left, level, bar_y)
    for place in sorted(rack.places, key=lambda p: -p.row):
        _part(paper, scene, place, left + place.x_mm / s, level + place.z_mm / s, "front")


def _rod(paper: Paper, scene: Scene, strand: Strand, left: float, level: float, bar_y: float) -> None:
    """One rod of the rack: a spline and its arms as thick as they are, the others as lines down to where they hold."""
    s, (x, _, z) = paper.scale, strand.points[-1]
    points = [(left + at / s, max(bar_y + 10.0 / s, level + deep / s)) for at, _, deep in strand.points]
    if strand.piece in (RodKind.SPLINE, RodKind.ARM):
        assert scene.hangs_by is not None
        thick = next(rod.diameter_mm for rod in scene.hangs_by.rods if rod.piece is strand.piece)
        (x1, y1), (x2, y2) = points[0], points[-1]
        corner = (min(x1, x2) - 0.5 * thick / s, y1 - 0.5 * thick / s)
        paper.box("bar", *corner, abs(x2 - x1) * s + thick, (y2 - y1) * s + thick, strand.piece.value)
        return
    place = scene.rack.places[max(strand.loads, key=lambda load: load[1])[0]]
    outline = _outline(scene, place, "front")
    held_mm = _held_mm(outline, scene.rack.ways[place.part].high_mm, x - place.x_mm)
    points[-1] = (left + x / s, level + (z + held_mm) / s)
    apart = 1.5 / s if strand.legs > 1 else 0.0
    for aside in {-apart, apart}:
        paper.line("wire", *((at + aside, y) for at, y in points))


def _side(paper: Paper, scene: Scene, left: float, top: float) -> None:
    """From the end: both walls of cathodes, and the rows between them."""
    s, rack, strips = paper.scale, scene.rack, scene.cathodes
    room, level = rack.room, top + scene.freeboard_mm / s
    paper.words(left, top - 9.0, "Side")
    _walls(paper, scene, left, top, room.width_mm)
    if strips is not None:
        over = _stands_out_mm(scene, strips)
        for x_mm in _faces(scene):
            paper.box(
                "cathode", left + x_mm / s, level - over / s, strips.thickness_mm, over + strips.immersed_mm, "cathode"
            )
    for strand in scene.strands:
        paper.line("wire", *((left + y / s, max(top, level + z / s)) for _, y, z in strand.points))
    for place in sorted(rack.places, key=lambda p: -p.x_mm):
        _part(paper, scene, place, left + place.y_mm / s, level + place.z_mm / s, "side")
    low, high = rack.ends_mm
    near, far = low[1] - room.behind_mm, room.width_mm - high[1] - room.behind_mm
    under = top + (scene.freeboard_mm + room.depth_mm + scene.wall_mm) / s
    paper.across(left + room.behind_mm / s, under + 6.0, near, high[1] - low[1], far)
    paper.across(left, under + 13.0, room.width_mm)


def _plan(paper: Paper, scene: Scene, left: float, top: float) -> None:
    s, rack, strips = paper.scale, scene.rack, scene.cathodes
    room, wall = rack.room, scene.wall_mm
    paper.words(left, top - _around(scene)[1] / s - 3.0, "Plan")
    if scene.tub is not None:
        aside = _around(scene)
        paper.box("tub", left - aside[0] / s, top - aside[1] / s, scene.tub.length_mm, scene.tub.width_mm, "spill tray")
        paper.across(left - aside[0] / s, top + (room.width_mm + aside[1]) / s + 13.0, scene.tub.length_mm)
        paper.down(left + (room.length_mm + aside[0]) / s + 6.0, top - aside[1] / s, scene.tub.width_mm)
    paper.box(
        "wall", left - wall / s, top - wall / s, room.length_mm + 2.0 * wall, room.width_mm + 2.0 * wall, "tank wall"
    )
    paper.box("acid", left, top, room.length_mm, room.width_mm, "bath")
    at = _strips_at(scene)
    if strips is not None:
        for y_mm in _faces(scene):
            for x_mm in at:
                paper.box("cathode", left + x_mm / s, top + y_mm / s, strips.width_mm, strips.thickness_mm, "cathode")
        paper.across(left + at[0] / s, top + (room.width_mm + _around(scene)[1]) / s + 6.0, strips.width_mm,
                     *(at[i + 1] - at[i] - strips.width_mm for i in range(min(1, len(at) - 1))))  # fmt: skip
    for place in sorted(rack.places, key=lambda p: -p.z_mm):
        _part(paper, scene, place, left + place.x_mm / s, top + place.y_mm / s, "plan")


def _faces(scene: Scene) -> tuple[float, ...]:
    """Where the strips hang across the tank [mm]: clear of either wall, as far as they stand behind their faces."""
    strips, room = scene.cathodes, scene.rack.room
    assert strips is not None
    near = max(room.behind_mm - strips.thickness_mm, 0.0)
    both = (near, room.width_mm - near - strips.thickness_mm)
    return both if strips.count > 1 else both[:1]


def _part(paper: Paper, scene: Scene, place: Place, x: float, y: float, view: str) -> None:
    """One part, lighter where it hangs behind another, with its letter, and its contact where its wire ends."""
    way, s = scene.rack.ways[place.part], paper.scale
    outline = _outline(scene, place, view)
    hidden = {"front": place.row, "side": place.column, "plan": place.tier}[view]
    wide, high = (max(axis) / s for axis in zip(*outline, strict=True))
    top = y if view == "plan" else y + way.high_mm / s - high  # higher where it stands out of the liquid
    paper.shape("behind" if hidden else "part", x, top, outline, scene.rack.parts[place.part].name)
    if not hidden and min(wide, high) >= _LETTER_MM:
        paper.letter(x + 0.5 * wide, top + 0.5 * high, scene.letters[place.part])
    if view != "plan":
        two = view == "front" and scene.kind is RackKind.WIRES and is_long(scene.rack, place)
        for share in (0.25, 0.75) if two else (0.5,):
            at_mm = share * wide * s
            paper.dot("contact", x + at_mm / s, y + _held_mm(outline, way.high_mm, at_mm) / s)


def _outline(scene: Scene, place: Place, view: str) -> Outline:
    """A part's outline as seen in a view; its box where outlines are not known."""
    if scene.outlines:
        known: Outline = getattr(scene.outlines[place.part], view)
        return known
    way = scene.rack.ways[place.part]
    wide, high = {"front": (way.along_mm, way.high_mm), "side": (way.across_mm, way.high_mm),
                  "plan": (way.along_mm, way.across_mm)}[view]  # fmt: skip
    return (0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)


def _held_mm(outline: Outline, high_mm: float, middle: float) -> float:
    """How far under the top of what is in the liquid a wire from above meets an outline, so far along it [mm]."""
    met = []
    for (x, y), (next_x, next_y) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if min(x, next_x) <= middle <= max(x, next_x):
            met.append(min(y, next_y) if x == next_x else y + (next_y - y) * (middle - x) / (next_x - x))
    return min(met) - (max(y for _, y in outline) - high_mm)
