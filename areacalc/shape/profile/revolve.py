"""A profile turned about its axis into a watertight Body, with the exact area of every segment kept."""

import itertools
import math

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact, quantity
from areacalc.shape.body import Body
from areacalc.shape.kinds import Face, FileNote, Floats, Ints, Note, Surface, SurfaceKind
from areacalc.shape.profile.profile import Knurl, Profile, Segment, flattened
from areacalc.shape.profile.thread import Thread

MOST_TRIANGLES = 2_000_000
_CHORD_MM = 0.01
_CHORD_SHARE = 1e-4  # of the largest radius, where that is more: 224 flats to the turn, however large the part
_LEAST_FLATS = 32


def revolve(profile: Profile, chord_error_mm: float | None = None) -> Body:
    """The part as a closed mesh about the x axis, flats and arcs no further than the chord error from the true shape.

    One Face a segment with its exact area; threads and knurls are drawn smooth and carry their developed area.
    chord_error_mm: None takes 0.01 mm; more for radii over 100 mm and outlines of very many points.
    Raises BadInput for a chord error that would need more than two million triangles.
    """
    chord = max(_CHORD_MM, _CHORD_SHARE * profile.largest_radius_mm) if chord_error_mm is None else chord_error_mm
    if not chord > 0.0:
        raise BadInput("chord error", f"{chord:g} mm must be above zero", "give a chord error such as 0.01 mm")
    around, lines = _drawn(profile, chord)
    while chord_error_mm is None and _triangles(around, lines) > MOST_TRIANGLES and around > _LEAST_FLATS:
        chord *= 2.0
        around, lines = _drawn(profile, chord)
    if _triangles(around, lines) > MOST_TRIANGLES:
        raise BadInput("chord error", f"{chord:g} mm needs too many triangles", "give a larger chord error")
    points, triangles, segment_of = _swept(lines, around)
    notes = (*profile.notes, Note(fact(FileNote.REVOLVED, flats=around, within=quantity(chord, "mm"))))
    return Body(
        profile.name, profile.source, points, triangles, profile.unit,
        faces=tuple(_face(s) for s in profile.segments), face_of_triangle=segment_of, notes=notes, profile=profile,
    )  # fmt: skip


def _drawn(profile: Profile, chord_mm: float) -> tuple[int, list[Floats]]:
    ratio = min(0.5, chord_mm / profile.largest_radius_mm)
    flats = 4 * math.ceil(max(16, math.pi / math.acos(1 - ratio)) / 4)
    return flats, [flattened(s, chord_mm) for s in profile.segments]


def _triangles(around: int, lines: list[Floats]) -> int:
    return 2 * around * sum(len(line) - 1 for line in lines)


def _swept(lines: list[Floats], around: int) -> tuple[Floats, Ints, Ints]:
    """Rings of points for each outline point, one point where it is on the axis, and the bands between them."""
    turn = np.arange(around) * (2 * np.pi / around)
    cos, sin = np.cos(turn), np.sin(turn)
    i, j = np.arange(around), (np.arange(around) + 1) % around
    rings: dict[tuple[float, float], np.ndarray[tuple[int], np.dtype[np.int64]]] = {}
    points: list[Floats] = []
    count = 0
    bands: list[Ints] = []
    segment_of: list[int] = []

    def ring(spot: tuple[float, float]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        nonlocal count
        key = (round(spot[0], 9), round(spot[1], 9))
        if key not in rings:
            size = 1 if spot[1] < 1e-9 else around
            x = np.full(size, spot[0])
            points.append(np.stack([x, spot[1] * cos[:size], spot[1] * sin[:size]], axis=1) if size > 1 else
                          np.array([[spot[0], 0.0, 0.0]]))  # fmt: skip
            rings[key] = count + np.arange(size)
            count += size
        return rings[key]

    for number, line in enumerate(lines):
        for p, q in itertools.pairwise(line):
            a, b = ring((float(p[0]), float(p[1]))), ring((float(q[0]), float(q[1])))
            if len(a) == 1 and len(b) == 1:
                continue
            made = []
            if len(b) > 1:
                made.append(np.stack([a[i % len(a)], b[j], b[i]], axis=1))
            if len(a) > 1:
                made.append(np.stack([a[i], a[j], b[j % len(b)]], axis=1))
            band = np.concatenate(made).astype(np.int32)
            bands.append(band)
            segment_of += [number] * len(band)
    return np.concatenate(points), np.concatenate(bands), np.array(segment_of, np.int32)


def _face(segment: Segment) -> Face:
    area = segment.area_mm2
    error = max(area.high - area.value, area.value - area.low)
    return Face(_surface(segment), area.value, error, segment.name)


def _surface(s: Segment) -> Surface:
    (x0, r0), (x1, r1) = s.start, s.end
    axis = (1.0, 0.0, 0.0)
    if s.centre is not None:
        centre = (s.centre[0], 0.0, 0.0)
        if abs(s.centre[1]) < 1e-9:
            return Surface(SurfaceKind.SPHERE, centre, axis, s.radius_mm)
        return Surface(SurfaceKind.TORUS, centre, axis, s.centre[1], s.radius_mm)
    if abs(x1 - x0) < 1e-12:
        return Surface(SurfaceKind.PLANE, (x0, 0.0, 0.0), (-1.0 if r1 > r0 else 1.0, 0.0, 0.0))
    if abs(r1 - r0) < 1e-12:
        kind = {Thread: SurfaceKind.THREAD, Knurl: SurfaceKind.KNURL}.get(type(s.dress), SurfaceKind.CYLINDER)
        return Surface(kind, (x0, 0.0, 0.0), axis, r0)
    slope = math.atan2(r1 - r0, x1 - x0) if x1 > x0 else math.atan2(r0 - r1, x0 - x1)
    return Surface(SurfaceKind.CONE, (x0, 0.0, 0.0), axis, r0, half_angle_rad=slope)
