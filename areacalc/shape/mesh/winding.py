"""Whether triangles wind round a point: the sum of their solid angles."""

from __future__ import annotations

import numpy as np

from areacalc.shape.body import Floats


def winding_number(triangles: Floats, point: Floats) -> float:
    """How often triangles (k, 3, 3) wind round a point: 1 inside a closed shell turned outward, 0 outside it.

    Published: A. van Oosterom, J. Strackee, IEEE Trans. Biomed. Eng. BME-30 (1983) 125.

    >>> corner = np.array([[[0.0, 0, 0], [0, 1, 0], [1, 0, 0]], [[0, 0, 0], [1, 0, 0], [0, 0, 1]],
    ...                    [[0, 0, 0], [0, 0, 1], [0, 1, 0]], [[1, 0, 0], [0, 1, 0], [0, 0, 1]]])
    >>> round(winding_number(corner, np.array([0.1, 0.1, 0.1])), 9)
    1.0
    """
    a, b, c = (triangles[:, j] - point for j in range(3))
    la, lb, lc = (np.sqrt(np.einsum("ij,ij->i", v, v)) for v in (a, b, c))
    top = np.einsum("ij,ij->i", a, np.cross(b, c))
    ab, bc, ca = (np.einsum("ij,ij->i", v, w) for v, w in ((a, b), (b, c), (c, a)))
    return float(np.arctan2(top, la * lb * lc + ab * lc + bc * la + ca * lb).sum() / (2.0 * np.pi))
