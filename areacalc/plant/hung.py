"""One way that a part hangs on a rack: the room it takes as it hangs, and how its own axes lie then."""

import itertools
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from areacalc.errors import BadInput

Points = NDArray[np.float64]
Axes = tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]
_TILTS_DEG = range(5, 90)
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Way:
    """The room a part takes as it hangs: along the tank, across it toward the cathodes, and high [mm].

    tilt_deg is how far it leans along the tank. axes are the part's own directions that then point along the tank,
    across it and up.
    """

    along_mm: float
    across_mm: float
    high_mm: float
    tilt_deg: float = 0.0
    axes: Axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class RackPart:
    """One kind of part of a load, how many of it hang, and the ways it may hang, upright or lying ways first.

    stands_out: it hangs through the liquid's surface, and high_mm is what of it is under. Raises BadInput.
    """

    name: str
    count: int
    ways: tuple[Way, ...]
    stands_out: bool = False

    def __post_init__(self) -> None:
        sizes = [side for way in self.ways for side in (way.along_mm, way.across_mm, way.high_mm)]
        if self.count < 1 or not sizes or not all(0.0 < side < math.inf for side in sizes):
            raise BadInput(self.name, "has no size to hang by", "give a count and sizes above zero")


def box_part(name: str, size_mm: tuple[float, float, float], count: int = 1) -> RackPart:
    """A part of which only the sides of its box are known, free to hang any way.

    >>> [way.high_mm for way in box_part("rod", (400.0, 12.0, 12.0)).ways if not way.tilt_deg]
    [400.0, 12.0, 12.0]
    """
    corners = np.array(list(itertools.product(*((0.0, side) for side in size_mm))))
    return RackPart(name, count, free_ways(corners))


def free_ways(points: Points) -> tuple[Way, ...]:
    """The ways a part of points (n, 3) may hang: each of its axes up, either way round, then leaned along the tank."""
    square = []
    for up, along, across in itertools.permutations(np.eye(3)):
        square.append(_way(points, np.stack([along, across, up])))
    square = _each_once(sorted(square, key=lambda way: (-way.high_mm, way.across_mm)))
    thin = min(square, key=lambda way: (way.across_mm, -way.high_mm))
    return (*square, *leaned(points, thin))


def hung_ways(points: Points, along: Points, up: Points) -> tuple[Way, ...]:
    """The ways a part of points (n, 3) may hang with `up` (unit) pointing up: as told, or a quarter turn about it."""
    across = np.cross(up, along)
    turned = (np.stack([along, across, up]), np.stack([across, -along, up]))
    return tuple(_each_once([_way(points, axes) for axes in turned]))


def leaned(points: Points, way: Way) -> tuple[Way, ...]:
    """A way leaned along the tank by whole degrees, least first; points (n, 3) of its rim as seen across are enough."""
    along, across, up = (np.array(axis) for axis in way.axes)
    made = []
    for degrees in _TILTS_DEG:
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        turned = _way(points, np.stack([c * along + s * up, across, c * up - s * along]), float(degrees))
        made.append(replace(turned, across_mm=way.across_mm))
    return tuple(made)


def _way(points: Points, axes: Points, tilt_deg: float = 0.0) -> Way:
    along, across, high = (float(side) for side in np.ptp(points @ axes.T, axis=0))
    one, two, three = (tuple(float(x) for x in axis) for axis in axes)
    return Way(along, across, high, tilt_deg, (one, two, three))  # type: ignore[arg-type]


def _each_once(ways: list[Way]) -> list[Way]:
    kept: list[Way] = []
    for way in ways:
        sides = np.array([way.along_mm, way.across_mm, way.high_mm])
        if not any(np.allclose(sides, [k.along_mm, k.across_mm, k.high_mm], atol=_SAME_MM) for k in kept):
            kept.append(way)
    return kept
