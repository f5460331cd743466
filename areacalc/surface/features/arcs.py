"""Walls of one bore that keyways, splines or slits have cut apart along its side."""

import math

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import extents_mm
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind
from areacalc.shape.mesh.boxes import overlaps
from areacalc.shape.mesh.connected import connected
from areacalc.surface.features.axes import coaxial
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.fit import square_to
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.spread_loops import covered

BINS = 144
WHOLE = 0.99
"""The share of a turn from which a wall is in one piece."""
NEAR = 1e-3
"""Of the part's size: axes that pass no nearer to each other are not one."""
ONE_RADIUS = 1e-3
"""Arcs of one bore differ in radius by no larger share."""


def held(surface: Surface, triangles: Floats) -> Ints:
    """How many triangles (t, 3, 3) lie in each of BINS equal parts of a turn about the surface's axis."""
    axis = np.array((*surface.point, *surface.direction))
    u, v = square_to(axis[3:])
    return covered(axis, u, v, triangles, BINS)


def widest_gap(held: Ints) -> float:
    """The share of a turn that the longest run of empty parts makes up.

    >>> widest_gap(np.array([0, 0, 1, 0, 2, 1, 1, 0]))
    0.375
    """
    full = np.nonzero(held)[0]
    if len(full) == 0:
        return 1.0
    return float((np.diff(np.append(full, full[0] + len(held))).max() - 1) / len(held))


def bore_arcs(skin: Creases, cut: PatchCut, shell_of: Ints, inward: NDArray[np.bool_], cover: Floats) -> Ints:
    """A number for each patch (p,), the same for the inward arcs of one wall that lie side by side about one axis.

    shell_of (k,): the shell of each welded triangle. inward (p,), cover (p,): as in Walls.
    """
    straight = np.array([s.kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE) for s in cut.surfaces], bool)
    arcs = np.nonzero(inward & straight & (cover < WHOLE))[0]
    if len(arcs) < 2:
        return np.arange(len(cut.surfaces), dtype=np.int32)
    foot = np.array([_foot(cut.surfaces[p]) for p in arcs])
    slack = NEAR * max(extents_mm(skin.points))
    pairs = overlaps(foot - slack, foot + slack, foot, foot)
    near = arcs[pairs[pairs[:, 0] < pairs[:, 1]]]
    lengths = {int(p): _length(skin, cut, int(p)) for p in np.unique(near)}
    beside = [
        (p, q)
        for p, q in near.tolist()
        if shell_of[cut.rows(p)[0]] == shell_of[cut.rows(q)[0]]
        and coaxial(cut.surfaces[p], cut.surfaces[q])
        and _one_wall(cut.surfaces[p], cut.surfaces[q])
        and _side_by_side(lengths[p], lengths[q])
    ]
    return connected(len(cut.surfaces), *np.array(beside, np.int64).reshape(-1, 2).T)[1]


def in_pairs(label: Ints) -> Ints:
    """Each patch of a label and the next of it (2, n)."""
    order = np.argsort(label, kind="stable")
    same = label[order][1:] == label[order][:-1]
    return np.stack([order[:-1][same], order[1:][same]])


def _foot(surface: Surface) -> Floats:
    """The point of the axis nearest to the origin: the same for all that share it."""
    point, way = np.array(surface.point), np.array(surface.direction)
    return np.asarray(point - (point @ way) * way)


def _length(skin: Creases, cut: PatchCut, p: int) -> tuple[float, float]:
    """Where a patch begins and ends along its axis, which is taken to point the way of its largest component."""
    way = np.array(cut.surfaces[p].direction)
    along = skin.points[skin.corners[cut.rows(p)].ravel()] @ (way * np.sign(way[np.abs(way).argmax()]))
    return float(along.min()), float(along.max())


def _one_wall(one: Surface, two: Surface) -> bool:
    """Whether two cylinders or cones about one axis have one radius, cones where the first one's is told."""
    if one.kind is not two.kind or abs(one.half_angle_rad - two.half_angle_rad) > ONE_RADIUS:
        return False
    way = float(np.dot(one.direction, two.direction))
    if one.kind is SurfaceKind.CONE and way < 0.0:
        return False
    along = float(np.dot(np.subtract(one.point, two.point), two.direction))
    return abs(two.radius_mm + math.tan(two.half_angle_rad) * along - one.radius_mm) <= ONE_RADIUS * one.radius_mm


def _side_by_side(one: tuple[float, float], two: tuple[float, float]) -> bool:
    """Whether the shorter of two lengths along an axis lies mostly beside the longer."""
    shared = min(one[1], two[1]) - max(one[0], two[0])
    return shared > 0.5 * min(one[1] - one[0], two[1] - two[0])
