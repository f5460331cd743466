"""Which way the skin faces: shells turned outward, inner shells told from outer ones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.connected import connected
from areacalc.shape.mesh.topology import Topology
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.shape.mesh.winding import winding_number


@dataclass(frozen=True, eq=False)
class Shells:
    """The welded triangles with one side out, and what each shell is.

    corners and across (k, 3) int32 as in Topology, some of them turned round; turned is how many.
    inside (s,) int32: the shell that a sealed void lies in, -1 for a body of its own. closed (s,) bool.
    """

    corners: Ints
    across: Ints
    turned: int
    inside: Ints
    closed: NDArray[np.bool_]


def shells(mesh: Topology) -> Shells:
    """Turn every shell outward (a sealed void inward) and find what lies inside what."""
    flip = np.zeros(len(mesh.corners), bool) if mesh.oriented else _discord(mesh)
    corners, across = _turned(mesh.corners, mesh.across, flip)
    open_faces = summed((across < 0).any(axis=1).astype(float), mesh.shell_of, mesh.shell_count)
    closed = open_faces == 0
    volume = _volumes(mesh, corners)
    inside = _nesting(mesh, closed)
    # the rule of solids: an even depth is a body, an odd depth a void
    wrong = closed & (volume * np.where(inside >= 0, -1.0, 1.0) < 0)
    again = wrong[mesh.shell_of]
    corners, across = _turned(corners, across, again)
    return Shells(corners, across, int((flip ^ again).sum()), inside, closed)


def _turned(corners: Ints, across: Ints, flip: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    if not flip.any():
        return corners, across
    corners, across = corners.copy(), across.copy()
    corners[flip] = corners[flip][:, [0, 2, 1]]
    across[flip] = across[flip][:, [2, 1, 0]]
    return corners, across


def _discord(mesh: Topology) -> NDArray[np.bool_]:
    """The triangles to turn so that neighbours agree: colour a graph that holds each triangle both ways up."""
    count = len(mesh.corners)
    tri, side = np.nonzero(mesh.across >= 0)
    other = mesh.across[tri, side].astype(np.int64)
    start = mesh.corners[tri, side]
    end = mesh.corners[tri, (side + 1) % 3]
    theirs = mesh.corners[other]
    same_way = ((theirs == start[:, None]) & (np.roll(theirs, -1, axis=1) == end[:, None])).any(axis=1)
    rows = np.concatenate([tri, tri + count])
    cols = np.concatenate([other + same_way * count, other + ~same_way * count])
    _, label = connected(2 * count, rows, cols)
    first = np.full(mesh.shell_count, count, np.int64)
    np.minimum.at(first, mesh.shell_of, np.arange(count))
    kept: NDArray[np.bool_] = label[:count] != label[first[mesh.shell_of]]
    return kept


def _volumes(mesh: Topology, corners: Ints) -> Floats:
    a, b, c = (mesh.points[corners[:, j]] - mesh.points[0] for j in range(3))
    six = np.einsum("ij,ij->i", a, np.cross(b, c))
    return summed(six, mesh.shell_of, mesh.shell_count)


def _nesting(mesh: Topology, closed: NDArray[np.bool_]) -> Ints:
    """For each closed shell at an odd depth, the innermost shell around it; -1 for the rest."""
    count = mesh.shell_count
    inside = np.full(count, -1, np.int32)
    if closed.sum() < 2:
        return inside
    order, first = by_label(mesh.shell_of, count)
    low, high = np.empty((count, 3)), np.empty((count, 3))
    corner_points = mesh.points[mesh.corners]
    low = np.minimum.reduceat(corner_points.min(axis=1)[order], first[:-1])
    high = np.maximum.reduceat(corner_points.max(axis=1)[order], first[:-1])
    probe = corner_points[order[first[:-1]]].mean(axis=1)
    size = np.prod(high - low, axis=1)
    for s in np.nonzero(closed)[0]:
        around = np.nonzero(closed & (low < low[s]).all(axis=1) & (high > high[s]).all(axis=1))[0]
        holders = [
            o for o in around if abs(winding_number(corner_points[order[first[o] : first[o + 1]]], probe[s])) > 0.5
        ]
        if len(holders) % 2:
            inside[s] = min(holders, key=lambda o: float(size[o]))
    return inside
