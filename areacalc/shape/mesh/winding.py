"""Whether triangles wind round a point: the sum of their solid angles."""

import math

import numpy as np

from areacalc.shape.kinds import Floats
from areacalc.shape.mesh.winding_loops import solid_angle, solid_angles


def winding_number(triangles: Floats, point: Floats) -> float:
    """How often triangles (k, 3, 3) wind round a point: 1 inside a closed shell turned outward, 0 outside it.

    Published: A. van Oosterom, J. Strackee, IEEE Trans. Biomed. Eng. BME-30 (1983) 125.

    >>> corner = np.array([[[0.0, 0, 0], [0, 1, 0], [1, 0, 0]], [[0, 0, 0], [1, 0, 0], [0, 0, 1]],
    ...                    [[0, 0, 0], [0, 0, 1], [0, 1, 0]], [[1, 0, 0], [0, 1, 0], [0, 0, 1]]])
    >>> round(winding_number(corner, np.array([0.1, 0.1, 0.1])), 9)
    1.0
    """
    x, y, z = np.asarray(point, np.float64).tolist()
    return solid_angle(triangles, x, y, z) / (4.0 * math.pi)


def winding_numbers(triangles: Floats, points: Floats) -> Floats:
    """As winding_number, within a hundredth, round each of many points (n, 3): what is far off is taken in blocks."""
    return np.asarray(solid_angles(triangles, points) / (4.0 * math.pi))
