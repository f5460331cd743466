"""A turned part as its half section, in the plane of axial position and radius, and whether it can be a part."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from areacalc.errors import BadInput
from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Floats, Note, UnitBasis, UnitHow
from areacalc.shape.profile.thread import Thread

KNURL_MOST = 1.0 / math.sin(math.pi / 4)
"""Area of a sharp, full-form 90 degree knurl (DIN 82) over the smooth cylinder's; rolled knurls stay below it."""


def knurled(smooth_area_mm2: float) -> Estimate:
    """The area of a knurled length from its smooth area [mm2]: between smooth and sharp full form, the middle taken.

    >>> round(knurled(100.0).high, 2)
    141.42
    """
    low, high = smooth_area_mm2, smooth_area_mm2 * KNURL_MOST
    return Estimate(0.5 * (low + high), low, high, ("knurl, from smooth to sharp full form",))


Spot = tuple[float, float]
"""Axial position and radius [mm]."""


@dataclass(frozen=True, slots=True)
class Knurl:
    """A knurled length of this pitch [mm]."""

    pitch_mm: float


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight or round piece of the outline, from start to end with the metal on its right.

    centre None: straight. turn: the signed angle [rad] that an arc runs through about its centre, positive from the
    axis toward growing radius (anticlockwise with x to the right and radius up).
    feature: the name of the feature it belongs to. name: what it is called. place: where the person wrote it.
    """

    start: Spot
    end: Spot
    centre: Spot | None = None
    turn: float = 0.0
    feature: str = "outside"
    name: str = ""
    place: str = ""
    dress: Thread | Knurl | None = None

    @property
    def length_mm(self) -> float:
        """Length along the outline [mm]."""
        if self.centre is None:
            return math.dist(self.start, self.end)
        return self.radius_mm * abs(self.turn)

    @property
    def radius_mm(self) -> float:
        """An arc's radius [mm]; 0 for a straight segment."""
        return math.dist(self.start, self.centre) if self.centre is not None else 0.0

    @property
    def smooth_area_mm2(self) -> float:
        """The area that the segment sweeps about the axis [mm2]: Pappus, in closed form for lines and arcs.

        >>> round(Segment((0.0, 15.0), (20.0, 8.0)).smooth_area_mm2, 6)  # a cone frustum
        1531.090561
        """
        if self.centre is None:
            return math.pi * (self.start[1] + self.end[1]) * self.length_mm
        rho, angle = self.radius_mm, self._angle
        moment = self.centre[1] * self.turn - rho * (math.cos(angle + self.turn) - math.cos(angle))
        return abs(2 * math.pi * rho * moment)

    @property
    def area_mm2(self) -> Estimate:
        """The true area [mm2], with a thread's or knurl's developed surface."""
        if isinstance(self.dress, Thread):
            return Estimate.exact(self.dress.area_per_length_mm * abs(self.end[0] - self.start[0]))
        if isinstance(self.dress, Knurl):
            return knurled(self.smooth_area_mm2)
        return Estimate.exact(self.smooth_area_mm2)

    @property
    def _angle(self) -> float:
        assert self.centre is not None
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    def at(self, share: float) -> Spot:
        """The point a share (0 to 1) of the way along."""
        if self.centre is None:
            (x0, r0), (x1, r1) = self.start, self.end
            return x0 + (x1 - x0) * share, r0 + (r1 - r0) * share
        angle = self._angle + self.turn * share
        return self.centre[0] + self.radius_mm * math.cos(angle), self.centre[1] + self.radius_mm * math.sin(angle)

    def reversed(self) -> Segment:
        return Segment(self.end, self.start, self.centre, -self.turn, self.feature, self.name, self.place, self.dress)


@dataclass(frozen=True, slots=True)
class TurnedBore:
    """A bore of the profile: its feature name, the positions [mm] where it opens and ends, and which ends are open."""

    feature: str
    from_mm: float
    to_mm: float
    through: bool


@dataclass(frozen=True, slots=True)
class Profile:
    """The closed outline of a turned part, as a chain of segments with the metal on the right of each.

    The chain runs along the outside from the left end to the right end and back along the bore or the axis; pieces
    on the axis itself are left out. bores: the bores, numbered as the features are.
    """

    name: str
    source: str
    segments: tuple[Segment, ...]
    bores: tuple[TurnedBore, ...] = ()
    unit: UnitBasis = field(default_factory=lambda: UnitBasis("mm", UnitHow.DECLARED))
    notes: tuple[Note, ...] = ()

    @property
    def area_mm2(self) -> Estimate:
        """The whole area, outside, ends and bores [mm2]."""
        return total(s.area_mm2 for s in self.segments)

    @property
    def volume_mm3(self) -> float:
        """The metal's volume [mm3]: Pappus over the half section, in closed form; threads and knurls as smooth."""
        return abs(sum(_swept_volume_mm3(s) for s in self.segments))

    @property
    def features(self) -> tuple[str, ...]:
        """The feature names, in the order they stand on the outline."""
        return tuple(dict.fromkeys(s.feature for s in self.segments))

    @property
    def from_the_mouths(self) -> tuple[Segment, ...]:
        """The segments as a person tells them: the outside first, then bore after bore, each from its mouth inward."""
        bores = {bore.feature: bore for bore in self.bores}
        told = [s for s in self.segments if s.feature not in bores]
        for name, bore in bores.items():
            own = [s for s in self.segments if s.feature == name]
            inward = abs(own[0].start[0] - bore.from_mm) <= abs(own[-1].end[0] - bore.from_mm)
            told += own if inward else [s.reversed() for s in reversed(own)]
        return tuple(told)

    @property
    def span_mm(self) -> tuple[float, float]:
        """The least and the most axial position [mm]."""
        positions = [p[0] for s in self.segments for p in (s.start, s.end, s.at(0.5))]
        return min(positions), max(positions)

    @property
    def largest_radius_mm(self) -> float:
        """The largest radius [mm] at segment ends and arc crowns."""
        return max(s.at(k / 16)[1] for s in self.segments for k in range(17))


def _swept_volume_mm3(segment: Segment) -> float:
    """Integral of pi r^2 dx along a segment."""
    if segment.centre is None:
        (x0, r0), (x1, r1) = segment.start, segment.end
        return math.pi * (x1 - x0) * (r0 * r0 + r0 * r1 + r1 * r1) / 3
    rho, c, a = segment.radius_mm, segment.centre[1], segment._angle
    b = a + segment.turn

    def primitive(t: float) -> float:  # of (c + rho sin t)^2 sin t
        cos = math.cos(t)
        return -c * c * cos + c * rho * (t - math.sin(t) * cos) + rho * rho * (cos**3 / 3 - cos)

    return -math.pi * rho * (primitive(b) - primitive(a))


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
            raise BadInput(_where(profile, s), f"has no length at {_spot_words(s.start, mm)}", "leave it out")
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
        raise BadInput(profile.source, "the bore is wider than the outside", "check the diameters")


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
    spot = _spot_words((float(stray[0][0]), float(stray[0][1])), mm)
    bores = [s for s in (one, two) if "bore" in s.feature]
    if len(bores) == 1:
        other = two if bores[0] is one else one
        raise BadInput(
            _where(profile, bores[0]),
            f"breaks through {other.name} at {spot} {unit}",
            "make the bore smaller or shorter" + "; right through is 'bore through 8'" * other.name.endswith("-end"),
        )
    if len(bores) == 2 and one.feature != two.feature:
        what = f"meets {one.feature} at {spot} {unit}"
        raise BadInput(_where(profile, two), what, "write bores that meet as one bore through")
    raise BadInput(_where(profile, two), f"crosses {one.name} at {spot} {unit}", "check the points on both sides")


def _where(profile: Profile, segment: Segment) -> str:
    return f"{profile.source}, {segment.name or segment.place}"


def _spot_words(spot: tuple[float, float], mm: float) -> str:
    return f"x {spot[0] / mm:.6g}, diameter {2 * spot[1] / mm:.6g}"
