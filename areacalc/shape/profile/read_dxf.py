"""A half section drawn in DXF: lines, arcs and polylines with bulges, x along the axis and y the radius."""

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import FileNote, Note, UnitBasis
from areacalc.shape.profile.outline import step_name
from areacalc.shape.profile.profile import Profile, Segment, Spot, TurnedBore, check_profile
from areacalc.shape.profile.turn import MOST_POINTS, refuse_many

_INSUNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 13: "um"}
_POINT = re.compile(rb"^[ \t]*10[ \t]*\r?$", re.M)  # the group code of a line's, arc's or corner's first coordinate
_MOST_DRAWN = 100_000  # the drawing's other points, of splines and hatchings, count here too
_TOUCH = 1e-6  # ends closer than this share of the drawing's size are one point


def read_dxf(path: Path, unit: Unit | None = None) -> Profile:
    """The profile of a DXF drawing: one closed half section, or one open outline over the axis.

    Raises BadInput: not DXF, nothing drawn, ends that do not meet, several outlines.
    """
    raw = path.read_bytes()
    _refuse_many(path.name, raw)
    import ezdxf

    try:
        drawing = ezdxf.readfile(str(path))
        number = int(drawing.header.get("$INSUNITS", 0))
    except MemoryError:
        raise
    except Exception as trouble:  # the library has no one kind of error for a damaged drawing
        words = " ".join((str(trouble) or type(trouble).__name__).replace(str(path), path.name).split())[:120]
        what = f"is not a DXF drawing that can be read ({words})"
        raise BadInput(path.name, what, "export it as DXF R2000 or later") from None
    # where a file says nothing, the library puts metres of its own
    said = _INSUNITS.get(number) if b"$INSUNITS" in raw else None
    basis, unit_notes = decide_unit(unit, LENGTH_UNITS[said] if said else None)
    pieces, skipped = _pieces(drawing, basis.mm, path.name)
    segments = _joined(pieces, path.name)
    profile = _profile(segments, path, basis)
    notes = [Note(fact(FileNote.LEFT_OUT, file=path.name, what=n)) for n in skipped]
    check_profile(profile)
    return replace(profile, notes=(*notes, *unit_notes))


def _refuse_many(source: str, raw: bytes) -> None:
    """Raise BadInput where the text of a drawing holds far more points than a profile may have, before it is read."""
    entities = raw.partition(b"ENTITIES")[2].partition(b"ENDSEC")[0]
    count = len(_POINT.findall(entities))
    if count > _MOST_DRAWN:
        what = f"draws {count} points; a profile may have {MOST_POINTS}"
        raise BadInput(source, what, "export the half section alone, with fewer, longer lines and arcs")


def _pieces(drawing: Any, mm: float, source: str) -> tuple[list[Segment], list[str]]:
    """Every line and arc of the drawing's model space, in mm, and what kinds were left out."""
    out: list[Segment] = []
    skipped: dict[str, int] = {}
    for number, entity in enumerate(drawing.modelspace(), 1):
        kind = entity.dxftype()
        place = f"entity {number} ({kind})"
        if kind == "LWPOLYLINE" or (kind == "POLYLINE" and (entity.is_2d_polyline or entity.is_3d_polyline)):
            parts = list(entity.virtual_entities())
        elif kind in ("LINE", "ARC"):
            parts = [entity]
        else:
            skipped[kind] = skipped.get(kind, 0) + 1
            continue
        out += [_segment(part, mm, place, source) for part in parts]
        refuse_many(len(out), source)
    out = [s for s in out if s.length_mm > 0.0]
    if not out:
        raise BadInput(source, "holds no lines, arcs or polylines", "draw the half section as a polyline")
    return out, [f"{count} {kind}" for kind, count in skipped.items()]


def _segment(part: Any, mm: float, place: str, source: str) -> Segment:
    line = part.dxftype() == "LINE"
    a, b = (part.dxf.start, part.dxf.end) if line else (part.start_point, part.end_point)
    c = a if line else part.dxf.center
    turn = 0.0 if line else math.radians((part.dxf.end_angle - part.dxf.start_angle) % 360.0)
    if not all(math.isfinite(number) for number in (a.x, a.y, b.x, b.y, c.x, c.y, turn)):
        raise BadInput(f"{source}, {place}", "a coordinate is not a finite number", "draw it again")
    ends = (a.x * mm, a.y * mm), (b.x * mm, b.y * mm)
    return Segment(*ends, place=place) if line else Segment(*ends, (c.x * mm, c.y * mm), turn, place=place)


def _joined(pieces: list[Segment], source: str) -> list[Segment]:
    """The pieces end to end in one chain, whichever way each was drawn."""
    from ezdxf import edgeminer

    size = max(max(abs(c) for p in (s.start, s.end) for c in p) for s in pieces)
    edges = [edgeminer.make_edge(s.start, s.end, payload=s) for s in pieces]
    run = edgeminer.find_simple_chain(edgeminer.Deposit(edges, gap_tol=_TOUCH * size), edges[0])
    if len(run) < len(pieces):
        joined = {edge.id for edge in run}
        lost = next(edge.payload for edge in edges if edge.id not in joined)
        what = f"does not meet the rest of the outline, at ({lost.start[0]:.6g}, {lost.start[1]:.6g}) mm"
        remedy = "draw one half section whose ends meet, with x along the axis and y the radius"
        raise BadInput(f"{source}, {lost.place}", what, remedy)
    return [edge.payload.reversed() if edge.is_reverse else edge.payload for edge in run]


def _profile(run: list[Segment], path: Path, basis: UnitBasis) -> Profile:
    """The chain turned to run left to right along the outside, ends and bores named."""
    if max(abs(p[1]) for s in run for p in (s.start, s.end)) > 0 and min(s.at(0.5)[1] for s in run) < 0:
        if max(s.at(0.5)[1] for s in run) > 1e-9:
            raise BadInput(path.name, "lies on both sides of the axis y = 0", "draw the half with y above 0 alone")
        run = [_mirrored(s) for s in run]
    size = max(abs(c) for s in run for p in (s.start, s.end) for c in p)
    closed = math.dist(run[0].start, run[-1].end) <= _TOUCH * size
    if not closed and max(run[0].start[1], run[-1].end[1]) > _TOUCH * size:
        run = [*_to_axis(run[0].start, True), *run, *_to_axis(run[-1].end, False)]
    points = [s.at(k / 8) for s in run for k in range(8)] + [run[-1].end]
    if sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) > 0:
        run = [s.reversed() for s in reversed(run)]
    off_axis = [s for s in run if max(s.start[1], s.end[1], s.at(0.5)[1]) > _TOUCH * size]
    if not off_axis:
        raise BadInput(path.name, "lies on the axis y = 0", "draw the half section, with y the radius")
    # the outside begins at the leftmost point of the greatest radius
    first = min(off_axis, key=lambda s: (round(s.start[0] / (_TOUCH * size)), -s.start[1]))
    start = off_axis.index(first)
    named, bores = _roles(off_axis[start:] + off_axis[:start])
    return Profile(path.stem, path.name, tuple(named), tuple(bores), basis)


def _mirrored(s: Segment) -> Segment:
    centre = (s.centre[0], -s.centre[1]) if s.centre else None
    return replace(s, start=(s.start[0], -s.start[1]), end=(s.end[0], -s.end[1]), centre=centre, turn=-s.turn)


def _to_axis(spot: Spot, before: bool) -> list[Segment]:
    foot = (spot[0], 0.0)
    if spot[1] <= 1e-12:
        return []
    return [Segment(foot, spot, place="end face") if before else Segment(spot, foot, place="end face")]


def _roles(chain: list[Segment]) -> tuple[list[Segment], list[TurnedBore]]:
    """Outside up to the rightmost point of greatest radius, then the right end, bores, and the left end."""
    right = max(range(len(chain)), key=lambda i: (round(chain[i].end[0], 6), chain[i].end[1]))
    out = [replace(s, feature="outside", name=f"outside {i + 1}") for i, s in enumerate(chain[: right + 1])]
    rest = chain[right + 1 :]
    tail: list[Segment] = []
    head: list[Segment] = []
    x_right, x_left = out[-1].end[0], out[0].start[0]
    while rest and _upright_at(rest[0], x_right):
        head.append(replace(rest.pop(0), feature="right-end", name="right-end"))
    while rest and _upright_at(rest[-1], x_left):
        tail.insert(0, replace(rest.pop(), feature="left-end", name="left-end"))
    runs: list[list[Segment]] = []
    for s in rest:
        if runs and math.dist(runs[-1][-1].end, s.start) < 1e-6:
            runs[-1].append(s)
        else:
            runs.append([s])
    through = len(runs) == 1 and rest[0].start[1] > 1e-9 and rest[-1].end[1] > 1e-9
    named, bores = [], []
    for number, run in enumerate(runs, 1):
        feature = "bore-1" if through else f"blind-bore-{number}"
        opens_right = run[0].start[1] > 1e-9
        last = 0 if opens_right and not through else len(run) + 1  # steps count from the mouth
        named += [
            replace(s, feature=feature, name=step_name(feature, abs(last - i), _part(s))) for i, s in enumerate(run, 1)
        ]
        ends = (run[0].start[0], run[-1].end[0]) if opens_right and not through else (run[-1].end[0], run[0].start[0])
        bores.append(TurnedBore(feature, ends[0], ends[1], through))
    return [*tail, *out, *head, *named], bores


def _upright_at(s: Segment, x_mm: float) -> bool:
    return s.centre is None and abs(s.start[0] - x_mm) < 1e-6 and abs(s.end[0] - x_mm) < 1e-6


def _part(s: Segment) -> str:
    if s.centre is None and abs(s.start[0] - s.end[0]) < 1e-9:
        return "floor" if min(s.start[1], s.end[1]) < 1e-9 else "shoulder"
    return "drill point" if min(s.start[1], s.end[1]) < 1e-9 else "wall"
