"""Flat faces by the way they face: the top, all that face z+, the flat at z = 12 mm."""

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Floats, SurfaceKind
from areacalc.surface.regions import Region, by_patches
from areacalc.surface.sides import AXES, SIDES
from areacalc.surface.skin import SurfaceMap

ALONG = 0.9962  # cosine of 5 degrees: a face that leans by less faces that way
NEAR = 1e-3
"""Of the part's size: a flat lies at a height that it is no further off, which is as near as people write it."""


def on_the(words: str, side: str, skin: SurfaceMap, where: str) -> Region:
    """The flats that face a side and lie furthest out on it. Raises BadInput."""
    flats, height = _facing(np.array(SIDES[side]), skin)
    if not flats:
        what = f"the part has no flat face on its {side}"
        raise BadInput(where, what, "name a feature, or a band such as z over 5 mm")
    far = max(height)
    slack = NEAR * max(skin.body.size_mm)
    return by_patches(words, [p for p, h in zip(flats, height, strict=True) if h >= far - slack], skin)


def facing(words: str, way: str, skin: SurfaceMap, where: str) -> Region:
    """Every flat that faces along an axis, at whatever height. Raises BadInput."""
    flats, _ = _facing(np.array(AXES[way]), skin)
    if not flats:
        raise BadInput(where, f"no flat face of the part faces {way}", "name a feature, or a band such as z over 5 mm")
    return by_patches(words, flats, skin)


def flat_at(words: str, axis: str, at_mm: float, skin: SurfaceMap, where: str) -> Region:
    """The flats across an axis that lie at a height [mm]. Raises BadInput."""
    slack = NEAR * max(skin.body.size_mm)
    found, heights = [], []
    for sign in (1.0, -1.0):
        flats, height = _facing(sign * np.array(AXES[f"{axis}+"]), skin)
        heights += [sign * h for h in height]
        found += [p for p, h in zip(flats, height, strict=True) if abs(sign * h - at_mm) <= slack]
    if not found:
        have = ", ".join(dict.fromkeys(f"{h + 0.0:.5g}" for h in sorted(round(h, 9) for h in heights))) or "none"
        raise BadInput(where, f"no flat face lies at {axis} = {at_mm:.5g} mm", f"those across {axis} lie at {have} mm")
    return by_patches(words, found, skin)


def _facing(way: Floats, skin: SurfaceMap) -> tuple[list[int], list[float]]:
    """The flat patches that face a way, and how far along it the middle of each lies [mm]."""
    solid = skin.arrangement
    points, corners = (skin.body.vertices, skin.body.triangles) if solid is None else (solid.points, solid.corners)
    patch_of = skin.patch_of if solid is None else np.where(solid.parent < 0, -1, skin.patch_of[solid.parent])
    own = patch_of >= 0
    a, b, c = (points[corners[own, j]] for j in range(3))
    swept = np.cross(b - a, c - a)
    count = len(skin.patches)
    area = np.bincount(patch_of[own], np.linalg.norm(swept, axis=1), count)
    along = np.bincount(patch_of[own], swept @ way, count)
    height = np.bincount(patch_of[own], np.linalg.norm(swept, axis=1) * ((a + b + c) @ way / 3.0), count)
    flat = np.array([p.surface.kind is SurfaceKind.PLANE for p in skin.patches], bool)
    chosen = np.nonzero(flat & (area > 0.0) & (along > ALONG * area))[0]
    return chosen.tolist(), (height[chosen] / area[chosen]).tolist()
