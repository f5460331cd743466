"""How the skin bends at its edges: dihedral angles, and the flats that coplanar triangles make up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints, cross
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.surface.features.coplanar import coplanar


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
    flat_of, count = coplanar(points, corners, across, normal, area, level, noise)
    return Creases(points, corners, across, normal, area, angle, flat_of, count, noise)


def _normals(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    a = points[corners[:, 0]]
    turn = cross(points[corners[:, 1]] - a, points[corners[:, 2]] - a)
    length = np.sqrt(np.einsum("ij,ij->i", turn, turn))
    return turn / np.where(length > 0, length, 1.0)[:, None], 0.5 * length


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
