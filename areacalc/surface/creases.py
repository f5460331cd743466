"""How the skin bends at its edges: dihedral angles, and the flats that coplanar triangles make up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints, summed
from areacalc.shape.rounding import rounding_mm

Rows = NDArray[np.signedinteger[Any]]
"""Whole numbers that point at rows, of either width."""


SURE = 256.0
"""Roundings that a triangle is high if its own normal tells a bend of a degree."""


@dataclass(frozen=True, eq=False)
class Creases:
    """The welded triangles with their normals (k, 3), areas [mm2] and the bend at each edge.

    angle (k, 3) [rad]: how far the neighbour across the edge from corner j to j+1 turns away; positive where the edge
    is convex (the material's angle is below 180 degrees), 0 where there is no neighbour.
    flat_of (k,) int32: which flat (coplanar, connected triangles) each belongs to. flat_count their number.
    noise_mm: how far rounding may have moved a corner.
    """

    points: Floats
    corners: Ints
    across: Ints
    normal: Floats
    area: Floats
    angle: Floats
    flat_of: Ints
    flat_count: int
    noise_mm: float


def creases(points: Floats, corners: Ints, across: Ints) -> Creases:
    """Measure every edge and join coplanar triangles."""
    normal, area = _normals(points, corners)
    noise = rounding_mm(points)
    angle, level = _bends(points, corners, across, normal, area, noise)
    flat_of, count = _flats(points, corners, across, normal, area, level, noise)
    return Creases(points, corners, across, normal, area, angle, flat_of, count, noise)


def _normals(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    a = points[corners[:, 0]]
    turn = cross(points[corners[:, 1]] - a, points[corners[:, 2]] - a)
    length = np.sqrt(np.einsum("ij,ij->i", turn, turn))
    return turn / np.where(length > 0, length, 1.0)[:, None], 0.5 * length


def cross(a: Floats, b: Floats) -> Floats:
    """The cross product of rows (n, 3), several times faster than the general one."""
    out = np.empty_like(a)
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


def _bends(
    points: Floats, corners: Ints, across: Ints, normal: Floats, area: Floats, noise: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """The signed angle at each half-edge, and whether the two triangles there lie in one plane."""
    angle = np.zeros(across.shape)
    level = np.zeros(across.shape, bool)
    tri = np.arange(len(corners), dtype=np.int32)
    after = corners[:, [1, 2, 0]]
    side = np.stack([np.linalg.norm(points[after[:, j]] - points[corners[:, j]], axis=1) for j in range(3)], axis=1)
    longest = side.argmax(axis=1)
    needle = 2.0 * area < 16.0 * noise * side.max(axis=1)
    total = corners.sum(axis=1, dtype=np.int64)
    for j in range(3):
        mine = np.nonzero(across[:, j] > tri)[0]
        other = across[mine, j]
        match = across[other] == mine[:, None]
        k = match.argmax(axis=1)
        start, end = corners[mine, j], after[mine, j]
        n, m = normal[mine], normal[other]
        along = (points[end] - points[start]) / np.where(side[mine, j] > 0, side[mine, j], 1.0)[:, None]
        turn = cross(n, m)
        bend = np.arctan2(np.einsum("ij,ij->i", turn, along), np.einsum("ij,ij->i", n, m))
        # the apex of the smaller triangle against the plane of the larger, whose normal is the better known
        large = area[mine] >= area[other]
        apex = np.where(large, total[other], total[mine]) - start - end
        apex = np.clip(apex, 0, len(points) - 1)
        off = np.abs(np.einsum("ij,ij->i", np.where(large[:, None], n, m), points[apex] - points[start]))
        flat = (off <= 4.0 * noise) & (np.abs(bend) < 0.5)
        # a needle is within rounding of every plane through its long side: it may join only across that side
        thin, thin_other = needle[mine], needle[other]
        flat |= (off <= 4.0 * noise) & (thin | thin_other)
        flat &= ~thin | (longest[mine] == j)
        flat &= ~thin_other | (longest[other] == k)
        angle[mine, j] = angle[other, k] = bend
        level[mine, j] = level[other, k] = flat
    return angle, level


def joined(across: Ints, linked: NDArray[np.bool_]) -> tuple[int, Ints]:
    """Connected groups of triangles over the linked edges: their number, and (k,) which one each is in."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    linked = linked & (across >= 0)
    count = len(across)
    start = np.zeros(count + 1, np.int32)
    np.cumsum(linked.sum(axis=1), out=start[1:])
    cols = across[linked]
    graph = csr_array((np.ones(len(cols), np.int8), cols, start), shape=(count, count))
    groups, label = connected_components(graph, directed=False)
    return int(groups), label.astype(np.int32)


def _flats(
    points: Floats, corners: Ints, across: Ints, normal: Floats, area: Floats, level: NDArray[np.bool_], noise: float
) -> tuple[Ints, int]:
    count, label = joined(across, level)
    weight = normal * area[:, None]
    bent = _spread(points, corners, weight, label, count) > 12.0 * noise
    if bent.any():
        # small triangles may belong to either side of a bend and have linked both
        count, label = joined(
            across, np.where(bent[label][:, None], _firm(points, corners, across, area, level, noise), level)
        )
        bent = _spread(points, corners, weight, label, count) > 12.0 * noise
    # a chain of nearly level steps may have crept round a curve: take such a group apart again
    if bent.any():
        lone = bent[label]
        label = label.copy()
        label[lone] = count + np.arange(int(lone.sum()))
        _, label = np.unique(label, return_inverse=True)
        label, count = label.reshape(-1).astype(np.int32), int(label.max()) + 1
    return label, count


def _spread(points: Floats, corners: Ints, weight: Floats, label: Ints, count: int) -> Floats:
    """How far the corners of each group of triangles lie apart along its mean normal [mm]."""
    mean = np.stack([summed(weight[:, i], label, count) for i in range(3)], axis=1)
    mean /= np.maximum(np.linalg.norm(mean, axis=1), 1e-300)[:, None]
    height = np.einsum("ij,ikj->ik", mean[label], points[corners])
    order = np.argsort(label, kind="stable")
    first = np.r_[0, np.cumsum(np.bincount(label, minlength=count))[:-1]]
    return np.asarray(
        np.maximum.reduceat(height.max(axis=1)[order], first) - np.minimum.reduceat(height.min(axis=1)[order], first)
    )


def _firm(
    points: Floats, corners: Ints, across: Ints, area: Floats, level: NDArray[np.bool_], noise: float
) -> NDArray[np.bool_]:
    """The level edges between triangles high enough to tell a bend from rounding, and one way out of each other one."""
    side = np.linalg.norm(points[corners[:, [1, 2, 0]]] - points[corners], axis=2)
    sure = 2.0 * area >= SURE * noise * side.max(axis=1)
    firm: NDArray[np.bool_] = level & sure[:, None] & sure[np.maximum(across, 0)]
    lost = np.nonzero(~sure & level.any(axis=1))[0]
    firm[lost, np.where(level, side, -1.0)[lost].argmax(axis=1)] = True
    return firm
