"""The skin as the bath meets it: closed, one side out, bodies that meet united, plugged mouths shut with lids."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Body, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.surface.features.lids import lids
from areacalc.surface.features.shells import Shells, shells

if TYPE_CHECKING:
    from areacalc.shape.mesh.boxes import BoxTree
    from areacalc.surface.covering import Covering

_LARGEST_LIDS = 0.01  # of the skin: holes larger than this altogether are no small leaks


@dataclass(frozen=True, eq=False)
class BathSkin:
    """Closed triangles that face the liquid.

    points (p, 3) float64 mm; corners (k, 3) int32, outward by the right-hand rule; parent (k,) int32, the row of
    body.triangles that each is (a piece of), -1 for a lid. whole_mm2 (m,): the area of each of the body's triangles.
    open says that the skin leaks too much for trapped air to be told; the notes say why.
    """

    points: Floats
    corners: Ints
    parent: Ints
    whole_mm2: Floats
    open: bool = False
    notes: tuple[Note, ...] = ()

    @cached_property
    def size_mm(self) -> float:
        """The longest side of the box around it [mm]."""
        return float(np.ptp(self.points[self.corners].reshape(-1, 3), axis=0).max())

    @cached_property
    def rounding_mm(self) -> float:
        """Heights so near each other are one height but for rounding [mm]."""
        return 1e-11 * self.size_mm + 1e-15 * float(np.abs(self.points).max(initial=0.0))

    @cached_property
    def spokes(self) -> tuple[Ints, Ints]:
        """The half-edges (3 * triangle + corner) that leave each point, in a row of their own: starts (p+1,), rows."""
        from areacalc.surface.air.air_loops import outgoing

        return outgoing(self.corners, len(self.points))

    @cached_property
    def tree(self) -> BoxTree:
        """The triangles' boxes, for rays."""
        from areacalc.shape.mesh.boxes import BoxTree
        from areacalc.shape.mesh.boxes_loops import triangle_boxes

        pad = 1e-12 * float(np.abs(self.points).max(initial=1.0))
        low, high = triangle_boxes(self.points, self.corners)
        return BoxTree(low - pad, high + pad)

    @cached_property
    def cross_mm2(self) -> Floats:
        """Half the cross product of each triangle's sides: its area along its normal [mm2], (k, 3)."""
        a, b, c = (self.points[self.corners[:, j]] for j in range(3))
        return np.asarray(0.5 * np.cross(b - a, c - a))

    def share(self, area_mm2: Floats) -> Floats:
        """Areas of these triangles (k,) as shares of the body's triangles (m,)."""
        own = self.parent >= 0
        part = np.bincount(self.parent[own], weights=area_mm2[own], minlength=len(self.whole_mm2))
        share: Floats = np.divide(part, self.whole_mm2, out=np.zeros(len(part)), where=self.whole_mm2 > 0)
        return share.clip(0.0, 1.0)


def bath_skin(body: Body, covering: Covering | None = None) -> BathSkin:
    """The skin of the body that bounds the liquid; plugs in `covering` shut their mouths.

    Small holes of an open mesh are shut and told; a mesh that is open for the most part is marked `open`.
    """
    mesh = body.topology
    whole = triangle_areas_mm2(body.vertices, body.triangles)
    turned = shells(mesh)
    points, corners, parent = mesh.points, turned.corners, mesh.triangle_of
    notes: list[Note] = []
    if not mesh.closed:
        corners, points, parent, note, leaks = _shut_leaks(points, corners, parent)
        notes.append(note)
        if leaks:
            return BathSkin(points, corners, parent, whole, True, tuple(notes))
    elif mesh.shell_count > 1:
        points, corners, parent, more = _united(body, turned)
        notes += more
    if covering is not None:
        from areacalc.surface.plugged import shut

        points, corners, parent = shut(points, corners, parent, body, covering)
    return BathSkin(
        points, np.ascontiguousarray(corners, np.int32), parent.astype(np.int32), whole, False, tuple(notes)
    )


def _shut_leaks(points: Floats, corners: Ints, parent: Ints) -> tuple[Ints, Floats, Ints, Note, bool]:
    area = triangle_areas_mm2(points, corners).sum()
    more, lid = lids(points, corners)
    lid_area = triangle_areas_mm2(more, lid).sum() if len(lid) else 0.0
    leaks = bool(lid_area > _LARGEST_LIDS * area) or not len(lid)
    text = (
        "the mesh is open, so trapped air cannot be told: none is taken off; export the part as a closed solid"
        if leaks
        else f"the mesh leaks; its holes ({lid_area:.3g} mm2) were taken as shut when looking for trapped air"
    )
    note = Note("open-mesh-air" if leaks else "leaks-shut", text, warns=True)
    if leaks:
        return corners, points, parent, note, True
    return np.concatenate([corners, lid]), more, np.r_[parent, np.full(len(lid), -1, np.int32)], note, False


def _united(body: Body, turned: Shells) -> tuple[Floats, Ints, Ints, list[Note]]:
    """Bodies that lie in or against one another, as one skin."""
    mesh = body.topology
    plain = (mesh.points, turned.corners, mesh.triangle_of)
    from areacalc.surface.mated import exposure

    if not exposure(body).united:
        return *plain, []
    united = _union(mesh.points, turned, mesh.shell_of)
    if united is None:
        text = "bodies that meet could not be united, so trapped air between them may be wrong"
        return *plain, [Note("air-not-united", text, warns=True)]
    points, corners, number = united
    return points, corners, mesh.triangle_of[number], []


def _union(points: Floats, turned: Shells, shell_of: Ints) -> tuple[Floats, Ints, NDArray[np.int64]] | None:
    import manifold3d

    solids = []
    owner = np.where(turned.inside >= 0, turned.inside, np.arange(len(turned.inside)))[shell_of]
    for solid in np.unique(owner):
        rows = np.nonzero(owner == solid)[0]
        used, index = np.unique(turned.corners[rows], return_inverse=True)
        mesh = manifold3d.Mesh64(
            np.array(points[used], order="C"), index.reshape(-1, 3).astype(np.uint64), face_id=rows.astype(np.uint64)
        )
        solids.append(manifold3d.Manifold(mesh))
    union = manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add)
    if union.status() != manifold3d.Error.NoError or union.num_tri() == 0:
        return None
    mesh = union.to_mesh64()
    # corners on a seam may stand more than once: the same place is one point
    raw = np.ascontiguousarray(np.asarray(mesh.vert_properties)[:, :3])
    merged = np.arange(len(raw))
    merged[np.asarray(mesh.merge_from_vert, np.int64)] = np.asarray(mesh.merge_to_vert, np.int64)
    corners = merged[np.asarray(mesh.tri_verts, np.int64)].astype(np.int32)
    return raw, corners, np.asarray(mesh.face_id).astype(np.int64)
