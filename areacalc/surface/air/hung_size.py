"""How much room a part takes as it hangs: its height, and the narrowest rectangle seen from above."""

from __future__ import annotations

import numpy as np

from areacalc.shape.kinds import Floats

Size = tuple[float, float, float]


def hung_size_mm(vertices: Floats, up: tuple[float, float, float]) -> Size:
    """Across, along and high [mm] of points (n, 3) with `up` (unit) pointing up, turned about it to be least across.

    Published: the narrowest rectangle round a polygon has a side on one of its edges (H. Freeman, R. Shapira, Comm. ACM
    18 (1975) 409).

    >>> box = np.array([[x, y, z] for x in (0, 8) for y in (0, 30) for z in (0, 60)], float)
    >>> [round(side, 9) for side in hung_size_mm(box, (0.0, 1.0, 0.0))]
    [8.0, 60.0, 30.0]
    """
    from scipy.spatial import ConvexHull

    axis = np.asarray(up, float)
    one = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis))])
    one /= np.linalg.norm(one)
    flat = vertices @ np.stack([one, np.cross(axis, one)], axis=1)
    ring = flat[ConvexHull(flat).vertices]
    edges = np.roll(ring, -1, axis=0) - ring
    edges = edges / np.linalg.norm(edges, axis=1, keepdims=True)
    along = np.ptp(ring @ edges.T, axis=0)
    across = np.ptp(ring @ np.stack([-edges[:, 1], edges[:, 0]]), axis=0)
    sides = np.sort(np.stack([across, along], axis=1), axis=1)
    thin, wide = sides[np.argmin(sides[:, 0])]
    return float(thin), float(wide), float(np.ptp(vertices @ axis))
