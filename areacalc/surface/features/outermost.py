"""Which patches the surroundings see: the pieces that the part's hull rests on, and the lands that stand in pockets."""

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.features.fit import GOLDEN
from areacalc.surface.features.patches import PatchCut

WAYS = 200  # directions that the part is looked at from
LEVEL_RAD = 1e-3  # a bend by less leaves the skin level
FLAT = 1e-6  # one less the mean of the unit normals of a flat, at most
LEVEL = 1e-5  # of the part's size: how far two flats of one plane may lie apart


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
