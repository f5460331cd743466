"""The axis that a turned part is round to."""

import numpy as np

from areacalc.shape.kinds import Floats, SurfaceKind
from areacalc.surface.skin import SurfaceMap

_ROUND = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.TORUS, SurfaceKind.THREAD, SurfaceKind.KNURL)
_ON_AXIS = 1e-4  # of the size
_AROUND = 0.1  # sine of how far the facets of a round free form lean round the axis: half of a facet's own turn


def turned_axis(skin: SurfaceMap) -> Floats | None:
    """The axis (unit) that all of a part's surfaces are round or square to; None for one that is not turned."""
    ring = max((p for p in skin.patches if p.surface.kind in _ROUND), key=lambda p: p.area_mm2.value, default=None)
    if ring is None:
        return None
    axis, point = np.asarray(ring.surface.direction, float), np.asarray(ring.surface.point, float)
    size = float(max(skin.body.size_mm))
    for number, patch in enumerate(skin.patches):
        surface = patch.surface
        along = abs(float(np.asarray(surface.direction) @ axis)) > 1.0 - 1e-6
        off = np.linalg.norm(np.cross(np.asarray(surface.point) - point, axis)) > _ON_AXIS * size
        match surface.kind:
            case SurfaceKind.PLANE if along:
                continue
            case SurfaceKind.SPHERE if not off:
                continue
            case SurfaceKind.FREE_FORM if _round(skin, number, axis, point):
                continue
            case kind if kind in _ROUND and along and not off:
                continue
        return None
    return axis


def _round(skin: SurfaceMap, patch: int, axis: Floats, point: Floats) -> bool:
    """Whether the normals of a patch's facets all lie in planes through the axis."""
    corners = skin.body.vertices[skin.body.triangles[skin.patch_of == patch]]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    around = np.cross(axis, corners.mean(axis=1) - point)
    lean = np.abs((normals * around).sum(axis=1))
    return bool((lean <= _AROUND * np.linalg.norm(normals, axis=1) * np.linalg.norm(around, axis=1)).all())
