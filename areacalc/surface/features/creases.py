"""How the skin bends at its edges: dihedral angles, and the flats that coplanar triangles make up."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from areacalc.shape.body import extents_mm
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.measure_loops import normals
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.surface.features.coplanar import coplanar
from areacalc.surface.features.creases_loops import bends


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

    @cached_property
    def middle(self) -> Floats:
        """The middle of each triangle (k, 3) [mm]."""
        a, b, c = (self.points[self.corners[:, j]] for j in range(3))
        return np.asarray((a + b + c) / 3.0)

    @cached_property
    def size_mm(self) -> float:
        """The longest side of the box about them."""
        return max(extents_mm(self.points))

    @cached_property
    def numbering(self) -> tuple[Ints, Ints]:
        """Scratch for the numberings of regions: (p,) of points and (flat_count,) of flats."""
        return np.full(len(self.points), -1, np.int32), np.full(self.flat_count, -1, np.int32)


def creases(points: Floats, corners: Ints, across: Ints) -> Creases:
    """Measure every edge and join coplanar triangles."""
    normal, area = normals(points, corners)
    noise = rounding_mm(points)
    angle, level = bends(points, corners, across, normal, area, noise)
    flat_of, count = coplanar(points, corners, across, normal, area, level, noise)
    return Creases(points, corners, across, normal, area, angle, flat_of, count, noise)
