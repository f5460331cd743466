"""Whether a profile can be a part: no crossing, no wall below nothing, nothing on the far side of the axis."""

from __future__ import annotations

import math

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Floats
from areacalc.shape.profile.profile import Profile, Segment

_FLAT_MM = 1e-3  # arcs are flattened this finely, for the checks alone
_BLOCK = 256  # segments


def flattened(segment: Segment, chord_error_mm: float) -> Floats:
    """Points (k, 2) of position and radius along a segment, both ends included, arcs within the chord error."""
    if segment.centre is None:
        return np.array([segment.start, segment.end])
    ratio = min(1.0, chord_error_mm / segment.radius_mm)
    steps = max(2, math.ceil(abs(segment.turn) / (2 * math.acos(1 - ratio)))) if ratio < 1 else 2
    angle = math.atan2(segment.start[1] - segment.centre[1], segment.start[0] - segment.centre[0])
    t = angle + segment.turn * np.linspace(0.0, 1.0, steps + 1)
    points = np.asarray(segment.centre) + segment.radius_mm * np.stack([np.cos(t), np.sin(t)], axis=1)
    points[0], points[-1] = segment.start, segment.end
    return points


def check_profile(profile: Profile) -> None:
    """Raises BadInput with the segment and the place, as the person counts them."""
    import shapely

    mm = profile.unit.mm
    for s in profile.segments:
        if s.length_mm < 1e-9:
            raise BadInput(_where(profile, s), f"has no length at {_words(s.start, mm)}", "leave it out")
    points = [flattened(s, _FLAT_MM) for s in profile.segments]
    for s, line in zip(profile.segments, points, strict=True):
        if line[:, 1].min() < -1e-9:
            low = line[line[:, 1].argmin()]
            raise BadInput(_where(profile, s), f"crosses the axis near x {low[0] / mm:.6g} {profile.unit.name}",
                           "keep every diameter at 0 or more")  # fmt: skip
    lines = shapely.linestrings(
        np.concatenate(points), indices=np.repeat(np.arange(len(points)), [len(p) for p in points])
    )
    tree = shapely.STRtree(lines)
    for start in range(0, len(lines), _BLOCK):  # the first crossing ends it: what crosses everything costs one block
        a, b = tree.query(lines[start : start + _BLOCK], predicate="intersects")
        a = a + start
        for one, two in sorted(zip(a[a < b].tolist(), b[a < b].tolist(), strict=True)):
            _check_pair(profile, one, two, lines)
    ring = np.concatenate(points)  # with the ends on the axis, where a blind bore's floor does not follow on
    area = 0.5 * float(np.sum(ring[:, 0] * np.roll(ring[:, 1], -1) - np.roll(ring[:, 0], -1) * ring[:, 1]))
    if area >= 0:
        raise BadInput(profile.source, "the bore lies outside the metal: the wall is negative", "check the diameters")


def _check_pair(profile: Profile, a: int, b: int, lines: object) -> None:
    """Two segments may share the point where one follows the other, and nothing else."""
    import shapely

    one, two = profile.segments[a], profile.segments[b]
    shared = shapely.intersection(lines[a], lines[b])  # type: ignore[index]
    joints = [p for p, q in ((one.end, two.start), (two.end, one.start)) if math.dist(p, q) < 1e-9]
    spots = shapely.get_coordinates(shared)
    stray = [s for s in spots if all(math.dist(s, j) > 2 * _FLAT_MM for j in joints)]
    if not stray:
        return
    mm, unit = profile.unit.mm, profile.unit.name
    spot = _words((float(stray[0][0]), float(stray[0][1])), mm)
    bores = [s for s in (one, two) if "bore" in s.feature]
    if len(bores) == 1:
        other = two if bores[0] is one else one
        raise BadInput(
            _where(profile, bores[0]),
            f"breaks through {other.name} at {spot} {unit}",
            "make the bore smaller or shorter",
        )
    if len(bores) == 2 and one.feature != two.feature:
        raise BadInput(
            _where(profile, two), f"meets {one.feature} at {spot} {unit}", "write bores that meet as one bore through"
        )
    raise BadInput(_where(profile, two), f"crosses {one.name} at {spot} {unit}", "check the points on both sides")


def _where(profile: Profile, segment: Segment) -> str:
    return f"{profile.source}, {segment.name or segment.place}"


def _words(spot: tuple[float, float], mm: float) -> str:
    return f"x {spot[0] / mm:.6g}, diameter {2 * spot[1] / mm:.6g}"
