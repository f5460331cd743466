"""The union of solids as one skin, each of its triangles knowing the one it was cut from, and how much of each body's
skin it shows: by facets, and by true areas where surfaces are known."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from areacalc.estimate import Estimate
from areacalc.known_wrong import refuse_wrong
from areacalc.shape.body import summed, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology_loops import pair_edges
from areacalc.surface.features.creases import Creases, creases
from areacalc.surface.features.fit import distances
from areacalc.surface.features.patches import FREE, PatchCut
from areacalc.surface.features.true_area import piece_areas


class NotSolid(ValueError):
    """A part's skin is not that of a solid."""


@dataclass(frozen=True, eq=False)
class Solid:
    """points (p, 3) mm; corners (k, 3) rows of points, outward; parent (k,): the number each triangle is known by."""

    points: Floats
    corners: Ints
    parent: Ints


def unite(solids: Sequence[Solid]) -> Solid:
    """The skin of the union, cavities that it shuts included. Raises NotSolid."""
    refuse_wrong("manifold3d")
    import manifold3d

    parts = []
    middle = np.concatenate([solid.points for solid in solids]).mean(axis=0)  # coordinates near nought round least
    for solid in solids:
        used, index = np.unique(solid.corners, return_inverse=True)
        points = np.array(solid.points[used] - middle, order="C")
        mesh = manifold3d.Mesh64(points, index.reshape(-1, 3).astype(np.uint64),
                                 face_id=solid.parent.astype(np.uint64))  # fmt: skip
        part = manifold3d.Manifold(mesh)
        if part.status() != manifold3d.Error.NoError:
            raise NotSolid(f"the surface of one is not that of a solid: {part.status().name}")
        parts.append(part)
    union = manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)
    if union.status() != manifold3d.Error.NoError or union.num_tri() == 0:
        raise NotSolid("the union failed")
    mesh = union.to_mesh64()
    # corners on a seam may stand more than once: the same place is one point
    points = np.ascontiguousarray(np.asarray(mesh.vert_properties)[:, :3])
    merged = np.arange(len(points))
    merged[np.asarray(mesh.merge_from_vert, np.int64)] = np.asarray(mesh.merge_to_vert, np.int64)
    corners = merged[np.asarray(mesh.tri_verts, np.int64)].astype(np.int32)
    return Solid(points + middle, corners, np.asarray(mesh.face_id).astype(np.int64))


_WHOLE = 1e-9  # shares this near to all or nothing are rounding
_FLATTEST = 0.25  # sine of the angle between bodies that cut each other; chosen: below it the contact is in doubt
_BEND = 1.0  # [rad]: edges that turn by more are no bend of one surface
_LITTLE = 1e-3  # of a patch: facets that were moved to touch may hide so much of others that they pass

Share = tuple[Floats, Floats, Floats]
"""The share of each of the welded triangles, its least and its most, (k,) each."""


@dataclass(frozen=True, eq=False)
class Look:
    """What is known of the skin's surfaces: its patches, their true areas, and which of them lie on their surface."""

    bent: Creases
    cut: PatchCut
    areas: list[Estimate]
    known: Truths

    @cached_property
    def surfaces(self) -> tuple[Surface, ...]:
        """The surface of each patch, a free form where it does not lie on one."""
        return tuple(s if sure else FREE for s, sure in zip(self.cut.surfaces, self.known.tolist(), strict=True))

    @cached_property
    def free(self) -> Truths:
        """Which triangles (k,) are of a free form."""
        return np.asarray(~self.known[self.cut.patch_of])

    @cached_property
    def turn_rad(self) -> Floats:
        """How far the skin bends at each edge (k, 3), 0 where two surfaces meet."""
        return np.asarray(np.where(np.abs(self.bent.angle) < _BEND, np.abs(self.bent.angle), 0.0))

    @cached_property
    def sag_mm(self) -> Floats:
        """How far the true skin may lie off each facet (k,) [mm]."""
        bent, free = self.bent, self.free
        sag = np.zeros(len(bent.corners))
        ring = bent.points[bent.corners]
        sag[free] = self.turn_rad[free].max(axis=1) * _sides_mm(bent)[free].max(axis=1) / 8.0
        for p, surface in enumerate(self.cut.surfaces):
            if self.known[p] and surface.kind is not SurfaceKind.PLANE:
                rows = self.cut.rows(p)
                for j in range(3):
                    middle = 0.5 * (ring[rows, j] + ring[rows, (j + 1) % 3])
                    sag[rows] = np.maximum(sag[rows], np.abs(distances(surface, middle)))
        return sag


@dataclass(frozen=True, eq=False)
class Shown:
    """The skin of all bodies together, parent (t,) being rows of the welded triangles (k,).

    sealed (t,) bool: the room outside does not reach it. area_mm2 (k,): of the welded triangles as they were moved;
    doubt_mm2 (k,): what of them touches by more than rounding; loose (k,) bool: their cavities are shut by such a
    touch. met (k,): they belong to bodies that were united. slivers_mm2 (s,): how much of each surface moved facets may
    hide. cavities: how many pieces of the skin are walls of cavities.
    """

    skin: Solid
    sealed: Truths
    area_mm2: Floats
    doubt_mm2: Floats
    slivers_mm2: Floats
    loose: Truths
    met: Truths
    cavities: int


def shares(shown: Shown, look: Look | None, area_mm2: Floats) -> tuple[Share, Share]:
    """The shares that are hidden and sealed of triangles with these areas as drawn (k,)."""
    skin, count = shown.skin, len(area_mm2)
    size = triangle_areas_mm2(skin.points, skin.corners)
    open_, sealed = (
        np.divide(summed(np.where(each, size, 0.0), skin.parent, count), shown.area_mm2, out=np.zeros(count),
                  where=shown.area_mm2 > 0)
        for each in (~shown.sealed, shown.sealed)
    )  # fmt: skip
    for share in (open_, sealed):
        share[share > 1.0 - _WHOLE] = 1.0
        share[share < _WHOLE] = 0.0
    hidden = (1.0 - open_ - sealed).clip(0.0, 1.0)
    three = np.stack([hidden, hidden, hidden]), np.stack([sealed, sealed, sealed])
    if look is not None and shown.met.any():
        _corrected(shown, look, area_mm2, *three)
    doubt = np.divide(shown.doubt_mm2, area_mm2, out=np.zeros(count), where=area_mm2 > 0)
    three[0][1] = (three[0][1] - doubt).clip(min=0.0)
    three[1][1, shown.loose] = 0.0
    return tuple(three[0]), tuple(three[1])


def _corrected(shown: Shown, look: Look, area_mm2: Floats, hidden: Floats, sealed: Floats) -> None:
    """Scale the shares (3, k) on every patch that is partly hidden to what the true areas come to, in place."""
    patch_of, count = look.cut.patch_of, len(look.cut.surfaces)
    lost = summed(hidden[0] * area_mm2, patch_of, count)
    spared = (lost > 0) & (lost <= shown.slivers_mm2)
    whole = spared[patch_of]
    sealed[:, whole] /= np.maximum(1.0 - hidden[:, whole], 1e-300)
    hidden[:, whole] = 0.0
    facet = np.maximum(summed(area_mm2, patch_of, count), 1e-300)
    partly = (lost > 0) & ~spared & (lost < facet * (1.0 - _WHOLE))
    if not partly.any():
        return
    true = np.maximum([each.value for each in look.areas], 1e-300)
    seen, shut = _true_shares(shown, look, true)
    drawn = 1.0 - lost / facet
    for p in np.nonzero(partly)[0].tolist():
        rows = look.cut.rows(p)
        apart = sealed[0, rows].copy()
        if shut[0, p] > 0 and apart.any():
            held = float(apart @ area_mm2[rows]) / facet[p]
            sealed[:, rows] = np.minimum(apart * shut[:, p, None] / held, 1.0 - hidden[0, rows])
        for j in range(3):  # the least hidden goes with the most that is seen
            want, had = seen[(0, 2, 1)[j], p] + shut[(0, 2, 1)[j], p], drawn[p]
            own = hidden[j, rows]
            hidden[j, rows] = 1.0 - (1.0 - own) * (want / had) if want < had else own * (1.0 - want) / (1.0 - had)
        if lost[p] < _LITTLE * facet[p]:
            hidden[1, rows] = 0.0


def _true_shares(shown: Shown, look: Look, true_mm2: Floats) -> tuple[Floats, Floats]:
    """What is seen and what is sealed of each patch as shares of its true area: value, least and most (3, s) each."""
    count = len(look.cut.surfaces)
    skin, noise = shown.skin, look.bent.noise_mm
    mine = shown.met[skin.parent]
    corners, parent = np.ascontiguousarray(skin.corners[mine]), skin.parent[mine]
    across, *_ = pair_edges(corners, len(skin.points))
    bent = replace(creases(skin.points, corners, across), noise_mm=noise)
    piece = look.cut.patch_of[parent] + count * shown.sealed[mine]
    used, piece_of = np.unique(piece, return_inverse=True)
    known = look.known[used % count]
    surfaces = tuple(look.surfaces[p] for p in (used % count).tolist())
    value, doubt = piece_areas(PatchCut(bent, piece_of.astype(np.int32), surfaces), known)
    moved_mm2 = summed(np.where(shown.met, shown.area_mm2, 0.0), look.cut.patch_of, count)
    drawn = summed(bent.area, piece_of, len(used)) / np.maximum(moved_mm2, 1e-300)[used % count]
    value = np.where(known, value, drawn * true_mm2[used % count])
    off_mm2 = _rims_mm2(look, bent, parent) + bent.area * _bulge(look)[parent]
    doubt = doubt + summed(off_mm2, piece_of, len(used))
    out = np.zeros((3, 2 * count))
    out[:, used] = np.stack([value, value - doubt, value + doubt]) / true_mm2[used % count]
    out = out.clip(0.0, 1.0)
    return out[:, :count], out[:, count:]


def _sides_mm(skin: Creases) -> Floats:
    """The lengths of the edges from corner j to j+1 (k, 3)."""
    ring = skin.points[skin.corners]
    return np.asarray(np.linalg.norm(np.roll(ring, -1, axis=1) - ring, axis=2))


def _bulge(look: Look) -> Floats:
    """How far the area of each triangle (k,) of a free form may be off that of the skin it stands for, as a share.

    Skin that moves outward by d gains d times its bend along each edge: half of it to each side (Steiner's formula).
    """
    most_mm2 = look.sag_mm * (look.turn_rad * _sides_mm(look.bent)).sum(axis=1) / 2.0
    area = look.bent.area
    some = look.free & (area > 0.0)
    return np.asarray(np.divide(most_mm2, area, out=np.zeros_like(area), where=some))


def _rims_mm2(look: Look, skin: Creases, parent: Ints) -> Floats:
    """How much of each triangle (t,) its mate may hide or leave bare along a cut, where either is of a free form.

    A facet is moved by half its sag at the most; so the cut runs off by what the two planes' shifts come to.
    """
    across = np.maximum(skin.across, 0)
    other = np.where(skin.across >= 0, parent[across], -1)
    own = (look.bent.across[parent][:, :, None] == other[:, None, :]).any(axis=1) | (other == parent[:, None])
    cut = ~own & (other >= 0) & (look.free[parent][:, None] | look.free[other])
    cosine = np.abs(np.einsum("tk,tjk->tj", skin.normal, skin.normal[across]))
    sine = np.sqrt((1.0 - cosine**2).clip(min=_FLATTEST**2))
    off_mm = 0.5 * (look.sag_mm[other] + cosine * look.sag_mm[parent][:, None]) / sine
    return np.asarray((np.where(cut, off_mm, 0.0) * _sides_mm(skin)).sum(axis=1))
