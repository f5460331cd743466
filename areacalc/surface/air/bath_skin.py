"""The skin as the bath meets it: closed, one side out, bodies that meet united, plugged mouths shut with lids; and how
far the true surface lies beyond its triangles: what facets leave out of trapped air and its walls."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints, Note, Surface, SurfaceKind
from areacalc.shape.mesh.boxes import BoxTree
from areacalc.shape.mesh.boxes_loops import triangle_boxes
from areacalc.shape.mesh.measure_loops import normals
from areacalc.shape.mesh.openings import lids
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.shape.mesh.topology_loops import by_label, pair_edges
from areacalc.surface.air.air_loops import first_above
from areacalc.surface.arrangement import arranged
from areacalc.surface.bodies import bodies
from areacalc.surface.covering import Covering
from areacalc.surface.features.fit import distances, gradients, square_to
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.shut_in import lidded
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
    return np.asarray(turn.max(axis=1) * side / 8.0)


_LARGEST_LIDS = 0.01  # of the skin: holes larger than this altogether are no small leaks


@dataclass(frozen=True, eq=False)
class BathSkin:
    """Closed triangles that face the liquid.

    points (p, 3) float64 mm; corners (k, 3) int32, outward by the right-hand rule; parent (k,) int32, the row of
    body.triangles that each is (a piece of), -1 for a lid. whole_mm2 (m,): the area of each of the body's triangles.
    open says that the skin leaks too much for trapped air to be told; the notes say why.
    noise_mm: how far the file's rounding may have moved a corner; nothing for exact faces and profiles. part: the
    surface that the triangles stand for.
    """

    points: Floats
    corners: Ints
    parent: Ints
    whole_mm2: Floats
    open: bool = False
    notes: tuple[Note, ...] = ()
    noise_mm: float = 0.0
    part: SurfaceMap | None = None

    @cached_property
    def beyond(self) -> Beyond:
        """How far the true surface lies beyond the triangles, where its shape is known."""
        if self.part is None:
            return Beyond.flat(len(self.corners))
        return beyond(self.part, self.points, self.corners, self.parent)

    @cached_property
    def true_share(self) -> Floats:
        """The true area of each triangle over its own, threads counted; nothing for lids."""
        return np.where(self.parent >= 0, self.beyond.swell, 0.0)

    def off_mm(self, up: Floats) -> Floats:
        """How far along a unit direction the true surface may lie off each triangle (k,)."""
        side_mm = np.abs(self.beyond.side_mm).max(axis=1, initial=0.0)
        if not side_mm.any():
            return np.asarray(side_mm)
        normal, _ = normals(self.points, self.corners)
        across, *_ = pair_edges(self.corners, len(self.points))
        steep = np.abs(normal @ up)
        smooth = np.einsum("ki,kji->kj", normal, normal[across]) > math.cos(_SMOOTH_RAD)
        beside = np.where(smooth & (across >= 0), steep[across], 0.0).max(axis=1)
        return np.asarray(side_mm * np.maximum(steep, beside))

    @cached_property
    def size_mm(self) -> float:
        """The longest side of the box around it [mm]."""
        return float(np.ptp(self.points[self.corners].reshape(-1, 3), axis=0).max())

    @cached_property
    def rounding_mm(self) -> float:
        """Heights so near each other are one height but for the rounding of the file's numbers [mm]."""
        return 1e-11 * self.size_mm + 1e-15 * float(np.abs(self.points).max(initial=0.0)) + self.noise_mm

    @cached_property
    def spokes(self) -> tuple[Ints, Ints]:
        """Those of its triangles."""
        return spokes(self.corners, len(self.points))

    @cached_property
    def tree(self) -> BoxTree:
        pad = 1e-12 * float(np.abs(self.points).max(initial=1.0))
        low, high = triangle_boxes(self.points, self.corners)
        return BoxTree(low - pad, high + pad)

    @cached_property
    def turned(self) -> tuple[Floats, Floats]:
        """The boxes around the unit normals of what each node of the tree holds."""
        normal = self.cross_mm2 / np.maximum(np.linalg.norm(self.cross_mm2, axis=1), 1e-300)[:, None]
        return self.tree.around(normal, normal)

    def first_along(self, points: Ints, direction: Floats) -> Ints:
        """The row of corners first met along a unit direction from each of the points (rows), -1 for none.

        What is no farther off than rounding is beside the point, not over it: a face seen edge on can seem in the way.
        """
        tree, origins, across = self.tree, self.points[points] + self.rounding_mm * direction, square_to(direction)
        return first_above(self.points, self.corners, tree.node_low, tree.node_high, tree.order, origins, points,
                           direction, *across)  # fmt: skip

    @cached_property
    def cross_mm2(self) -> Floats:
        """Half the cross product of each triangle's sides: its area along its normal [mm2], (k, 3)."""
        a, b, c = (self.points[self.corners[:, j]] for j in range(3))
        return np.asarray(0.5 * np.cross(b - a, c - a))

    @cached_property
    def area_mm2(self) -> Floats:
        """The area of each triangle (k,)."""
        return np.asarray(np.sqrt(np.einsum("ij,ij->i", self.cross_mm2, self.cross_mm2)))

    def share(self, area_mm2: Floats) -> Floats:
        """Areas of these triangles (k,) as shares of the body's triangles (m,)."""
        own = self.parent >= 0
        part = np.bincount(self.parent[own], weights=area_mm2[own], minlength=len(self.whole_mm2))
        share: Floats = np.divide(part, self.whole_mm2, out=np.zeros(len(part)), where=self.whole_mm2 > 0)
        return share.clip(0.0, 1.0)


def spokes(corners: Ints, count: int) -> tuple[Ints, Ints]:
    """The half-edges (3 * triangle + corner) that leave each point, one after another: starts (count + 1,), rows."""
    rows, start = by_label(corners.ravel(), count)
    return start.astype(np.int32), rows.astype(np.int32)


def bath_skin(part: Body | SurfaceMap, covering: Covering | None = None) -> BathSkin:
    """The skin of a part that bounds the liquid; plugs in `covering` shut their mouths.

    Small holes of an open mesh are shut and told; a mesh that is open for the most part is marked `open`.
    """
    body = part if isinstance(part, Body) else part.body
    made = None if isinstance(part, Body) else part.arrangement
    if made is None:
        made = arranged(body, bodies(body.topology, body.solid_of_triangle))
    whole = triangle_areas_mm2(body.vertices, body.triangles)
    points, corners, parent = made.points, made.corners, made.parent
    notes: list[Note] = []
    if not body.topology.closed:
        corners, points, parent, note, leaks = _shut_leaks(points, corners, parent)
        notes.append(note)
        if leaks:
            return BathSkin(points, corners, parent, whole, True, tuple(notes))
    if covering is not None and covering.bare is not None:
        points, corners, parent = lidded(covering.bare)
    noise = 0.0 if len(body.faces) else rounding_mm(body.vertices)
    corners = np.ascontiguousarray(corners, np.int32)
    known = None if isinstance(part, Body) else part
    return BathSkin(points, corners, parent.astype(np.int32), whole, False, tuple(notes), noise, known)


def _shut_leaks(points: Floats, corners: Ints, parent: Ints) -> tuple[Ints, Floats, Ints, Note, bool]:
    area = triangle_areas_mm2(points, corners).sum()
    more, lid = lids(points, corners)
    lid_area = triangle_areas_mm2(more, lid).sum() if len(lid) else 0.0
    leaks = bool(lid_area > _LARGEST_LIDS * area) or not len(lid)
    shut = fact(SurfaceNote.LEAKS_SHUT, holes=quantity(float(lid_area), "mm2"))
    note = Note(fact(SurfaceNote.OPEN_MESH_AIR) if leaks else shut, warns=True)
    if leaks:
        return corners, points, parent, note, True
    return np.concatenate([corners, lid]), more, np.r_[parent, np.full(len(lid), -1, np.int32)], note, False
