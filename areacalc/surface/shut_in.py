"""What plugs shut in: skin that hangs together with the outside no more, whichever bores it is made of."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import cross, extents_mm, summed
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import near, within
from areacalc.shape.mesh.connected import connected
from areacalc.shape.mesh.topology_loops import weld_rows
from areacalc.surface.features.lids import lids
from areacalc.surface.split import Pieces

_SAME = 1e-9  # of the size: ends of cuts nearer than this are one point
_LEVEL = 1e-6  # of the size: rims nearer than this to one plane lie in it
_HOLLOW = 1e-9  # of the size cubed: less is flat


def shut_in(pieces: Pieces, plugged: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which pieces (k,) the bath does not reach past those that plugs touch.

    Of each shell the piece that reaches farthest stays outside. What plugs part from it is shut in where it lies round
    a hollow; a land in a plugged groove, level with its rim, is not.
    """
    found = np.zeros(len(plugged), bool)
    left = ~plugged
    if left.all() or plugged.all():
        return found
    points, index = merged(pieces.corners.reshape(-1, 3))
    corners = index.reshape(-1, 3).astype(np.int32)
    shell = _groups(corners, len(points))[corners[left, 0]]
    more, lid = lids(points, corners[left])
    label = _groups(np.concatenate([corners[left], _level(points, lid)]), len(points))
    part, count = label[corners[left, 0]], int(label.max()) + 1
    faces = more[np.concatenate([corners[left], lid])] - points.mean(axis=0)
    six_mm3 = np.einsum("ij,ij->i", faces[:, 0], cross(faces[:, 1], faces[:, 2]))
    volume = summed(six_mm3, np.r_[part, label[lid[:, 0]]], count) / 6.0
    farthest = points[corners[left], 0].max(axis=1)
    order = np.argsort(farthest, kind="stable")  # the last of a shell is what is kept of it
    outer = np.zeros(int(shell.max()) + 1, np.int64)
    outer[shell[order]] = part[order]
    outside = outer[shell]
    hollow = volume[part] * np.sign(volume[outside]) < -_HOLLOW * max(extents_mm(points)) ** 3
    found[left] = hollow & (part != outside)
    return found


def merged(points: Floats) -> tuple[Floats, Ints]:
    """Points (n, 3) with those nearer than rounding to one another as one, and the row of each (n,)."""
    index, first = weld_rows(np.ascontiguousarray(points))
    unique = points[first]
    count, label = connected(len(unique), *near(unique, _SAME * max(extents_mm(unique))).T)
    made = np.empty((count, 3))
    made[label] = unique
    return made, label[index]


def _groups(corners: Ints, count: int) -> Ints:
    """The group of points that triangles hold together, for each of so many points."""
    return connected(count, corners[:, :2].ravel(), corners[:, 1:].ravel())[1]


def _level(points: Floats, lid: Ints) -> Ints:
    """A triangle (l, 3) from rim to rim wherever one lies in the plane of another and within its bounds."""
    loops = [np.unique(lid[lid[:, 2] == loop, :2]) for loop in np.unique(lid[:, 2])]
    slack = _LEVEL * max(extents_mm(points))
    low, high = (np.array([pick(points[loop], axis=0) for loop in loops]).reshape(-1, 3) for pick in (np.min, np.max))
    found = []
    for inner, outer in within(low, high, slack).tolist():
        rim = points[np.r_[loops[inner], loops[outer]]]
        if np.linalg.svd(rim - rim.mean(axis=0), compute_uv=False)[2] <= slack * np.sqrt(len(rim)):
            found.append([loops[inner][0], loops[outer][0], loops[outer][0]])
    return np.array(found, np.int32).reshape(-1, 3)
