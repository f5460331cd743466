"""The first triangle straight along a direction from points of the skin."""

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.air.air_loops import first_above, first_above_of_all
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.skin import Vector

_FEW = 16  # rays that are shot at all triangles before a tree is worth building


def across(direction: Floats) -> tuple[Floats, Floats]:
    """Two unit vectors that span the plane across a direction."""
    least = np.eye(3)[int(np.abs(direction).argmin())]
    one = np.cross(direction, least)
    one /= np.linalg.norm(one)
    return one, np.cross(direction, one)


def vector(v: Floats) -> Vector:
    """Three numbers, none of them a minus nought."""
    return float(v[0]) + 0.0, float(v[1]) + 0.0, float(v[2]) + 0.0


def first_along(skin: BathSkin, points: Ints, direction: Floats) -> Ints:
    """The row of skin.corners first met along a unit direction from each of the points (rows), -1 for none.

    What is no farther off than rounding is beside the point, not over it: a face seen edge on can seem in the way.
    """
    one, two = across(direction)
    origins = skin.points[points] + skin.rounding_mm * direction
    if len(points) <= _FEW and "tree" not in skin.__dict__:
        return first_above_of_all(skin.points, skin.corners, origins, points, direction, one, two)
    tree = skin.tree
    return first_above(
        skin.points, skin.corners, tree.node_low, tree.node_high, tree.order, origins, points, direction, one, two
    )
