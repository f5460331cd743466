"""What each patch is to its own axis: whether it faces it, how far round it goes, and which arcs are of one wall that
keyways, splines or slits have cut apart along its side."""

import math
from dataclasses import dataclass, replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.boxes import overlaps
from areacalc.shape.mesh.topology import connected
from areacalc.surface.features.axes import AXIAL, coaxial
from areacalc.surface.features.fit import gradients, square_to
from areacalc.surface.features.fit_loops import covered
from areacalc.surface.features.patches import PatchCut

BORE_COVER = 200.0 / 360.0
"""A wall that wraps its axis by more than this holds a round tool or a plug by itself."""
BINS = 144
WHOLE = 0.99  # the share of a turn from which a wall is in one piece
NEAR = 1e-3  # of the part's size: axes that pass no nearer to each other are not one
ONE_RADIUS = 1e-3  # arcs of one bore differ in radius by no larger share


@dataclass(frozen=True, eq=False)
class Walls:
    """What each patch is to its own axis: inward (p,) bool faces it; cover (p,) the share of a turn it wraps.

    wall_of (p,): one number for all arcs of a bore wall that keyways or slits have cut apart. Their cover is what is
    left of a turn without the widest gap between them.
    """

    inward: Truths
    cover: Floats
    wall_of: Ints


def walls(cut: PatchCut, shell_of: Ints) -> Walls:
    """Which patches face their own axis, and how far round it they go; shell_of (k,) is that of each triangle."""
    skin, count = cut.mesh, len(cut.surfaces)
    inward, cover = np.zeros(count, bool), np.zeros(count)
    for p, surface in enumerate(cut.surfaces):
        if surface.kind not in (*AXIAL, SurfaceKind.SPHERE):
            continue
        rows = cut.rows(p)
        ball = surface.kind is SurfaceKind.SPHERE
        out = gradients(surface if ball else replace(surface, kind=SurfaceKind.CYLINDER), skin.middle[rows])
        inward[p] = float(np.einsum("ij,ij,i->", out, skin.normal[rows], skin.area[rows])) < 0
        cover[p] = float((held(surface, cut.corners(p)) > 0).mean())
    wall_of = bore_arcs(cut, shell_of, inward, cover)
    for group in np.nonzero(np.bincount(wall_of) > 1)[0]:
        arcs = np.nonzero(wall_of == group)[0]
        cover[arcs] = np.maximum(cover[arcs], 1.0 - widest_gap(held(cut.surfaces[arcs[0]], cut.corners(*arcs))))
    return Walls(inward, cover, wall_of)


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


def bore_arcs(cut: PatchCut, shell_of: Ints, inward: Truths, cover: Floats) -> Ints:
    """A number for each patch (p,), the same for the inward arcs of one wall that lie side by side about one axis.

    shell_of (k,): the shell of each welded triangle. inward (p,), cover (p,): as in Walls.
    """
    arcs = np.nonzero(inward & cut.are(SurfaceKind.CYLINDER, SurfaceKind.CONE) & (cover < WHOLE))[0]
    if len(arcs) < 2:
        return np.arange(len(cut.surfaces), dtype=np.int32)
    point, way = (np.array([getattr(cut.surfaces[p], name) for p in arcs]) for name in ("point", "direction"))
    foot = point - np.einsum("ij,ij->i", point, way)[:, None] * way  # the same for all that share an axis
    slack = NEAR * cut.mesh.size_mm
    pairs = overlaps(foot - slack, foot + slack, foot, foot)
    near = arcs[pairs[pairs[:, 0] < pairs[:, 1]]]
    lengths = {int(p): _length(cut, int(p)) for p in np.unique(near)}
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


def _length(cut: PatchCut, p: int) -> tuple[float, float]:
    """Where a patch begins and ends along its axis, which is taken to point the way of its largest component."""
    way = np.array(cut.surfaces[p].direction)
    along = cut.corners(p).reshape(-1, 3) @ (way * np.sign(way[np.abs(way).argmax()]))
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
