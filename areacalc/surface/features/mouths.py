"""Where the skin is cut into features: at the mouths of holes.

A hole's mouth is a closed convex loop inside a patch (a plate's face round a bore), or the convex rim of a wall that
faces its own axis (a tube's inner wall, whatever its end looks like). A boss stands in a concave loop and is not cut.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind
from areacalc.shape.mesh.connected import connected
from areacalc.surface.features.arcs import bore_arcs, held, in_pairs, widest_gap
from areacalc.surface.features.axes import AXIAL, coaxial
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.fit import gradients
from areacalc.surface.features.patches import Cut
from areacalc.surface.features.true_area import Borders

BORE_COVER = 200.0 / 360.0
"""A wall that wraps its axis by more than this holds a round tool or a plug by itself."""
LEVEL_RAD = 1e-5
LEAST_FALL = 0.1
"""Sine of the slope at which a mouth goes down: a countersink falls by over 0.4, a flat or domed end by nothing."""


@dataclass(frozen=True, eq=False)
class Walls:
    """What each patch is to its own axis: inward (p,) bool faces it; cover (p,) the share of a turn it wraps.

    wall_of (p,): one number for all arcs of a bore wall that keyways or slits have cut apart. Their cover is what is
    left of a turn without the widest gap between them.
    """

    inward: NDArray[np.bool_]
    cover: Floats
    wall_of: Ints


@dataclass(frozen=True, eq=False)
class Mouths:
    """The cut skin: piece_of (p,) the piece each patch is in, and the half-edges (b,) of the borders that were cut.

    cut (b,) bool; host (b,) bool: the half-edge lies in a loop inside its own patch, so the mouth is the other's.
    """

    piece_of: Ints
    pieces: int
    cut: NDArray[np.bool_]
    host: NDArray[np.bool_]


def walls(skin: Creases, cut: Cut, shell_of: Ints) -> Walls:
    """Which patches face their own axis, and how far round it they go; shell_of (k,) is that of each triangle."""
    count = len(cut.surfaces)
    inward, cover = np.zeros(count, bool), np.zeros(count)
    for p, surface in enumerate(cut.surfaces):
        if surface.kind not in (*AXIAL, SurfaceKind.SPHERE):
            continue
        rows = cut.rows(p)
        triangles = skin.points[skin.corners[rows]]
        out = gradients(_radial(surface), triangles.mean(axis=1))
        inward[p] = float(np.einsum("ij,ij,i->", out, skin.normal[rows], skin.area[rows])) < 0
        cover[p] = float((held(surface, triangles) > 0).mean())
    wall_of = bore_arcs(skin, cut, shell_of, inward, cover)
    for group in np.nonzero(np.bincount(wall_of) > 1)[0]:
        arcs = np.nonzero(wall_of == group)[0]
        triangles = skin.points[skin.corners[cut.rows(*arcs)]]
        cover[arcs] = np.maximum(cover[arcs], 1.0 - widest_gap(held(cut.surfaces[arcs[0]], triangles)))
    return Walls(inward, cover, wall_of)


def _radial(surface: Surface) -> Surface:
    kind = SurfaceKind.SPHERE if surface.kind is SurfaceKind.SPHERE else SurfaceKind.CYLINDER
    return Surface(kind, surface.point, surface.direction, surface.radius_mm)


def mouths(skin: Creases, cut: Cut, edge: Borders, wall: Walls) -> Mouths:
    """Cut the skin and number the pieces."""
    count = len(cut.surfaces)
    angle = skin.angle[edge.triangle, edge.corner]
    loop = loops(skin, edge, edge.patch)
    host = _inner(skin, cut, edge, loop) & _convex(skin, edge, loop, angle)
    host &= _is(cut, SurfaceKind.PLANE)[edge.patch] | _descends(skin, edge, loop)
    opened = host.copy()
    bore = wall.inward & (wall.cover > BORE_COVER) & _is(cut, SurfaceKind.CYLINDER, SurfaceKind.CONE)
    inside = edge.other >= 0
    other = np.maximum(edge.other, 0)
    way = edge.patch.astype(np.int64) * count + other
    rim = np.nonzero(inside & bore[edge.patch] & (angle > LEVEL_RAD))[0]
    pairs, which = np.unique(way[rim], return_inverse=True)
    ends_here = [not (wall.inward[q] and coaxial(cut.surfaces[p], cut.surfaces[q]))
                 for p, q in zip(*np.divmod(pairs, count), strict=True)]  # fmt: skip
    opened[rim] |= np.array(ends_here, bool)[which]
    # a border is cut from both sides at once
    key = np.minimum(edge.patch, other).astype(np.int64) * count + np.maximum(edge.patch, other)
    ends = np.sort(_ends(skin, edge), axis=1)
    name = ends[:, 0].astype(np.int64) * len(skin.points) + ends[:, 1]
    opened = np.isin(name, name[opened]) & inside
    host &= opened
    joined = np.unique(key[inside & ~opened])
    one, two = np.concatenate([np.stack(np.divmod(joined, count)), in_pairs(wall.wall_of)], axis=1)
    pieces, piece_of = connected(count, one, two)
    opened &= piece_of[edge.patch] != piece_of[other]
    return Mouths(piece_of, pieces, opened, host & opened)


def _is(cut: Cut, *kinds: SurfaceKind) -> NDArray[np.bool_]:
    return np.array([s.kind in kinds for s in cut.surfaces], bool)


def _ends(skin: Creases, edge: Borders) -> Ints:
    return np.stack(
        [skin.corners[edge.triangle, edge.corner], skin.corners[edge.triangle, (edge.corner + 1) % 3]], axis=1
    )


def loops(skin: Creases, edge: Borders, owner: Ints) -> Ints:
    """Number the loops that half-edges with one owner form through shared points: (b,) the loop of each."""
    if len(owner) == 0:
        return np.zeros(0, np.int32)
    ends = _ends(skin, edge)
    keys = owner.astype(np.int64)[:, None] * len(skin.points) + ends
    _, node = np.unique(keys, return_inverse=True)
    node = node.reshape(-1, 2)
    _, label = connected(int(node.max()) + 1, *node.T)
    _, loop = np.unique(label[node[:, 0]], return_inverse=True)
    return loop.reshape(-1).astype(np.int32)


def _convex(skin: Creases, edge: Borders, loop: Ints, angle: Floats) -> NDArray[np.bool_]:
    ends = skin.points[_ends(skin, edge)]
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    whole = np.bincount(loop, weights=length)
    bent_out = np.bincount(loop, weights=length * (angle > LEVEL_RAD))
    return np.asarray(bent_out > 0.9 * whole)[loop]


def _descends(skin: Creases, edge: Borders, loop: Ints) -> NDArray[np.bool_]:
    """Whether the skin beyond a loop goes down into the part, and does not just close it like the end of a knob."""
    ends = _ends(skin, edge)
    start, end = skin.points[ends[:, 0]], skin.points[ends[:, 1]]
    length = np.linalg.norm(end - start, axis=1)
    beyond = skin.across[edge.triangle, edge.corner]
    corners = skin.corners[np.maximum(beyond, 0)]
    apex = corners[np.arange(len(corners)), ((corners != ends[:, :1]) & (corners != ends[:, 1:])).argmax(axis=1)]
    swept = 0.5 * cross(start, end)
    count = int(loop.max(initial=-1)) + 1
    outward = -np.stack([summed(swept[:, j], loop, count) for j in range(3)], axis=1)  # a hole runs clockwise
    outward /= np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-300)
    step = skin.points[apex] - 0.5 * (start + end)
    step /= np.maximum(np.linalg.norm(step, axis=1, keepdims=True), 1e-300)
    fall = -np.einsum("ij,ij->i", step, outward[loop]) * (beyond >= 0)
    return np.asarray(summed(length * fall, loop, count) > LEAST_FALL * summed(length, loop, count))[loop]


def _inner(skin: Creases, cut: Cut, edge: Borders, loop: Ints) -> NDArray[np.bool_]:
    """The half-edges of loops that are holes in their patch rather than its outer bound or one of its two ends."""
    if len(loop) == 0:
        return np.zeros(0, bool)
    ends = skin.points[_ends(skin, edge)]
    point = np.array([s.point for s in cut.surfaces])[edge.patch]
    axis = np.array([s.direction for s in cut.surfaces])[edge.patch]
    a, b = ends[:, 0] - point, ends[:, 1] - point
    swept = np.einsum("ij,ij->i", cross(a, b), axis)
    a = a - np.einsum("ij,ij->i", a, axis)[:, None] * axis
    b = b - np.einsum("ij,ij->i", b, axis)[:, None] * axis
    turn = np.arctan2(swept, np.einsum("ij,ij->i", a, b))
    length = np.bincount(loop, weights=np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1))
    patch = np.zeros(len(length), int)
    patch[loop] = edge.patch
    winds = np.abs(np.bincount(loop, weights=turn)) > np.pi
    plane, axial = _is(cut, SurfaceKind.PLANE)[patch], _is(cut, *AXIAL)[patch]
    longest = np.zeros(len(cut.surfaces))
    np.maximum.at(longest, patch, length)
    ring = np.zeros(len(cut.surfaces), bool)
    np.logical_or.at(ring, patch, winds & axial)
    inner = np.where(plane, np.bincount(loop, weights=swept) < 0, length < longest[patch])
    inner = np.where(axial & ring[patch], ~winds, inner)
    return np.asarray(inner[loop], bool)
