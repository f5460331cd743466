"""What is a body: shells turned outward, the walls of cavities told from bodies that are sunk into others."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from areacalc.shape.body import cross, extents_mm, summed
from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.boxes import overlaps, within
from areacalc.shape.mesh.boxes_loops import triangle_boxes
from areacalc.shape.mesh.measure_loops import winding_number
from areacalc.shape.mesh.topology import Topology, connected
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.contact import REACH

_NAMELESS = np.empty(0, np.int32)
_PROBES = 15
_SAME = 1e-9  # of the size: boxes that differ by less are equal but for rounding
_UNDER = 1e-6  # of the size: a place so far under a triangle is clear of another that lies on it


@dataclass(frozen=True, eq=False)
class Bodies:
    """The welded triangles with the metal behind them, and what each shell is.

    corners and across (k, 3) int32 as in Topology, some triangles flipped; flipped is how many. shell_of (k,) int32 as
    there; closed (s,) bool.
    body_of (s,) int32: the shell that bounds the body of each from outside, its own number for a body, -1 for an open
    shell. Where another number stands, the shell is the wall of a cavity in that body.
    """

    points: Floats
    corners: Ints
    across: Ints
    flipped: int
    shell_of: Ints
    closed: Truths
    body_of: Ints

    @property
    def hollow(self) -> Truths:
        """Which shells are the walls of cavities (s,)."""
        return np.asarray((self.body_of >= 0) & (self.body_of != np.arange(len(self.body_of))))

    @cached_property
    def places(self) -> Places:
        """Where the triangles and the shells are."""
        return _places(self.points, self.corners, self.shell_of, len(self.closed))


@dataclass(frozen=True, eq=False)
class Places:
    """The triangles' boxes, their rows by shell, and the shells' boxes [mm]."""

    low: Floats
    high: Floats
    rows: list[Ints]
    shell_low: Floats
    shell_high: Floats

    def near(self, one: int, two: int, gap_mm: float) -> bool:
        """Whether any boxes of two shells' triangles come so near each other."""
        low = np.maximum(self.shell_low[one], self.shell_low[two]) - gap_mm
        high = np.minimum(self.shell_high[one], self.shell_high[two]) + gap_mm
        a, b = (
            rows[(self.low[rows] <= high).all(axis=1) & (self.high[rows] >= low).all(axis=1)]
            for rows in (self.rows[one], self.rows[two])
        )
        return len(overlaps(self.low[a] - gap_mm, self.high[a] + gap_mm, self.low[b], self.high[b])) > 0


def bodies(mesh: Topology, solid_of_triangle: Ints = _NAMELESS) -> Bodies:
    """Turn every shell so that the metal is behind it, and find which shells bound cavities.

    solid_of_triangle: the object of the file that each of the body's triangles belongs to, where the file names any.
    """
    flip = np.zeros(len(mesh.corners), bool) if mesh.oriented else _discord(mesh)
    corners, across = _flipped(mesh.corners, mesh.across, flip)
    shell_of, count = mesh.shell_of, mesh.shell_count
    closed = summed((across < 0).any(axis=1).astype(float), shell_of, count) == 0
    a, b, c = (mesh.points[corners[:, j]] - mesh.points[0] for j in range(3))
    volume = summed(np.einsum("ij,ij->i", a, cross(b, c)) / 6.0, shell_of, count)
    body_of = np.where(closed, np.arange(count), -1).astype(np.int32)
    made = Bodies(mesh.points, corners, across, 0, shell_of, closed, body_of)
    if closed.sum() > 1:
        _find_cavities(made, volume, solid_of_triangle[mesh.triangle_of] if len(solid_of_triangle) else _NAMELESS)
    wrong = (closed & ((volume < 0) != made.hollow))[shell_of]
    corners, across = _flipped(corners, across, wrong)
    return Bodies(mesh.points, corners, across, int((flip ^ wrong).sum()), shell_of, closed, body_of)


def _flipped(corners: Ints, across: Ints, flip: Truths) -> tuple[Ints, Ints]:
    if not flip.any():
        return corners, across
    corners, across = corners.copy(), across.copy()
    corners[flip] = corners[flip][:, [0, 2, 1]]
    across[flip] = across[flip][:, [2, 1, 0]]
    return corners, across


def _discord(mesh: Topology) -> Truths:
    """The triangles to flip so that neighbours agree: colour a graph that holds each triangle both ways up."""
    count = len(mesh.corners)
    tri, side = np.nonzero(mesh.across >= 0)
    other = mesh.across[tri, side].astype(np.int64)
    start = mesh.corners[tri, side]
    end = mesh.corners[tri, (side + 1) % 3]
    theirs = mesh.corners[other]
    same_way = ((theirs == start[:, None]) & (np.roll(theirs, -1, axis=1) == end[:, None])).any(axis=1)
    rows = np.concatenate([tri, tri + count])
    cols = np.concatenate([other + same_way * count, other + ~same_way * count])
    _, label = connected(2 * count, rows, cols)
    first = np.full(mesh.shell_count, count, np.int64)
    np.minimum.at(first, mesh.shell_of, np.arange(count))
    return np.asarray(label[:count] != label[first[mesh.shell_of]])


def _places(points: Floats, corners: Ints, shell_of: Ints, count: int) -> Places:
    low, high = triangle_boxes(points, corners)
    order, first = by_label(shell_of, count)
    starts = first[:-1]
    shell_low = np.minimum.reduceat(low[order], starts)
    shell_high = np.maximum.reduceat(high[order], starts)
    return Places(low, high, np.split(order, starts[1:]), shell_low, shell_high)


def _find_cavities(made: Bodies, volume: Floats, solid_of: Ints) -> None:
    """Give the shells that bound cavities to their bodies, in place, from the largest shell to the smallest.

    A shell lies in the smallest of those around it. It bounds a cavity of a body if the file turns the two opposite
    ways, or, where the file turns all alike, if it is nowhere near the body's skin and no object of its own. What lies
    so in a cavity is a body.
    """
    places, size = made.places, np.abs(volume)
    slack = _SAME * max(extents_mm(made.points))
    under = _UNDER * max(extents_mm(made.points))
    closed = np.nonzero(made.closed)[0]
    low, high = places.shell_low[closed], places.shell_high[closed]
    shell, holder = within(low, high, slack).T
    shell, holder = closed[shell], closed[holder]
    larger = size[holder] > size[shell] * (1.0 + _SAME)
    shell, holder = shell[larger], holder[larger]
    done = -1
    for k in np.lexsort((holder, size[holder], shell, -size[shell])).tolist():
        one, other = int(shell[k]), int(holder[k])
        if one == done:
            continue
        apart = not places.near(one, other, REACH.value)
        if not _lies_in(made, one, other, 1 if apart else _PROBES, under * np.sign(volume[one])):
            continue
        done = one
        own = apart and (not len(solid_of) or _solid(made, solid_of, one) == _solid(made, solid_of, other))
        if own or (volume[one] > 0) != (volume[other] > 0):
            made.body_of[one] = made.body_of[other] if made.body_of[other] == other else one


def _solid(made: Bodies, solid_of: Ints, shell: int) -> int:
    return int(solid_of[made.places.rows[shell][0]])


def _lies_in(made: Bodies, shell: int, holder: int, probes: int, under_mm: float) -> bool:
    """Whether most of a shell, told by places just under the middles of its largest triangles, lies in another."""
    own, around = (made.points[made.corners[made.places.rows[s]]] for s in (shell, holder))
    facing = cross(own[:, 1] - own[:, 0], own[:, 2] - own[:, 0])
    size = np.linalg.norm(facing, axis=1)
    middles = own.mean(axis=1)
    largest = np.lexsort((*middles.T, -size))[:probes]
    places = middles[largest] - under_mm * facing[largest] / np.maximum(size[largest, None], 1e-300)
    return float(np.mean([abs(winding_number(around, place)) > 0.5 for place in places])) > 0.5
