"""Plugged bores as the bath meets them: their walls taken away, their mouths shut."""

from __future__ import annotations

import numpy as np

from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.covering import Covering
from areacalc.surface.features.lids import lids
from areacalc.surface.shut_in import merged
from areacalc.surface.skin import State


def shut(points: Floats, corners: Ints, parent: Ints, body: Body, covering: Covering) -> tuple[Floats, Ints, Ints]:
    """The skin without what plugs touch or cut off, a lid over every mouth (parent -1)."""
    away = covering.state_is(State.PLUGGED) | covering.state_is(State.SEALED)
    if not away.any():
        return points, corners, parent
    pieces = covering.pieces
    cut = np.bincount(pieces.parent, minlength=len(body.triangles)) > 1
    gone = np.zeros(len(body.triangles), bool)
    gone[pieces.parent[away & ~cut[pieces.parent]]] = True
    stays = (parent < 0) | ~(gone | cut)[np.maximum(parent, 0)]
    left = ~away & cut[pieces.parent]
    flipped = _turned_round(points, corners, parent, body)
    split = pieces.corners[left]
    turn = flipped[pieces.parent[left]]
    split[turn] = split[turn][:, ::-1]
    every = np.concatenate([points[corners[stays]].reshape(-1, 3), split.reshape(-1, 3)])
    owner = np.r_[parent[stays], pieces.parent[left]]
    single, index = merged(every)
    made = index.reshape(-1, 3)
    sound = (made[:, 0] != made[:, 1]) & (made[:, 1] != made[:, 2]) & (made[:, 2] != made[:, 0])
    made, owner = made[sound].astype(np.int32), owner[sound]
    more, lid = lids(single, made)
    return more, np.concatenate([made, lid]), np.r_[owner, np.full(len(lid), -1, np.int32)].astype(np.int32)


def _turned_round(points: Floats, corners: Ints, parent: Ints, body: Body) -> Ints:
    """Which of the body's triangles face the other way in this skin."""
    own = parent >= 0
    a, b, c = (points[corners[own, j]] for j in range(3))
    p, q, r = (body.vertices[body.triangles[parent[own], j]] for j in range(3))
    flip = np.zeros(len(body.triangles), bool)
    flip[parent[own]] = np.einsum("ij,ij->i", np.cross(b - a, c - a), np.cross(q - p, r - p)) < 0
    return flip
