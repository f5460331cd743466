"""Triangles cut along planes, so that a region's edge falls between pieces and never inside one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from areacalc.shape.body import cross
from areacalc.shape.kinds import Floats, Ints, Truths

Plane = tuple[Floats, float]
"""A normal (3,) and an offset [mm]: the points p with normal . p = offset."""


@dataclass(frozen=True, eq=False)
class Pieces:
    """Triangles, some of them cut. corners (k, 3, 3) mm; parent (k,) int32, the triangle each piece came from."""

    corners: Floats
    parent: Ints

    @property
    def area_mm2(self) -> Floats:
        facing = cross(self.corners[:, 1] - self.corners[:, 0], self.corners[:, 2] - self.corners[:, 0])
        return np.asarray(0.5 * np.sqrt(np.einsum("ij,ij->i", facing, facing)))

    @property
    def centre(self) -> Floats:
        return np.asarray(self.corners.mean(axis=1))

    def only(self, rows: Truths | Ints) -> Pieces:
        return Pieces(self.corners[rows], self.parent[rows])


def whole(vertices: Floats, triangles: Ints) -> Pieces:
    return Pieces(vertices[triangles], np.arange(len(triangles), dtype=np.int32))


def split(pieces: Pieces, planes: Iterable[Plane]) -> Pieces:
    """The pieces cut along each plane; total area and the direction each piece faces are unchanged.

    >>> square = np.array([[0.0, 0, 0], [2, 0, 0], [0, 2, 0]])
    >>> cut = split(whole(square, np.array([[0, 1, 2]], np.int32)), [(np.array([1.0, 0, 0]), 1.0)])
    >>> [round(float(a), 3) for a in np.sort(cut.area_mm2)]
    [0.5, 0.5, 1.0]
    """
    for normal, offset in planes:
        height = pieces.corners @ np.asarray(normal, float) - offset
        snap = 1e-12 * max(1.0, float(np.abs(height).max(initial=0.0)))
        side = np.where(np.abs(height) <= snap, 0, np.sign(height)).astype(np.int8)
        crossing = (side.max(axis=1) > 0) & (side.min(axis=1) < 0)
        if crossing.any():
            new, parent = _cut(pieces.corners[crossing], height[crossing], side[crossing], pieces.parent[crossing])
            pieces = Pieces(
                np.concatenate([pieces.corners[~crossing], new]),
                np.concatenate([pieces.parent[~crossing], parent]).astype(np.int32),
            )
    return pieces


def _cut(corners: Floats, height: Floats, side: Ints, parent: Ints) -> tuple[Floats, Ints]:
    """Cut triangles that cross the plane: through a corner into two, else into three."""
    on = side == 0
    through = on.any(axis=1)
    # the corner that stands alone on its side, or lies on the plane, goes first
    alone = np.where(through, on.argmax(axis=1), (side == -np.sign(side.sum(axis=1, keepdims=True))).argmax(axis=1))
    turn = (alone[:, None] + np.arange(3)) % 3
    rows = np.arange(len(corners))[:, None]
    a, b, c = (corners[rows, turn][:, i] for i in range(3))
    ha, hb, hc = (height[rows, turn][:, i : i + 1] for i in range(3))

    def between(p: Floats, q: Floats, hp: Floats, hq: Floats) -> Floats:
        return np.asarray(p + (q - p) * (hp / (hp - hq)))

    t = through
    made = []
    if t.any():
        mid = between(b[t], c[t], hb[t], hc[t])
        made += [(np.stack([a[t], b[t], mid], 1), parent[t]), (np.stack([a[t], mid, c[t]], 1), parent[t])]
    n = ~t
    if n.any():
        ab, ac = between(a[n], b[n], ha[n], hb[n]), between(a[n], c[n], ha[n], hc[n])
        made += [
            (np.stack([a[n], ab, ac], 1), parent[n]),
            (np.stack([ab, b[n], c[n]], 1), parent[n]),
            (np.stack([ab, c[n], ac], 1), parent[n]),
        ]
    return np.concatenate([m[0] for m in made]), np.concatenate([m[1] for m in made])
