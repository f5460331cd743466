"""What each patch is to its own axis: whether it faces it, and how far round it goes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind
from areacalc.surface.features.arcs import bore_arcs, held, widest_gap
from areacalc.surface.features.axes import AXIAL
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.fit import gradients
from areacalc.surface.features.patches import PatchCut

BORE_COVER = 200.0 / 360.0
"""A wall that wraps its axis by more than this holds a round tool or a plug by itself."""


@dataclass(frozen=True, eq=False)
class Walls:
    """What each patch is to its own axis: inward (p,) bool faces it; cover (p,) the share of a turn it wraps.

    wall_of (p,): one number for all arcs of a bore wall that keyways or slits have cut apart. Their cover is what is
    left of a turn without the widest gap between them.
    """

    inward: NDArray[np.bool_]
    cover: Floats
    wall_of: Ints


def walls(skin: Creases, cut: PatchCut, shell_of: Ints) -> Walls:
    """Which patches face their own axis, and how far round it they go; shell_of (k,) is that of each triangle."""
    count = len(cut.surfaces)
    inward, cover = np.zeros(count, bool), np.zeros(count)
    for p, surface in enumerate(cut.surfaces):
        if surface.kind not in (*AXIAL, SurfaceKind.SPHERE):
            continue
        rows = cut.rows(p)
        triangles = skin.points[skin.corners[rows]]
        out = gradients(_radial(surface), skin.middle[rows])
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
