"""The part as geometry: one frozen Body, whatever file or points it came from."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Face, Floats, Ints, Note, UnitBasis
from areacalc.shape.mesh.topology import Topology, topology

if TYPE_CHECKING:
    from areacalc.shape.profile.profile import Profile


@dataclass(frozen=True, eq=False)
class Body:
    """All the skin that one file or profile describes, in mm.

    vertices (n, 3) float64 mm; equal points may stand more than once (`topology` welds them).
    triangles (m, 3) int32 rows of vertices, outward by the right-hand rule where the file was sound.
    face_of_triangle (m,) int32 into `faces`, -1 for none; empty where the source has no exact faces.
    solid_of_triangle (m,) int32 into `solids`, the names of the objects in the file; empty where it names none.
    colour_of_triangle (m,) int32 into `colours` (sRGB 0 to 255), -1 for none; empty where the file has no colour.
    reach_mm: how far its exact surfaces reach along x, y and z; empty where it has none.
    profile: the lathe profile that the body was turned from, where it was.

    Raises BadInput: no triangle, a coordinate that is not finite, a triangle that uses a vertex that is not there.
    """

    name: str
    source: str
    vertices: Floats
    triangles: Ints
    unit: UnitBasis
    faces: tuple[Face, ...] = ()
    face_of_triangle: Ints = field(default_factory=lambda: np.empty(0, np.int32))
    solids: tuple[str, ...] = ()
    solid_of_triangle: Ints = field(default_factory=lambda: np.empty(0, np.int32))
    colours: tuple[tuple[int, int, int], ...] = ()
    colour_of_triangle: Ints = field(default_factory=lambda: np.empty(0, np.int32))
    notes: tuple[Note, ...] = ()
    profile: Profile | None = None
    reach_mm: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if len(self.triangles) == 0:
            raise BadInput(self.source, "holds no surface", "export the part as a solid or a mesh")
        low, high = int(self.triangles.min()), int(self.triangles.max())
        if low < 0 or high >= len(self.vertices):
            bad = low if low < 0 else high
            what = f"a triangle uses vertex {bad} where the file has {len(self.vertices)}"
            raise BadInput(self.source, what, "export the part again")
        # one pass and no copy: a sum is finite only if every term is
        if not np.isfinite(self.vertices.sum()) and not np.isfinite(self.vertices).all():
            row = int(np.nonzero(~np.isfinite(self.vertices).all(axis=1))[0][0])
            what = "a coordinate is not a finite number"
            raise BadInput(f"{self.source}, point {row + 1}", what, "export the part again")

    @cached_property
    def topology(self) -> Topology:
        """The welded mesh with its edges, neighbours and shells; worked out once."""
        return topology(self.vertices, self.triangles, self.solid_of_triangle)

    @cached_property
    def facet_area_mm2(self) -> float:
        """The plain sum of the triangles' areas [mm2]."""
        return float(triangle_areas_mm2(self.vertices, self.triangles).sum())

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """Extent along x, y and z [mm], of its exact surfaces where it has them."""
        x, y, z = self.reach_mm or extents_mm(self.vertices)
        return x, y, z

    @property
    def closed(self) -> bool:
        """Whether every edge is shared by two triangles, so that the skin has an inside."""
        return self.topology.closed

    @property
    def bodies(self) -> int:
        """The number of separate shells that are not inner shells of another."""
        return self.topology.shell_count


def triangle_areas_mm2(vertices: Floats, triangles: Ints, chunk: int = 65536) -> Floats:
    """The area of each triangle [mm2], (m,); in chunks that stay in the processor's cache.

    >>> triangle_areas_mm2(np.array([[0.0, 0, 0], [3, 0, 0], [0, 4, 0]]), np.array([[0, 1, 2]], np.int32))
    array([6.])
    """
    out = np.empty(len(triangles))
    for start in range(0, len(triangles), chunk):
        rows = triangles[start : start + chunk]
        a = vertices[rows[:, 0]]
        normal = cross(vertices[rows[:, 1]] - a, vertices[rows[:, 2]] - a)
        out[start : start + chunk] = 0.5 * np.sqrt(np.einsum("ij,ij->i", normal, normal))
    return out


def summed(weights: Floats, by: Ints, count: int) -> Floats:
    """The sum of the weights (n,) or (n, k) that carry each label 0 to count-1 (n,): (count,) or (count, k).

    >>> summed(np.array([1.0, 2.0, 4.0]), np.array([0, 2, 0], np.int32), 3)
    array([5., 0., 2.])
    """
    if weights.ndim == 2:
        return np.stack([summed(column, by, count) for column in weights.T], axis=1)
    return np.asarray(np.bincount(by, weights=weights, minlength=count), np.float64)


def extents_mm(points: Floats) -> tuple[float, float, float]:
    """How far points (n, 3) reach along x, y and z [mm]; a column at a time, which is much quicker than rows."""
    x, y, z = (float(along.max() - along.min()) for along in points.T)
    return x, y, z


def cross(a: Floats, b: Floats) -> Floats:
    """The cross product of rows (n, 3), quicker than numpy's own."""
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out
