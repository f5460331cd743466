"""Solids and triangles as the bodies that a file would bring."""

from typing import Any

import manifold3d as m3
import numpy as np

from areacalc.shape.body import Body
from areacalc.shape.kinds import UnitBasis, UnitHow

SIDES = 64  # of a round rod


def body_of(points: Any, corners: Any) -> Body:
    """A body of points (n, 3) and rows of them (m, 3)."""
    points, corners = np.asarray(points, float), np.asarray(corners, np.int32)
    return Body("part", "part.stl", points, corners, UnitBasis("mm", UnitHow.GIVEN))


def body(solid: Any) -> Body:
    """A solid of the boolean library, its points shared."""
    mesh = solid.to_mesh64()
    return body_of(np.asarray(mesh.vert_properties)[:, :3], mesh.tri_verts)


def loose(corners: Any, single: bool = False) -> Body:
    """Triangles (m, 3, 3) with three corners of their own each, as STL gives them; single: as a binary one rounds."""
    points = np.array(corners, np.float32 if single else float).reshape(-1, 3)
    return body_of(points, np.arange(len(points)).reshape(-1, 3))


def box(x: Any, y: Any, z: Any) -> Any:
    """A box from three (low, high) spans."""
    spans = np.array([x, y, z], float)
    return m3.Manifold.cube(tuple(spans[:, 1] - spans[:, 0])).translate(tuple(spans[:, 0]))


def rod(radius: float, z: tuple[float, float]) -> Any:
    """A round rod about z from one height to another."""
    return m3.Manifold.cylinder(z[1] - z[0], radius, radius, SIDES).translate((0.0, 0.0, z[0]))
