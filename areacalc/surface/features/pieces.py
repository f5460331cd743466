"""From the pieces of cut skin to what they are: outside, bores with their steps, other openings, sealed voids."""

import itertools
from dataclasses import dataclass, replace

import numpy as np

from areacalc.estimate import Estimate, total
from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.bodies import Bodies
from areacalc.surface.features.border import loops
from areacalc.surface.features.bores import NAMELESS, UNMEASURED, Ring, bore_of
from areacalc.surface.features.cut_skin import Skin, cut_apart
from areacalc.surface.features.fit import GOLDEN
from areacalc.surface.features.open_slots import open_slots, turned_grooves
from areacalc.surface.features.openings import opening_of, ring_groove
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.skin import Feature, FeatureKind

HOLLOW_RAD = 1e-3  # a bend inward by more is a hollow edge
WAYS = 200  # directions that the part is looked at from, to tell what its surroundings see
LEVEL_RAD = 1e-3  # a bend by less leaves the skin level
FLAT = 1e-6  # one less the mean of the unit normals of a flat, at most
LEVEL = 1e-5  # of the part's size: how far two flats of one plane may lie apart
OUTSIDE = Feature(NAMELESS, FeatureKind.OUTSIDE, UNMEASURED)
VOID = Feature(NAMELESS, FeatureKind.VOID, UNMEASURED, note="sealed: no way in from outside")


@dataclass(frozen=True, eq=False)
class Piece:
    """One feature to be: patches, area, the middle of it [mm], and what it is, without its name and area."""

    patches: tuple[int, ...]
    area_mm2: Estimate
    centre: Floats
    form: Feature
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
    cut, edge = skin.cut, skin.cut.edge
    shell = np.zeros(len(cut.surfaces), np.int32)
    shell[cut.patch_of] = turned.shell_of
    void = turned.hollow[shell]
    piece_of = cut_apart(cut, skin.host, skin.bore_of)
    piece_of = np.where(void, len(piece_of) + shell, piece_of)  # a void is one feature, whatever its shape
    outside, level = outsides(cut, piece_of, turned.shell_of, void | (skin.bore_of >= 0))
    lead = np.arange(len(turned.closed))
    lead[~turned.closed] = lead[~turned.closed].min(initial=0)  # what gapes is one skin, however many pieces it is in
    piece_of = np.where(outside, len(piece_of) + len(lead) + lead[shell], piece_of)
    slots = list(open_slots(cut, skin.wall, outside))
    left = outside.copy()
    left[[p for patches, _ in slots for p in patches]] = False
    slots += turned_grooves(cut, skin.wall, left)
    for number, (patches, _) in enumerate(slots, int(piece_of.max()) + 1):
        piece_of[list(patches)] = number
    form_of = {patches[0]: form for patches, form in slots}
    _, piece_of = np.unique(piece_of, return_inverse=True)
    plain = ~edge.inner | outside[edge.beside] | (skin.bore_of[edge.beside] >= 0)
    round_land = level[edge.beside]
    if round_land.any():  # what is drilled into a land has its mouth there
        round_land &= ~np.isin(edge.names, edge.names[skin.host])
    rings, lands = _rings(skin, piece_of, ~round_land, plain), _rings(skin, piece_of, round_land, plain)
    rims_mm = skin.rim.ends_mm(plain, len(shell))
    box = np.stack([cut.mesh.points.min(axis=0), cut.mesh.points.max(axis=0)])
    pieces = []
    order, first = by_label(piece_of, int(piece_of.max()) + 1)
    for index, (begin, end) in enumerate(itertools.pairwise(first)):
        own = tuple(order[begin:end].tolist())
        area = total(skin.areas[p] for p in own)
        form, doubt = next((form_of[p] for p in own if p in form_of), OUTSIDE), False
        if form is OUTSIDE and void[own[0]]:
            form = VOID
        elif form is OUTSIDE and not outside[own[0]]:
            mouths = rings.get(index, [])
            ring = ring_groove(skin, own, mouths, lands.get(index, []))
            form, doubt = (ring, False) if ring else _opening(skin, own, mouths, rims_mm, box)
        pieces.append(Piece(own, area, _centre(skin, own), form, doubt))
    return pieces


def _opening(
    skin: Skin, own: tuple[int, ...], openings: list[Ring], rims_mm: Floats, box_mm: Floats
) -> tuple[Feature, bool]:
    """What patches behind mouths are: a bore if their walls make one, else another opening, in doubt if there are such
    walls."""
    walled = bool(skin.bore_of[own[0]] >= 0)
    bore = bore_of(skin, rims_mm, own, openings, box_mm) if walled else None
    return (bore, False) if bore else (opening_of(skin, own, openings), walled)


def _centre(skin: Skin, own: tuple[int, ...]) -> Floats:
    rows = skin.cut.rows(*own)
    weight = skin.cut.mesh.area[rows]
    return np.asarray((skin.cut.mesh.middle[rows] * weight[:, None]).sum(axis=0) / max(float(weight.sum()), 1e-300))


def _rings(skin: Skin, piece_of: Ints, some: Truths, plain: Truths) -> dict[int, list[Ring]]:
    """The openings of each piece: loops that some half-edges (b,) of its border make, without hollows and holes in
    itself."""
    edge = skin.cut.edge
    mine, theirs = piece_of[edge.patch], piece_of[edge.beside]
    keep = np.nonzero(some & (~edge.inner | (~skin.host & (mine != theirs))))[0]
    kept = edge.only(keep)
    loop = loops(kept, mine[keep])
    rings: dict[int, list[Ring]] = {}
    order, first = by_label(loop, int(loop.max(initial=-1)) + 1)
    for a, b in itertools.pairwise(first):
        rows = order[a:b]
        hollow = kept.bend[rows] < -HOLLOW_RAD
        if hollow.mean() <= 0.5:  # a boss stands in its hollow and is no opening
            floors = tuple(set(kept.other[rows[hollow]].tolist()))
            rings.setdefault(int(mine[keep[rows[0]]]), []).append(Ring(kept.places[rows], plain[keep[rows]], floors))
    return rings


def outsides(cut: PatchCut, piece_of: Ints, shell_of: Ints, hidden: Truths) -> tuple[Truths, Truths]:
    """The patches that are the outside (p,), and those of them that stand in a pocket, as high as its rim (p,).

    piece_of (p,): the piece of each patch; shell_of (k,): the shell of each triangle; hidden (p,): what is in a bore or
    a void, and so is not asked about.
    """
    mesh, out = cut.mesh, np.zeros(len(cut.surfaces), bool)
    order, first = by_label(shell_of, int(shell_of.max()) + 1)
    free = np.where(hidden, -1, piece_of)[cut.patch_of]
    pieces = int(free.max(initial=-1)) + 1
    each = np.unique(shell_of[free >= 0].astype(np.int64) * pieces + free[free >= 0]) // max(pieces, 1)
    several = np.bincount(each, minlength=len(first) - 1) > 1
    out[cut.patch_of[(free >= 0) & ~several[shell_of]]] = True
    for shell in np.nonzero(several)[0]:
        rows = order[first[shell] : first[shell + 1]]
        seen = outermost(mesh.points, mesh.corners[rows], mesh.normal[rows], free[rows])
        out[cut.patch_of[rows[np.isin(free[rows], seen)]]] = True
    out |= _unbound(cut, piece_of, out | hidden)
    level = _level(cut, ~out & ~hidden, out)
    return out | level, level


def _unbound(cut: PatchCut, piece_of: Ints, known: Truths) -> Truths:
    """The patches of pieces that stand in a hollow with no mouth above them (p,): a boss in a recess."""
    edge = cut.edge
    rim = edge.inner & (piece_of[edge.patch] != piece_of[edge.beside])
    rim &= edge.bend > -LEVEL_RAD
    return ~known & ~np.isin(piece_of, piece_of[edge.patch[rim]])


def _level(cut: PatchCut, asked: Truths, out: Truths) -> Truths:
    """The lands that lie in one plane with a flat of the outside (p,): what stands up in a pocket as high as its rim.

    A land is a flat whose whole border bends away from it.
    """
    mesh, edge, count = cut.mesh, cut.edge, len(cut.surfaces)
    normal = summed(mesh.normal * mesh.area[:, None], cut.patch_of, count)
    normal /= np.maximum(cut.facet_mm2, 1e-300)[:, None]
    flat = np.linalg.norm(normal, axis=1) > 1.0 - FLAT
    bent = (edge.bend > LEVEL_RAD) & edge.inner
    mine = np.nonzero(asked & flat & (summed((~bent).astype(float), edge.patch, count) == 0))[0]
    theirs = np.nonzero(out & flat)[0]
    corner = np.zeros((count, 3))
    corner[cut.patch_of] = mesh.points[mesh.corners[:, 0]]
    slack = LEVEL * mesh.size_mm + 8.0 * mesh.noise_mm
    found = np.zeros(count, bool)
    for p in mine.tolist():
        along = normal[theirs] @ normal[p] > 1.0 - LEVEL
        found[p] = (along & (np.abs((corner[theirs] - corner[p]) @ normal[p]) <= slack)).any()
    return found


def outermost(points: Floats, corners: Ints, normal: Floats, piece_of: Ints) -> Ints:
    """The pieces that reach furthest out in some direction and face it there, each once.

    corners (t, 3) of one shell's triangles, their normals (t, 3) and the piece each is in (t,), -1 for none.
    """
    used = np.unique(corners)
    ways = directions(WAYS)
    best, far = np.zeros(WAYS, np.int64), np.full(WAYS, -np.inf)
    for start in range(0, len(used), 65536):
        some = used[start : start + 65536]
        height = points[some] @ ways.T
        top = height.argmax(axis=0)
        reach = height[top, np.arange(WAYS)]
        higher = reach > far
        best[higher], far[higher] = some[top[higher]], reach[higher]
    rows = np.nonzero(np.isin(corners, best).any(axis=1))[0]
    facing = normal[rows] @ ways.T
    facing[~(corners[rows][:, :, None] == best).any(axis=1)] = -np.inf
    seen = piece_of[rows[facing.argmax(axis=0)]][facing.max(axis=0) > 0.0]
    return np.unique(seen[seen >= 0])


def directions(count: int) -> Floats:
    """Unit vectors (count, 3) spread evenly over the sphere: a spiral by the golden mean (R. Swinbank, R. J. Purser,
    Q. J. R. Meteorol. Soc. 132 (2006) 1769).

    >>> bool(np.allclose(directions(50).mean(axis=0), 0.0, atol=0.02))
    True
    """
    turn = 2.0 * np.pi * GOLDEN * np.arange(count)
    z = 1.0 - (2.0 * np.arange(count) + 1.0) / count
    r = np.sqrt(1.0 - z * z)
    return np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1)
