"""How a part lies as it hangs: turned about its upright so that it is least across."""

import numpy as np

from areacalc.shape.kinds import Floats
from areacalc.surface.features.fit import square_to


def narrow_side(vertices: Floats, up: tuple[float, float, float]) -> Floats:
    """The direction (unit, square to `up`) along the longer side of the narrowest rectangle seen from above.

    Published: the narrowest rectangle round a polygon has a side on one of its edges (H. Freeman, R. Shapira, Comm. ACM
    18 (1975) 409).

    >>> box = np.array([[x, y, z] for x in (0, 8) for y in (0, 30) for z in (0, 60)], float)
    >>> np.abs(narrow_side(box, (0.0, 1.0, 0.0))).round(9).tolist()
    [0.0, 0.0, 1.0]
    """
    from scipy.spatial import ConvexHull

    one, two = square_to(np.asarray(up, float))
    flat = vertices @ np.stack([one, two], axis=1)
    ring = flat[ConvexHull(flat).vertices]
    edges = np.roll(ring, -1, axis=0) - ring
    edges = edges / np.linalg.norm(edges, axis=1, keepdims=True)
    beside = np.stack([-edges[:, 1], edges[:, 0]], axis=1)
    along, across = np.ptp(ring @ edges.T, axis=0), np.ptp(ring @ beside.T, axis=0)
    best = np.argmin(np.minimum(along, across))
    long = edges[best] if along[best] >= across[best] else beside[best]
    found: Floats = long[0] * one + long[1] * two
    return found
