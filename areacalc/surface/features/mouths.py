"""Where the skin is cut into features: at the mouths of holes.

A hole's mouth is a closed convex loop inside a patch (a plate's face round a bore), or the convex rim of a wall that
faces its own axis (a tube's inner wall, whatever its end looks like). A boss stands in a concave loop and is not cut.
"""

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Ints, SurfaceKind
from areacalc.shape.mesh.connected import connected
from areacalc.surface.features.arcs import in_pairs
from areacalc.surface.features.axes import AXIAL
from areacalc.surface.features.border import Borders, Rims, border_names, ends_of
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.patches import PatchCut

LEVEL_RAD = 1e-5
LEAST_FALL = 0.1
"""Sine of the slope at which a mouth goes down: a countersink falls by over 0.4, a flat or domed end by nothing."""


def holes(skin: Creases, cut: PatchCut, edge: Borders, rim: Rims) -> NDArray[np.bool_]:
    """The half-edges (b,) of convex loops inside their own patch, where the skin beyond goes down: mouths of others."""
    if len(edge.patch) == 0:
        return np.zeros(0, bool)
    host = _inner(cut, edge, rim) & _convex(skin, edge, rim.loop)
    return np.asarray(host & (_is(cut, SurfaceKind.PLANE)[edge.patch] | _descends(skin, edge, rim.loop)))


def cut_apart(skin: Creases, cut: PatchCut, edge: Borders, host: NDArray[np.bool_], bore_of: Ints) -> Ints:
    """The skin cut at the mouths of holes and of bores: the piece that each patch is in (p,).

    host (b,): the half-edges of holes; bore_of (p,): the bore that each patch is in, -1 for none.
    """
    count = len(cut.surfaces)
    inside = edge.other >= 0
    other = np.maximum(edge.other, 0)
    name = border_names(skin, edge)  # a border is cut from both sides at once
    bore = bore_of[edge.patch]
    joined = inside & (bore == bore_of[other]) & ((bore >= 0) | ~np.isin(name, name[host]))
    low, high = np.minimum(edge.patch, other)[joined], np.maximum(edge.patch, other)[joined]
    one, two = np.divmod(np.unique(low.astype(np.int64) * count + high), count)
    some = np.nonzero(bore_of >= 0)[0]  # what a bore holds is one piece, whether it touches or not
    same = some[in_pairs(bore_of[some])]
    return connected(count, np.concatenate([one, same[0]]), np.concatenate([two, same[1]]))[1]


def _is(cut: PatchCut, *kinds: SurfaceKind) -> NDArray[np.bool_]:
    return np.array([s.kind in kinds for s in cut.surfaces], bool)


def _convex(skin: Creases, edge: Borders, loop: Ints) -> NDArray[np.bool_]:
    angle = skin.angle[edge.triangle, edge.corner]
    ends = skin.points[ends_of(skin, edge)]
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    whole = np.bincount(loop, weights=length)
    bent_out = np.bincount(loop, weights=length * (angle > LEVEL_RAD))
    return np.asarray(bent_out > 0.9 * whole)[loop]


def _descends(skin: Creases, edge: Borders, loop: Ints) -> NDArray[np.bool_]:
    """Whether the skin beyond a loop goes down into the part, and does not just close it like the end of a knob."""
    ends = ends_of(skin, edge)
    start, end = skin.points[ends[:, 0]], skin.points[ends[:, 1]]
    length = np.linalg.norm(end - start, axis=1)
    beyond = skin.across[edge.triangle, edge.corner]
    swept = 0.5 * cross(start, end)
    count = int(loop.max(initial=-1)) + 1
    outward = -np.stack([summed(swept[:, j], loop, count) for j in range(3)], axis=1)  # a hole runs clockwise
    outward /= np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-300)
    inward = cross(skin.normal[np.maximum(beyond, 0)], start - end)  # square to the edge, into the skin beyond
    fall = -np.einsum("ij,ij->i", inward, outward[loop]) * (beyond >= 0)
    return np.asarray(summed(fall, loop, count) > LEAST_FALL * summed(length, loop, count))[loop]


def _inner(cut: PatchCut, edge: Borders, rim: Rims) -> NDArray[np.bool_]:
    """The half-edges of loops that are holes in their patch rather than its outer bound or one of its two ends."""
    plane, axial = _is(cut, SurfaceKind.PLANE)[rim.patch], _is(cut, *AXIAL)[rim.patch]
    longest = np.zeros(len(cut.surfaces))
    np.maximum.at(longest, rim.patch, rim.length_mm)
    ring = np.zeros(len(cut.surfaces), bool)
    np.logical_or.at(ring, rim.patch, rim.winds & axial)
    inner = np.where(plane, rim.swept_mm2 < 0, rim.length_mm < longest[rim.patch])
    inner = np.where(axial & ring[rim.patch], ~rim.winds, inner)
    return np.asarray(inner[rim.loop], bool)
