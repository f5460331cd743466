"""A turned part as its half section: straight and round segments in the plane of axial position and radius."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Note, UnitBasis, UnitHow
from areacalc.shape.profile.knurl import knurled
from areacalc.shape.profile.thread import Thread

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
        """The same piece run the other way."""
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
