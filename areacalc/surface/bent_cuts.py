"""Cuts across curved skin: its facets laid finer on the true surface, and what of them may lie beyond the cut."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.measure_loops import normals
from areacalc.surface.features.fit import distances, gradients
from areacalc.surface.skin import Patch, SurfaceMap
from areacalc.surface.split import Pieces, Plane

_DRESSED = (SurfaceKind.THREAD, SurfaceKind.KNURL)  # drawn as a plain wall
_ALONG = (SurfaceKind.CYLINDER, SurfaceKind.CONE)
_FITTED = (SurfaceKind.PLANE, SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.SPHERE, SurfaceKind.TORUS)
_SQUARE = 1e-9  # of a unit vector: what is nearer to the axis is along it
_ROUNDING = 1e-12
_WHOLE = 1e-6  # of an area: two that are nearer are one
_HALVINGS = 3  # each brings facets four times as near to their surface
_MOST_PIECES = 100_000  # of one part: past it facets are not halved again
_SAFE = 1.5  # times how far the middles of a facet lie off its surface; chosen


def bent(skin: SurfaceMap, planes: Sequence[Plane], pieces: Pieces, state: Ints) -> Truths:
    """The patches (p,) of which cuts leave several states, where the share of the facets is not that of the surface.

    So it is where a plane crosses curved skin otherwise than square to its axis, and on a flat with a curved border.
    """
    patch_of = skin.patch_of[pieces.parent]
    several = np.zeros(len(skin.patches), bool)
    if skin.as_drawn or not planes:
        return several
    held = patch_of >= 0
    whole = summed(held[held].astype(float), patch_of[held], len(several))
    for each in np.unique(state):
        mine = summed((state == each)[held].astype(float), patch_of[held], len(several))
        several |= (mine > 0) & (mine < whole)
    for row in np.nonzero(several)[0].tolist():
        patch = skin.patches[row]
        several[row] = any(_leans(patch, normal) for normal, _ in planes) or (
            skin.body.profile is None and not _is_round(patch, pieces.corners[patch_of == row].reshape(-1, 3))
        )
    return several


def _leans(patch: Patch, normal: Floats) -> bool:
    surface = _drawn(patch)
    if surface.kind is SurfaceKind.PLANE:
        return abs(patch.area_mm2.value - patch.facet_area_mm2) > _ROUNDING * patch.facet_area_mm2
    return surface.kind not in _ALONG or 1.0 - abs(float(normal @ np.asarray(surface.direction))) > _SQUARE


def _is_round(patch: Patch, points: Floats) -> bool:
    """Whether a patch goes all round between two heights on its axis, so that its facets are alike everywhere."""
    surface = patch.surface
    if surface.kind not in _ALONG:
        return True
    at = (points - np.asarray(surface.point)) @ np.asarray(surface.direction)
    low, high = float(at.min()), float(at.max())
    slope = math.tan(surface.half_angle_rad)
    mean_mm = surface.radius_mm + 0.5 * (low + high) * slope
    whole_mm2 = 2.0 * math.pi * mean_mm * (high - low) * math.hypot(1.0, slope)
    return abs(patch.area_mm2.value - whole_mm2) <= _WHOLE * whole_mm2


def _drawn(patch: Patch) -> Surface:
    surface = patch.surface
    return replace(surface, kind=SurfaceKind.CYLINDER) if surface.kind in _DRESSED else surface


def on_surfaces(skin: SurfaceMap, pieces: Pieces, patches: Truths) -> Pieces:
    """The pieces, those of some patches (p,) in quarters again and again, with new corners on the true surface."""
    patch_of = skin.patch_of[pieces.parent]
    curved = patches & np.array([patch.surface.kind is not SurfaceKind.PLANE for patch in skin.patches], bool)
    chosen = (patch_of >= 0) & curved[patch_of]
    kept, fine = pieces.only(~chosen), pieces.only(chosen)
    for _ in range(_HALVINGS):
        if 4 * len(fine.parent) > _MOST_PIECES:
            break
        a, b, c = (fine.corners[:, j] for j in range(3))
        of = skin.patch_of[fine.parent]
        ab, bc, ca = (_middles(skin, of, p, q) for p, q in ((a, b), (b, c), (c, a)))
        quarters = [np.stack(each, axis=1) for each in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        fine = Pieces(np.concatenate(quarters), np.tile(fine.parent, 4))
    return Pieces(np.concatenate([kept.corners, fine.corners]), np.concatenate([kept.parent, fine.parent]))


def _middles(skin: SurfaceMap, patch_of: Ints, one: Floats, two: Floats) -> Floats:
    """The middles of edges (n, 3) on the surfaces of their patches (n,), where these are known."""
    out = 0.5 * (one + two)
    for row in np.unique(patch_of).tolist():
        surface = _drawn(skin.patches[row])
        if surface.kind in _FITTED:
            mine = patch_of == row
            places = _round(surface, one[mine], two[mine])
            out[mine] = places - distances(surface, places)[:, None] * gradients(surface, places)
    return out


def _round(surface: Surface, one: Floats, two: Floats) -> Floats:
    """Half way between points (n, 3) and as far from the axis, so that an edge round it stays on its circle."""
    point, axis = np.asarray(surface.point), np.asarray(surface.direction)
    ends = np.stack([one, two]) - point
    along = (ends @ axis).mean(axis=0)[:, None] * axis
    across = ends.mean(axis=0) - along
    out = np.linalg.norm(ends - (ends @ axis)[:, :, None] * axis, axis=2).mean(axis=0)
    near = np.linalg.norm(across, axis=1)
    scale = np.divide(out, near, out=np.ones(len(near)), where=near > 0.0)
    places: Floats = point + along + across * scale[:, None]
    return places


@dataclass(frozen=True, eq=False)
class CutDoubt:
    """area_mm2 (k,): what of each piece may lie beyond a cut. more (p,): the share of a patch that its facets lack."""

    area_mm2: Floats
    more: Floats


def doubt(skin: SurfaceMap, planes: Sequence[Plane], pieces: Pieces, patches: Truths) -> CutDoubt:
    """How far the cuts of some patches (p,) may run beside themselves: as far as facets lie off their surface."""
    patch_of, area = skin.patch_of[pieces.parent], pieces.area_mm2
    rows = np.nonzero((patch_of >= 0) & patches[patch_of])[0]
    off_mm = _off_mm(skin, pieces.only(rows), patch_of[rows])
    share = np.zeros(len(rows))
    for normal, offset in planes:
        height = np.abs(pieces.corners[rows] @ np.asarray(normal, float) - offset)
        near, far = height.min(axis=1), height.max(axis=1)
        high = np.maximum(far - near, 1e-300)
        share += np.where(near < off_mm, np.minimum(2.0 * (off_mm - near) / high, 1.0), 0.0)
    unsure = np.zeros(len(area))
    unsure[rows] = area[rows] * share.clip(max=1.0)
    drawn = summed(area[rows], patch_of[rows], len(skin.patches))
    true = np.array([patch.area_mm2.value for patch in skin.patches])
    more = np.divide(np.abs(true - drawn), true, out=np.zeros(len(true)), where=patches & (true > 0.0))
    for row in np.nonzero(patches)[0].tolist():
        if skin.patches[row].surface.kind in _DRESSED:  # its area is that of the thread, not of the wall that is drawn
            more[row] = off_mm[patch_of[rows] == row].max() / skin.patches[row].surface.radius_mm
    return CutDoubt(unsure, more.clip(max=1.0))


def _off_mm(skin: SurfaceMap, pieces: Pieces, patch_of: Ints) -> Floats:
    """How far pieces (k, 3, 3) may lie off the surface that they stand for."""
    off = np.zeros(len(pieces.parent))
    free: Floats | None = None
    for row in np.unique(patch_of).tolist():
        mine, surface = patch_of == row, _drawn(skin.patches[row])
        if surface.kind not in _FITTED:
            free = _sag_mm(skin) if free is None else free
            off[mine] = free[pieces.parent[mine]]
            continue
        ring = pieces.corners[mine]
        places = np.concatenate(
            [ring, 0.5 * (ring + np.roll(ring, 1, axis=1)), ring.mean(axis=1, keepdims=True)], axis=1
        )
        off[mine] = np.abs(distances(surface, places.reshape(-1, 3)).reshape(len(ring), -1)).max(axis=1)
    return _SAFE * off


def _sag_mm(skin: SurfaceMap) -> Floats:
    """How far each triangle of the body may lie off a smooth surface through its corners, by how it turns to the next.

    A chord of c over which a curve turns by t sags by c/2 tan(t/4).
    """
    mesh = skin.body.topology
    a, b, c = (mesh.points[mesh.corners[:, j]] for j in range(3))
    normal, area = normals(mesh.points, mesh.corners)
    sag = np.zeros(len(area))
    patch_of = skin.patch_of[mesh.triangle_of]
    for side, (p, q) in enumerate(((a, b), (b, c), (c, a))):
        beyond = mesh.across[:, side]
        same = (beyond >= 0) & (patch_of[beyond] == patch_of)
        turn = np.arccos(np.abs(np.einsum("ij,ij->i", normal, normal[beyond])).clip(max=1.0)) * same
        across = 2.0 * area / np.maximum(np.linalg.norm(q - p, axis=1), 1e-300)
        sag = np.maximum(sag, 0.5 * across * np.tan(0.25 * turn))
    out = np.zeros(len(skin.patch_of))
    out[mesh.triangle_of] = sag
    return out
