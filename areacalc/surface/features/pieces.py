"""From the pieces of cut skin to what they are: outside, bores with their steps, pockets, grooves, sealed voids."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Floats, Ints, SurfaceKind
from areacalc.surface.bodies import Bodies
from areacalc.surface.features.axes import coaxial
from areacalc.surface.features.bores import Bore, bore_of
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.mouths import BORE_COVER, Mouths, Walls, loops
from areacalc.surface.features.patches import Cut
from areacalc.surface.features.true_area import Borders
from areacalc.surface.skin import FeatureKind


@dataclass(frozen=True, eq=False)
class Skin:
    """All that is known of the skin's patches and the borders between them."""

    mesh: Creases
    cut: Cut
    edge: Borders
    wall: Walls
    mouths: Mouths
    areas: list[Estimate]


@dataclass(frozen=True, eq=False)
class Piece:
    """One feature to be: its kind, its patches, its area, the middle of it [mm], and what it is as a bore."""

    kind: FeatureKind
    patches: tuple[int, ...]
    shell: int
    area_mm2: Estimate
    centre: Floats
    bore: Bore | None = None
    openings: tuple[Floats, ...] = ()
    note: str = ""


def merged_pieces(skin: Skin, turned: Bodies) -> list[Piece]:
    """Join the lengths of stepped bores, and say what each piece is."""
    patch_count = len(skin.cut.surfaces)
    shell_of_patch = np.zeros(patch_count, np.int32)
    shell_of_patch[skin.cut.patch_of] = turned.shell_of
    piece_of = skin.mouths.piece_of.copy()
    void = turned.hollow[shell_of_patch]
    if void.any():  # a void is one feature, whatever its shape
        piece_of[void] = skin.mouths.pieces + shell_of_patch[void]
    _, piece_of = np.unique(piece_of, return_inverse=True)
    piece_of = _chained(skin, piece_of.reshape(-1).astype(np.int32), void)
    members = _groups(piece_of)
    shell = [int(shell_of_patch[own[0]]) for own in members]
    outside = _outsides(skin, members, shell)
    rings = _rings(skin, piece_of)
    pieces = []
    for index, own in enumerate(members):
        area = total(skin.areas[p] for p in own)
        centre = _centre(skin, own)
        openings = rings.get(index, [])
        middles = tuple(points.mean(axis=0) for points in openings)
        if void[own[0]]:
            pieces.append(
                Piece(FeatureKind.VOID, own, shell[index], area, centre, note="sealed: no way in from outside")
            )
        elif index in outside:
            pieces.append(Piece(FeatureKind.OUTSIDE, own, shell[index], area, centre))
        elif (bore := bore_of(skin.mesh, skin.cut, skin.wall, skin.areas, own, openings)) is not None:
            kind = FeatureKind.THROUGH_BORE if len(bore.mouths) > 1 else FeatureKind.BLIND_BORE
            pieces.append(Piece(kind, own, shell[index], area, centre, bore, bore.mouths))
        else:
            kind, note = _open_kind(skin, own, len(openings))
            pieces.append(Piece(kind, own, shell[index], area, centre, openings=middles, note=note))
    return pieces


def _groups(piece_of: Ints) -> list[tuple[int, ...]]:
    order = np.argsort(piece_of, kind="stable")
    first = np.r_[0, np.cumsum(np.bincount(piece_of))]
    return [tuple(order[a:b].tolist()) for a, b in itertools.pairwise(first)]


def _axis_patch(skin: Skin, own: tuple[int, ...]) -> int | None:
    """The patch whose axis is the bore's: the largest inward wall that goes round."""
    best, size = None, 0.0
    for p in own:
        if not skin.wall.inward[p] or skin.wall.cover[p] <= BORE_COVER:
            continue
        kind = skin.cut.surfaces[p].kind
        worth = skin.areas[p].value * (1.0 if kind is SurfaceKind.CYLINDER else 0.1)
        if kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE) and worth > size:
            best, size = p, worth
    return best


def _chained(skin: Skin, piece_of: Ints, void: NDArray[np.bool_]) -> Ints:
    """Pieces of one stepped bore, cut apart at their shoulders, become one piece."""
    members = _groups(piece_of)
    axis = [_axis_patch(skin, own) for own in members]
    root = list(range(len(members)))

    def top(i: int) -> int:
        while root[i] != i:
            i = root[i]
        return i

    cut = skin.mouths.cut
    one_side, other_side = piece_of[skin.edge.patch[cut]], piece_of[np.maximum(skin.edge.other[cut], 0)]
    pairs = np.unique(np.minimum(one_side, other_side) * np.int64(len(members)) + np.maximum(one_side, other_side))
    for a, b in zip(*(each.tolist() for each in np.divmod(pairs, len(members))), strict=True):
        one, two = axis[a], axis[b]
        if a != b and one is not None and two is not None and coaxial(skin.cut.surfaces[one], skin.cut.surfaces[two]):
            root[max(top(a), top(b))] = min(top(a), top(b))
    merged = np.array([top(i) for i in range(len(members))])
    _, label = np.unique(merged[piece_of], return_inverse=True)
    return label.reshape(-1).astype(np.int32)


def _outsides(skin: Skin, members: list[tuple[int, ...]], shell: list[int]) -> set[int]:
    """The piece of each shell that is its outside: no bore if it can, then the largest, then the widest."""
    count = max(shell) + 1 if shell else 0
    alone = np.bincount(shell, minlength=count) == 1
    best: dict[int, tuple[tuple[bool, float, float], int]] = {}
    for index, own in enumerate(members):
        s = shell[index]
        if alone[s]:
            best[s] = ((True, 0.0, 0.0), index)
            continue
        corners = skin.mesh.points[np.unique(skin.mesh.corners[skin.cut.rows(*own)])]
        far = float(np.linalg.norm(corners - corners.mean(axis=0), axis=1).max())
        rank = (_axis_patch(skin, own) is None, sum(skin.areas[p].value for p in own), far)
        if s not in best or rank > best[s][0]:
            best[s] = (rank, index)
    return {index for _, index in best.values()}


def _centre(skin: Skin, own: tuple[int, ...]) -> Floats:
    rows = skin.cut.rows(*own)
    weight = skin.mesh.area[rows]
    middle = skin.mesh.points[skin.mesh.corners[rows]].mean(axis=1)
    return np.asarray((middle * weight[:, None]).sum(axis=0) / max(float(weight.sum()), 1e-300))


def _rings(skin: Skin, piece_of: Ints) -> dict[int, list[Floats]]:
    """The points of each opening of each piece: loops of cut border that belong to it rather than to its host."""
    edge, cut = skin.edge, skin.mouths.cut
    mine = piece_of[edge.patch]
    theirs = piece_of[np.maximum(edge.other, 0)]
    keep = np.nonzero(cut & ~skin.mouths.host & (mine != theirs) & (edge.other >= 0))[0]
    some = Borders(edge.triangle[keep], edge.corner[keep], edge.patch[keep], edge.other[keep])
    loop = loops(skin.mesh, some, mine[keep])
    rings: dict[int, list[Floats]] = {}
    order = np.argsort(loop, kind="stable")
    first = np.r_[0, np.cumsum(np.bincount(loop))] if len(loop) else np.zeros(1, int)
    for a, b in itertools.pairwise(first):
        rows = order[a:b]
        points = skin.mesh.points[skin.mesh.corners[some.triangle[rows], some.corner[rows]]]
        rings.setdefault(int(mine[keep[rows[0]]]), []).append(points)
    return rings


def _open_kind(skin: Skin, own: tuple[int, ...], openings: int) -> tuple[FeatureKind, str]:
    largest = max(own, key=lambda p: skin.areas[p].value)
    if skin.wall.inward[largest] and skin.cut.surfaces[largest].kind is SurfaceKind.CYLINDER:
        return FeatureKind.GROOVE, ""
    return FeatureKind.POCKET, "open at both ends" if openings > 1 else ""
