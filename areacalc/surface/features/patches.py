"""The skin cut into patches: what surface each flat of a mesh belongs to, or the exact faces of the source."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from areacalc.shape.body import Body, summed
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology_loops import by_label, join_some
from areacalc.surface.features.border import Borders
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.fit import distances, gradients
from areacalc.surface.features.flats import SMOOTH_RAD, FlatRegion
from areacalc.surface.features.region_fit import surfaces_of

FREE = Surface(SurfaceKind.FREE_FORM)
STEEPEST = 0.5
"""Cosine of the most that a mesher's long facet leans away from the surface that its corners lie on."""


@dataclass(frozen=True, eq=False)
class PatchCut:
    """Which patch each welded triangle belongs to, patch_of (k,) int32, and each patch's surface.

    faces: for a source with exact faces, the rows of Body.faces that make up each patch; empty otherwise.
    """

    mesh: Creases
    patch_of: Ints
    surfaces: tuple[Surface, ...]
    faces: tuple[tuple[int, ...], ...] = ()

    @cached_property
    def edge(self) -> Borders:
        """The half-edges where patches meet."""
        return Borders.of(self.mesh, self.patch_of)

    @cached_property
    def facet_mm2(self) -> Floats:
        """The plain sum of each patch's facets (p,)."""
        return summed(self.mesh.area, self.patch_of, len(self.surfaces))

    @cached_property
    def size(self) -> Ints:
        """How many triangles each patch has (p,)."""
        return np.bincount(self.patch_of, minlength=len(self.surfaces))

    @cached_property
    def _sorted(self) -> tuple[Ints, Ints]:
        return by_label(self.patch_of, len(self.surfaces))

    def rows(self, *patches: int) -> Ints:
        """The welded triangles of these patches."""
        order, first = self._sorted
        return np.concatenate([order[first[p] : first[p + 1]] for p in patches])

    def corners(self, *patches: int) -> Floats:
        """Where the corners of their triangles are (t, 3, 3) [mm]."""
        return np.asarray(self.mesh.points[self.mesh.corners[self.rows(*patches)]])

    def points(self, *patches: int) -> Floats:
        """The same, each once (n, 3)."""
        return np.asarray(self.mesh.points[np.unique(self.mesh.corners[self.rows(*patches)])])

    def are(self, *kinds: SurfaceKind) -> Truths:
        """Which patches (p,) lie on surfaces of these kinds."""
        return np.array([s.kind in kinds for s in self.surfaces], bool)

    def on(self, surfaces: tuple[Surface, ...]) -> PatchCut:
        """The same patches on other surfaces; what is known of their borders stays."""
        made = copy(self)
        made.__dict__["surfaces"] = surfaces
        return made


def cut_mesh(skin: Creases, as_drawn: bool = False) -> PatchCut:
    """Cut a mesh: flats alone are planes, flats that bend into each other are looked at together."""
    patch_of = np.full(len(skin.corners), -1, np.int32)
    found: list[Surface | None] = []
    if not as_drawn:
        same_flat = skin.flat_of[np.maximum(skin.across, 0)] == skin.flat_of[:, None]
        region_of, groups = join_some(skin.across, (np.abs(skin.angle) <= SMOOTH_RAD) | same_flat)
        by_flat, begin = by_label(skin.flat_of, skin.flat_count)
        bent = np.bincount(region_of[by_flat[begin[:-1]]], minlength=groups) >= 3
        order, first = by_label(region_of[by_flat], groups)
        order = by_flat[order]  # the triangles of a region together, and in it those of a flat
        for g in np.nonzero(bent)[0]:
            region = FlatRegion.of(skin, order[first[g] : first[g + 1]])
            for rows, surface in surfaces_of(region):
                patch_of[rows] = len(found)
                found.append(surface)
    left = patch_of < 0
    if left.any():
        used = np.bincount(skin.flat_of[left]) > 0
        patch_of[left] = (len(found) - 1 + np.cumsum(used))[skin.flat_of[left]]
        found.extend([None] * int(used.sum()))
    return _taken_in(_together(PatchCut(skin, patch_of, with_planes(skin, patch_of, found))))


def with_planes(skin: Creases, patch_of: Ints, found: list[Surface | None]) -> tuple[Surface, ...]:
    """Give every patch that has no surface yet the mean plane of its triangles."""
    count = len(found)
    normal = summed(skin.normal * skin.area[:, None], patch_of, count)
    area = summed(skin.area, patch_of, count)
    point = summed(skin.middle * skin.area[:, None], patch_of, count)
    point /= np.where(area > 0, area, 1.0)[:, None]
    length = np.linalg.norm(normal, axis=1)
    normal /= np.where(length > 0, length, 1.0)[:, None]
    return tuple(
        surface
        if surface is not None
        else Surface(SurfaceKind.PLANE, (p[0], p[1], p[2]), (n[0], n[1], n[2]) if any(n) else (0.0, 0.0, 1.0))
        for surface, p, n in zip(found, point.tolist(), normal.tolist(), strict=True)
    )


def cut_faces(body: Body, skin: Creases, triangle_of: Ints) -> PatchCut:
    """The exact faces as patches; neighbours on one surface with the same name and colour become one."""
    face = body.face_of_triangle[triangle_of]
    used, label = np.unique(face, return_inverse=True)
    surfaces = tuple(body.faces[f].surface if f >= 0 else FREE for f in used)
    faces = tuple((int(f),) if f >= 0 else () for f in used)
    return _together(PatchCut(skin, label.astype(np.int32), surfaces, faces), body)


def _together(cut: PatchCut, body: Body | None = None) -> PatchCut:
    """Join neighbouring patches that lie on one surface."""
    count, edge = len(cut.surfaces), cut.edge
    smooth = (edge.patch < edge.other) & (np.abs(edge.bend) <= SMOOTH_RAD)
    meeting, _ = edge.pairs(np.nonzero(smooth)[0])
    pairs = [pair for pair in meeting.tolist() if cut.surfaces[pair[0]].kind is cut.surfaces[pair[1]].kind]
    if not pairs:
        return cut
    root = np.arange(count)
    for one, two in pairs:
        large, small = (one, two) if cut.size[one] >= cut.size[two] else (two, one)
        surface = cut.surfaces[large]
        if surface.kind is SurfaceKind.FREE_FORM or (body is not None and not _alike(body, cut, one, two)):
            continue
        some = cut.corners(small)
        points = some[:: max(1, len(some) // 200)].reshape(-1, 3)
        near = np.abs(distances(surface, points)).max() <= 16.0 * cut.mesh.noise_mm
        if near and _same_shape(surface, cut.surfaces[small]):
            while root[one] != one:
                one = root[one]
            while root[two] != two:
                two = root[two]
            root[max(one, two)] = min(one, two)
    return relabelled(cut, root, cut.size)


def _taken_in(cut: PatchCut) -> PatchCut:
    """Give free-form patches to the round surface beside them that holds every corner: a mesher's long facets.

    The bounds of a patch on its surface reach down to its facets, so they hold both readings.
    """
    free, flat = cut.are(SurfaceKind.FREE_FORM), cut.are(SurfaceKind.PLANE)
    if not free.any() or (free | flat).all():
        return cut
    edge = cut.edge
    beside = edge.inner & free[edge.patch] & ~free[edge.beside] & ~flat[edge.beside]
    pairs, _ = edge.pairs(np.nonzero(beside)[0])
    root = np.arange(len(free))
    for patch, host in pairs:
        if root[patch] == patch and _holds(cut.mesh, cut.surfaces[host], cut.rows(patch), cut.rows(host)):
            root[patch] = host
    if (root == np.arange(len(free))).all():
        return cut
    return relabelled(cut, root, np.where(free, 0, cut.size))


def _holds(skin: Creases, surface: Surface, rows: Ints, host: Ints) -> bool:
    """Whether these triangles have every corner on the host's surface, and face the way the host's triangles do."""
    for some in (rows[:100], rows):  # a few tell of a large patch that is something else
        if np.abs(distances(surface, skin.points[skin.corners[some].ravel()])).max() > 16.0 * skin.noise_mm:
            return False
    faces = [np.einsum("ij,ij->i", gradients(surface, skin.middle[some]), skin.normal[some]) for some in (rows, host)]
    return bool((faces[0] * np.sign(faces[1].sum()) >= STEEPEST).all())


def _alike(body: Body, cut: PatchCut, one: int, two: int) -> bool:
    marks = [{(body.faces[f].name, body.faces[f].colour) for f in cut.faces[p]} for p in (one, two)]
    return marks[0] == marks[1]


def _same_shape(one: Surface, two: Surface) -> bool:
    """Whether two surfaces of one kind may be one: sizes and directions agree to a thousandth."""
    if one.kind is not SurfaceKind.SPHERE and abs(float(np.dot(one.direction, two.direction))) < 0.999:
        return False
    sizes = np.array([[s.minor_radius_mm, s.half_angle_rad] for s in (one, two)])
    return bool(np.allclose(sizes[0], sizes[1], rtol=1e-3))


def relabelled(cut: PatchCut, root: Ints, size: Ints) -> PatchCut:
    """The patches joined to their roots (p,), each on the surface of the largest by size (p,)."""
    for p in range(len(root)):
        root[p] = root[root[p]]
    kept, label = np.unique(root, return_inverse=True)
    best = np.zeros(len(kept), int)
    faces: list[tuple[int, ...]] = [()] * len(kept)
    for p in np.argsort(size, kind="stable"):
        best[label[p]] = p
    if cut.faces:
        for p, group in enumerate(label):
            faces[group] += cut.faces[p]
    surfaces = tuple(cut.surfaces[p] for p in best)
    return PatchCut(cut.mesh, label.astype(np.int32)[cut.patch_of], surfaces, tuple(faces) if cut.faces else ())
