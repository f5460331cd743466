"""The union of solids, with the share of every source triangle that is left on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import summed, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.winding import winding_number

_BLUNTEST = 0.1  # a corner sharper than this is not stretched further, so that no spike grows


class NotSolid(ValueError):
    """A part's skin is not that of a solid."""


@dataclass(frozen=True, eq=False)
class Part:
    """A solid: corners (k, 3) rows of points, outward, and the number that each triangle is known by (k,)."""

    points: Floats
    corners: Ints
    number: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class United:
    """The share of each numbered triangle on the outside (n,), and on the wall of each cavity without a way in."""

    exposed: Floats
    sealed: tuple[Floats, ...]


def unite(parts: Sequence[Part], numbers: int, grow_mm: float = 0.0) -> United:
    """Unite parts; triangle numbers run below `numbers`. grow_mm moves every skin out first, so that gaps close.

    A share is taken of the triangle as grown. Raises NotSolid.
    """
    import manifold3d

    solids, whole = [], np.zeros(numbers)
    for part in parts:
        used, index = np.unique(part.corners, return_inverse=True)
        points, corners = part.points[used], index.reshape(-1, 3).astype(np.int32)
        if grow_mm:
            points = points + grow_mm * _outward(points, corners)
        whole[part.number] = triangle_areas_mm2(points, corners)
        mesh = manifold3d.Mesh64(
            np.array(points, order="C"), corners.astype(np.uint64), face_id=part.number.astype(np.uint64)
        )
        solid = manifold3d.Manifold(mesh)
        if solid.status() != manifold3d.Error.NoError:
            raise NotSolid(f"the skin of one is not that of a solid: {solid.status().name}")
        solids.append(solid)
    union = manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add)
    if union.status() != manifold3d.Error.NoError or union.num_tri() == 0:
        raise NotSolid("the union failed")
    exposed = np.zeros(numbers)
    sealed: list[Floats] = []
    pieces = [_read(piece) for piece in union.decompose()]
    outer = [(triangles, number) for triangles, number, volume in pieces if volume > 0]
    for triangles, number, volume in pieces:
        area = 0.5 * np.linalg.norm(
            np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1
        )
        mine = summed(area, number, numbers)
        share: Floats = np.divide(mine, whole, out=np.zeros(numbers), where=whole > 0)
        held = volume > 0 and any(_holds(other, triangles) for other, _ in outer if other is not triangles)
        if volume <= 0 or held:
            sealed.append(share)
        else:
            exposed += share
    return United(exposed.clip(max=1.0), tuple(sealed))


def _read(solid: Any) -> tuple[Floats, NDArray[np.int64], float]:
    mesh = solid.to_mesh64()
    points = np.asarray(mesh.vert_properties)[:, :3]
    return points[np.asarray(mesh.tri_verts)], np.asarray(mesh.face_id).astype(np.int64), float(solid.volume())


def _holds(shell: Floats, other: Floats) -> bool:
    if (other.min(axis=(0, 1)) < shell.min(axis=(0, 1))).any() or (
        other.max(axis=(0, 1)) > shell.max(axis=(0, 1))
    ).any():
        return False
    return winding_number(shell, other[0].mean(axis=0)) > 0.5


def _outward(points: Floats, corners: Ints) -> Floats:
    """A step for each point (n, 3) that moves all planes through it out by one or more."""
    a, b, c = (points[corners[:, j]] for j in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    mean = np.zeros_like(points)
    ring = (a, b, c)
    for j in range(3):
        one, two = ring[(j + 1) % 3] - ring[j], ring[(j + 2) % 3] - ring[j]
        angle = np.arctan2(np.linalg.norm(np.cross(one, two), axis=1), (one * two).sum(axis=1))
        np.add.at(mean, corners[:, j], normal * angle[:, None])
    mean /= np.maximum(np.linalg.norm(mean, axis=1, keepdims=True), 1e-300)
    least = np.ones(len(points))
    for j in range(3):
        np.minimum.at(least, corners[:, j], (normal * mean[corners[:, j]]).sum(axis=1))
    step: Floats = mean / least.clip(min=_BLUNTEST)[:, None]
    return step
