"""How far the true surface lies beyond the triangles of a mesh: what facets leave out of trapped air and its walls."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind
from areacalc.shape.mesh.measure_loops import normals
from areacalc.shape.mesh.topology_loops import pair_edges
from areacalc.surface.features.fit import distances, gradients
from areacalc.surface.skin import SurfaceMap

_ON = 1e-3  # of a side: corners farther off their surface are none of it
_SMOOTH_RAD = 0.8  # a greater bend is an edge
_EVEN = {SurfaceKind.PLANE: 0.25, SurfaceKind.CYLINDER: 0.25}  # whose facets are all short of it alike, but for this
_DRESSED = (SurfaceKind.THREAD, SurfaceKind.KNURL)  # of exact area, on a plain wall
_UNSURE = 0.25
"""How far off the correction of a facet may be, as a share of it, where its surface is known; all of it elsewhere."""


@dataclass(frozen=True, eq=False)
class Beyond:
    """For each triangle (k,): how far the true surface lies beyond it, outward of the metal.

    lift_mm in the mean, give or take doubt_mm; side_mm (k, 3) at the middle of each side. swell is its true area over
    its own, give or take swell_doubt.
    """

    lift_mm: Floats
    doubt_mm: Floats
    side_mm: Floats
    swell: Floats
    swell_doubt: Floats

    @classmethod
    def flat(cls, count: int) -> Beyond:
        """Triangles that are the true shape."""
        return cls(np.zeros(count), np.zeros(count), np.zeros((count, 3)), np.ones(count), np.zeros(count))


def beyond(part: SurfaceMap, points: Floats, corners: Ints, parent: Ints) -> Beyond:
    """What lies beyond the triangles (k, 3) of a part's skin; parent (k,): rows of its body's triangles, -1 for lids.

    By the middles of the sides, which is exact for what bends as a parabola does.
    """
    made = Beyond.flat(len(corners))
    if part.as_drawn:
        return made
    patch = np.where(parent >= 0, part.patch_of[parent], -1)
    facet = np.array([max(each.facet_area_mm2, 1e-300) for each in part.patches])
    true = np.array([each.area_mm2.value for each in part.patches])
    curved = np.array([each.surface.kind is not SurfaceKind.PLANE for each in part.patches])
    own = patch >= 0
    unsure = np.array(
        [0.0 if each.surface.kind in _DRESSED else _EVEN.get(each.surface.kind, 1.0) for each in part.patches]
    )
    made.swell[own] = (true / facet)[patch[own]]
    made.swell_doubt[own] = (unsure * np.abs(true / facet - 1.0))[patch[own]]
    rows = np.nonzero(own & curved[patch])[0]
    order = rows[np.argsort(patch[rows], kind="stable")]
    groups = np.split(order, np.nonzero(np.diff(patch[order]))[0] + 1) if len(order) else []
    free = [rows for rows in groups if not _lift(part.patches[patch[rows[0]]].surface, points, corners, rows, made)]
    if free:
        rows = np.concatenate(free)
        across, *_ = pair_edges(corners, len(points))
        made.doubt_mm[rows] = _bend_mm(points, corners, rows, across)
        made.side_mm[rows] = made.doubt_mm[rows, None]
    return made


def _lift(surface: Surface, points: Floats, corners: Ints, rows: Ints, made: Beyond) -> bool:
    """Fill in what lies beyond the rows of one patch; False where they do not lie on its surface."""
    if surface.kind in _DRESSED:
        surface = replace(surface, kind=SurfaceKind.CYLINDER)
    ring = points[corners[rows]]
    sides = np.roll(ring, -1, axis=1) - ring
    off = distances(surface, ring.reshape(-1, 3)).reshape(-1, 3)
    if not (np.abs(off) <= _ON * np.linalg.norm(sides, axis=2).max(axis=1)[:, None]).all():
        return False
    middle = (ring + 0.5 * sides).reshape(-1, 3)
    normal = np.cross(sides[:, 0], sides[:, 1])
    outward = np.sign(np.einsum("kij,kj->ki", gradients(surface, middle).reshape(-1, 3, 3), normal))
    lift = -distances(surface, middle).reshape(-1, 3) * outward
    made.lift_mm[rows] = lift.mean(axis=1)
    made.side_mm[rows] = lift
    made.doubt_mm[rows] = _UNSURE * np.abs(made.lift_mm[rows])
    return True


def _bend_mm(points: Floats, corners: Ints, rows: Ints, across: Ints) -> Floats:
    """How far a free form may lie off some of its triangles: as far as an arc that bends as they do."""
    normal, _ = normals(points, corners)
    beside = across[rows]
    turn = np.arccos(np.einsum("ki,kji->kj", normal[rows], normal[beside]).clip(-1.0, 1.0))
    turn[(beside < 0) | (turn > _SMOOTH_RAD)] = 0.0
    ring = points[corners[rows]]
    side = np.linalg.norm(np.roll(ring, -1, axis=1) - ring, axis=2).max(axis=1)
    bend: Floats = turn.max(axis=1) * side / 8.0
    return bend
