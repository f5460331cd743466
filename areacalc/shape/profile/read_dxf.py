"""A half section drawn in DXF: lines, arcs and polylines with bulges, x along the axis and y the radius."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.kinds import Note, UnitBasis, UnitHow
from areacalc.shape.profile.profile import Bore, Profile, Segment, Spot
from areacalc.shape.profile.profile_check import check_profile

_INSUNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 13: "um"}
_TOUCH = 1e-6  # ends closer than this share of the drawing's size are one point


def read_dxf(path: Path, unit: Unit | None = None) -> Profile:
    """The profile of a DXF drawing: one closed half section, or one open outline over the axis.

    Raises BadInput: not DXF, nothing drawn, ends that do not meet, several outlines.
    """
    import ezdxf

    try:
        drawing = ezdxf.readfile(str(path))
    except (ezdxf.DXFError, UnicodeDecodeError, ValueError) as trouble:
        words = " ".join(str(trouble).split())[:120]
        raise BadInput(
            path.name, f"is not a DXF drawing that can be read ({words})", "export it as DXF R2000 or later"
        ) from None
    basis = _unit(drawing, unit)
    pieces, skipped = _pieces(drawing, basis.mm, path.name)
    segments = _joined(pieces, path.name)
    profile = _profile(segments, path, basis)
    notes = [Note("left-out", f"{path.name}: {n} left out, since they are no outline") for n in skipped]
    check_profile(profile)
    return replace(profile, notes=tuple(notes))


def _unit(drawing: Any, unit: Unit | None) -> UnitBasis:
    if unit is not None:
        return UnitBasis(unit.name, UnitHow.GIVEN, unit.mm)
    name = _INSUNITS.get(int(drawing.header.get("$INSUNITS", 0)))
    if name is None:
        return UnitBasis("mm", UnitHow.ASSUMED)
    return UnitBasis(name, UnitHow.DECLARED, LENGTH_UNITS[name].mm)


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
        out += [_segment(part, mm, place) for part in parts]
    out = [s for s in out if s.length_mm > 0.0]
    if not out:
        raise BadInput(source, "holds no lines, arcs or polylines", "draw the half section as a polyline")
    return out, [f"{count} {kind}" for kind, count in skipped.items()]


def _segment(part: Any, mm: float, place: str) -> Segment:
    if part.dxftype() == "LINE":
        a, b = part.dxf.start, part.dxf.end
        return Segment((a.x * mm, a.y * mm), (b.x * mm, b.y * mm), place=place)
    c, a, b = part.dxf.center, part.start_point, part.end_point
    turn = math.radians((part.dxf.end_angle - part.dxf.start_angle) % 360.0)
    return Segment((a.x * mm, a.y * mm), (b.x * mm, b.y * mm), (c.x * mm, c.y * mm), turn, place=place)


def _joined(pieces: list[Segment], source: str) -> list[Segment]:
    """The pieces end to end in one chain, whichever way each was drawn."""
    size = max(max(abs(c) for p in (s.start, s.end) for c in p) for s in pieces)
    touch = _TOUCH * size
    left = list(pieces)
    run = [left.pop(0)]
    grew = True
    while left and grew:
        grew = False
        for i, s in enumerate(left):
            for way in (s, s.reversed()):
                if math.dist(run[-1].end, way.start) <= touch:
                    run.append(way)
                elif math.dist(run[0].start, way.end) <= touch:
                    run.insert(0, way)
                else:
                    continue
                left.pop(i)
                grew = True
                break
            if grew:
                break
    if left:
        spot = left[0].start
        raise BadInput(
            f"{source}, {left[0].place}",
            f"does not meet the rest of the outline, at ({spot[0]:.6g}, {spot[1]:.6g}) mm",
            "draw one half section whose ends meet, with x along the axis and y the radius",
        )
    return run


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
    if _doubled_area(run) > 0:
        run = [s.reversed() for s in reversed(run)]
    off_axis = [s for s in run if max(s.start[1], s.end[1], s.at(0.5)[1]) > _TOUCH * size]
    chain = _from_left(off_axis, _TOUCH * size)
    named, bores = _roles(chain)
    return Profile(path.stem, path.name, tuple(named), tuple(bores), basis)


def _mirrored(s: Segment) -> Segment:
    centre = (s.centre[0], -s.centre[1]) if s.centre else None
    return replace(s, start=(s.start[0], -s.start[1]), end=(s.end[0], -s.end[1]), centre=centre, turn=-s.turn)


def _to_axis(spot: Spot, before: bool) -> list[Segment]:
    foot = (spot[0], 0.0)
    if spot[1] <= 1e-12:
        return []
    return [Segment(foot, spot, place="end face") if before else Segment(spot, foot, place="end face")]


def _doubled_area(run: list[Segment]) -> float:
    points = [s.at(k / 8) for s in run for k in range(8)] + [run[-1].end]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))


def _from_left(chain: list[Segment], touch: float) -> list[Segment]:
    """The closed run begun at the leftmost point of the greatest radius, where the outside begins."""
    start = min(range(len(chain)), key=lambda i: (round(chain[i].start[0] / touch), -chain[i].start[1]))
    return chain[start:] + chain[:start]


def _roles(chain: list[Segment]) -> tuple[list[Segment], list[Bore]]:
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
        named += [replace(s, feature=feature, name=f"{feature} {_part(s)}") for s in run]
        opens_right = run[0].start[1] > 1e-9
        ends = (run[0].start[0], run[-1].end[0]) if opens_right and not through else (run[-1].end[0], run[0].start[0])
        bores.append(Bore(feature, ends[0], ends[1], through))
    return [*tail, *out, *head, *named], bores


def _upright_at(s: Segment, x_mm: float) -> bool:
    return s.centre is None and abs(s.start[0] - x_mm) < 1e-6 and abs(s.end[0] - x_mm) < 1e-6


def _part(s: Segment) -> str:
    if s.centre is None and abs(s.start[0] - s.end[0]) < 1e-9:
        return "floor" if min(s.start[1], s.end[1]) < 1e-9 else "shoulder"
    return "drill point" if min(s.start[1], s.end[1]) < 1e-9 else "wall"
