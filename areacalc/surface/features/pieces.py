"""From the pieces of cut skin to what they are: outside, bores with their steps, other openings, sealed voids."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from areacalc.estimate import Estimate, total
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.bodies import Bodies
from areacalc.surface.features.border import Borders, border_names, ends_of, loops
from areacalc.surface.features.bores import FoundBore, Ring, bore_of
from areacalc.surface.features.cut_skin import Skin
from areacalc.surface.features.mouths import cut_apart
from areacalc.surface.features.open_slots import open_slots
from areacalc.surface.features.openings import Opening, opening_of, ring_groove
from areacalc.surface.features.outermost import outsides
from areacalc.surface.features.turned_grooves import turned_grooves
from areacalc.surface.skin import FeatureKind

HOLLOW_RAD = 1e-3
"""A bend inward by more is a hollow edge."""


@dataclass(frozen=True, eq=False)
class Piece:
    """One feature to be: kind, patches, area, the middle of it [mm], and what it is as a bore or another opening."""

    kind: FeatureKind
    patches: tuple[int, ...]
    shell: int
    area_mm2: Estimate
    centre: Floats
    bore: FoundBore | None = None
    opening: Opening | None = None
    note: str = ""
    doubt: bool = False  # its walls go round an axis, but that explains too little of it for a bore


def found_pieces(skin: Skin, turned: Bodies) -> list[Piece]:
    """What each piece of the cut skin is.

    What a bore's axis turns out to explain too little of is given back: it is looked at again as if it held no bore, so
    that what the surroundings see of it is the outside.
    """
    pieces = _pieces(skin, turned)
    doubtful = [p for piece in pieces if piece.doubt for p in piece.patches]
    if not doubtful:
        return pieces
    bore_of = skin.bore_of.copy()
    bore_of[doubtful] = -1
    again = _pieces(skin.with_bores(bore_of), turned)
    return [replace(piece, doubt=piece.doubt or not set(doubtful).isdisjoint(piece.patches)) for piece in again]


def _pieces(skin: Skin, turned: Bodies) -> list[Piece]:
    shell = np.zeros(len(skin.cut.surfaces), np.int32)
    shell[skin.cut.patch_of] = turned.shell_of
    void = turned.hollow[shell]
    piece_of = cut_apart(skin.mesh, skin.cut, skin.edge, skin.host, skin.bore_of)
    piece_of = np.where(void, len(piece_of) + shell, piece_of)  # a void is one feature, whatever its shape
    outside, level = outsides(skin.mesh, skin.cut, skin.edge, piece_of, turned.shell_of, void | (skin.bore_of >= 0))
    lead = np.arange(len(turned.closed))
    lead[~turned.closed] = lead[~turned.closed].min(initial=0)  # what gapes is one skin, however many pieces it is in
    piece_of = np.where(outside, len(piece_of) + len(lead) + lead[shell], piece_of)
    slots = list(open_slots(skin.mesh, skin.cut, skin.edge, skin.wall, outside))
    left = outside.copy()
    left[[p for slot in slots for p in slot.patches]] = False
    slots += turned_grooves(skin.mesh, skin.cut, skin.edge, skin.wall, left)
    for number, slot in enumerate(slots, int(piece_of.max()) + 1):
        piece_of[list(slot.patches)] = number
    shape_of = {slot.patches[0]: slot.opening for slot in slots}
    _, piece_of = np.unique(piece_of, return_inverse=True)
    other = np.maximum(skin.edge.other, 0)
    plain = (skin.edge.other < 0) | outside[other] | (skin.bore_of[other] >= 0)
    round_land = level[other]
    if round_land.any():  # what is drilled into a land has its mouth there
        name = border_names(skin.mesh, skin.edge)
        round_land &= ~np.isin(name, name[skin.host])
    rings, lands = _rings(skin, piece_of, ~round_land, plain), _rings(skin, piece_of, round_land, plain)
    rims_mm = skin.rim.ends_mm(plain, len(shell))
    box = np.stack([skin.mesh.points.min(axis=0), skin.mesh.points.max(axis=0)])
    pieces = []
    for index, own in enumerate(_groups(piece_of)):
        area = total(skin.areas[p] for p in own)
        made = Piece(FeatureKind.OUTSIDE, own, int(shell[own[0]]), area, _centre(skin, own))
        found = next((shape_of[p] for p in own if p in shape_of), None)
        if found is not None:
            made = replace(made, kind=found.kind, opening=found)
        elif void[own[0]]:
            made = replace(made, kind=FeatureKind.VOID, note="sealed: no way in from outside")
        elif not outside[own[0]]:
            ring = ring_groove(skin, own, rings.get(index, []), lands.get(index, []))
            if ring is not None:
                made = replace(made, kind=ring.kind, opening=ring)
            else:
                made = _opening(skin, made, rings.get(index, []), rims_mm, box)
        pieces.append(made)
    return pieces


def _opening(skin: Skin, made: Piece, openings: list[Ring], rims_mm: Floats, box_mm: Floats) -> Piece:
    """A piece behind mouths: a bore if that is what it is, else another opening."""
    if skin.bore_of[made.patches[0]] >= 0:
        bore = bore_of(skin, rims_mm, made.patches, openings, box_mm)
        if bore is not None:
            kind = FeatureKind.THROUGH_BORE if len(bore.mouths) > 1 else FeatureKind.BLIND_BORE
            return replace(made, kind=kind, bore=bore)
        made = replace(made, doubt=True)
    opening = opening_of(skin, made.patches, openings)
    return replace(made, kind=opening.kind, opening=opening)


def _groups(piece_of: Ints) -> list[tuple[int, ...]]:
    order = np.argsort(piece_of, kind="stable")
    first = np.r_[0, np.cumsum(np.bincount(piece_of))]
    return [tuple(order[a:b].tolist()) for a, b in itertools.pairwise(first)]


def _centre(skin: Skin, own: tuple[int, ...]) -> Floats:
    rows = skin.cut.rows(*own)
    weight = skin.mesh.area[rows]
    return np.asarray((skin.mesh.middle[rows] * weight[:, None]).sum(axis=0) / max(float(weight.sum()), 1e-300))


def _rings(skin: Skin, piece_of: Ints, some: NDArray[np.bool_], plain: NDArray[np.bool_]) -> dict[int, list[Ring]]:
    """The openings of each piece: loops that some half-edges (b,) of its border make, without hollows and holes in
    itself."""
    edge = skin.edge
    other = np.maximum(edge.other, 0)
    mine, theirs = piece_of[edge.patch], piece_of[other]
    keep = np.nonzero(some & ((edge.other < 0) | (~skin.host & (mine != theirs))))[0]
    kept = Borders(edge.triangle[keep], edge.corner[keep], edge.patch[keep], edge.other[keep])
    loop = loops(skin.mesh, kept, mine[keep])
    rings: dict[int, list[Ring]] = {}
    places = skin.mesh.points[ends_of(skin.mesh, kept)]
    order = np.argsort(loop, kind="stable")
    first = np.r_[0, np.cumsum(np.bincount(loop))] if len(loop) else np.zeros(1, int)
    for a, b in itertools.pairwise(first):
        rows = order[a:b]
        hollow = skin.mesh.angle[kept.triangle[rows], kept.corner[rows]] < -HOLLOW_RAD
        if hollow.mean() <= 0.5:  # a boss stands in its hollow and is no opening
            floors = tuple(set(kept.other[rows[hollow]].tolist()))
            rings.setdefault(int(mine[keep[rows[0]]]), []).append(Ring(places[rows], plain[keep[rows]], floors))
    return rings
