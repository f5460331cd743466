"""Rims: where a plane stands square to the axis of a round surface, so that the curve they share is a circle."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import cross
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind

SQUARE = 1e-9
"""One less the cosine of the angle between the plane's normal and the axis."""


def rim_gains(
    surfaces: Sequence[Surface], plane: Ints, round_: Ints, a: Floats, b: Floats, tolerance_mm: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """The circular segments that the straight edges a to b (e, 3) cut off the planes [mm2], and which edges are rims.

    plane, round_ (e,): the rows of the surfaces on either side; where they are something else it is no rim. A segment
    is positive where the arc lies outside the plane's patch; on the round surface itself the arc is straight in its own
    parameters, and nothing comes on.
    """
    kinds = np.array([s.kind.value for s in surfaces])
    kind, flat = kinds[round_], kinds[plane] == SurfaceKind.PLANE.value
    directions = np.array([s.direction for s in surfaces])
    axis, normal = directions[round_], directions[plane]
    point = np.array([s.point for s in surfaces])[round_]
    sizes = np.array([(s.radius_mm, s.minor_radius_mm, s.half_angle_rad) for s in surfaces])[round_]
    square = np.abs(np.einsum("ij,ij->i", normal, axis)) >= 1.0 - SQUARE
    rim = square & flat & np.isin(kind, [k.value for k in (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.TORUS)])
    arms = []
    for end in (a, b):
        w = end - point
        z = np.einsum("ij,ij->i", w, axis)
        arm = w - z[:, None] * axis
        r = np.sqrt(np.einsum("ij,ij->i", arm, arm))
        rim &= np.abs(_off(kind, sizes, r, z)) <= tolerance_mm
        arms.append((arm, r))
    (one, r1), (two, r2) = arms
    rim &= np.abs(r1 - r2) <= tolerance_mm
    turn = np.arctan2(
        np.einsum("ij,ij->i", cross(one, two), normal), np.einsum("ij,ij->i", one, two)
    )  # the patch lies to the left of its edges, so an arc run anticlockwise about the axis bulges out of it
    return np.where(rim, 0.5 * r1 * r2 * (turn - np.sin(turn)), 0.0), rim


def _off(kind: NDArray[np.str_], sizes: Floats, r: Floats, z: Floats) -> Floats:
    """As fit.distances, each point with a surface of its own."""
    big, small, angle = sizes.T
    return np.select(
        [kind == SurfaceKind.CYLINDER.value, kind == SurfaceKind.CONE.value],
        [r - big, (r - big) * np.cos(angle) - z * np.sin(angle)],
        np.hypot(r - big, z) - small,
    )
