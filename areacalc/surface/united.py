"""The union of solids as one skin, each of its triangles knowing the one it was cut from."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.known_wrong import refuse_wrong
from areacalc.shape.kinds import Floats, Ints


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
