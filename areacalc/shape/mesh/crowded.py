"""Edges where more than two triangles meet: which two belong together, so that bodies that touch stay bodies."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.shape.mesh.topology_loops import join

_SAME_ANGLE = 1e-9  # rad; two faces on the same plane differ by rounding alone, in single precision by more:
_ROUNDINGS = 4.0  # that a corner may be off, in roundings of the file's numbers


def settle(points: Floats, corners: Ints, across: Ints, crowded: Ints, solid_of: Ints) -> None:
    """Pair the half-edges on crowded edges in `across` (k, 3), in place; those that fit no other stay open.

    Two that are alone with their solid's name belong together, and two that hang together elsewhere: so a cavity that
    meets the outside along a line is not joined to it, nor a body to one whose edge it shares. Otherwise those belong
    together that have material between them. Edges where that leaves some over wait until others are paired, for facets
    of round mates may pass through each other there.
    """
    flat = across.reshape(-1)
    lone = np.nonzero(flat < 0)[0]
    start, end = corners.ravel()[lone], np.roll(corners, -1, axis=1).ravel()[lone]
    low, high = np.minimum(start, end).astype(np.int64), np.maximum(start, end).astype(np.int64)
    key = low * len(points) + high
    wanted = np.isin(key, np.sort(crowded, axis=1).astype(np.int64) @ np.array([len(points), 1]))
    half, low, high, key, forward = lone[wanted], low[wanted], high[wanted], key[wanted], (start == low)[wanted]
    solid = solid_of[half // 3] if len(solid_of) else np.zeros(len(half), np.int32)
    by_solid = np.unique(np.stack([key, solid]), axis=1, return_inverse=True)[1].reshape(-1)
    left, angle, groups = np.arange(len(half)), np.full(len(half), np.nan), int(by_solid.max(initial=-1)) + 1
    while len(left):
        piece, count = join(across)
        by_piece = np.unique(by_solid[left] * np.int64(count) + piece[half[left] // 3], return_inverse=True)[1].reshape(
            -1
        )
        ahead = forward[left]
        alone = (np.bincount(by_piece) == 2)[by_piece] & (np.bincount(by_piece, weights=ahead) == 1)[by_piece]
        one, two = (left[alone & way][np.argsort(by_piece[alone & way])] for way in (ahead, ~ahead))
        flat[half[one]], flat[half[two]] = half[two] // 3, half[one] // 3
        left = left[~alone]
        if not len(left):
            return
        if np.isnan(angle[left]).any():
            angle[left] = _clustered(by_solid[left], *_angles(points, corners, half[left], low[left], high[left]))
        one, two = _with_material_between(left, by_solid[left], forward[left], angle[left])
        whole = 2 * np.bincount(by_solid[one], minlength=groups) == np.bincount(by_solid[left], minlength=groups)
        sound = whole[by_solid[one]]
        if not sound.any() and alone.any():
            continue
        one, two = (one[sound], two[sound]) if sound.any() else (one, two)
        flat[half[one]], flat[half[two]] = half[two] // 3, half[one] // 3
        left = left[~whole[by_solid[left]]] if sound.any() else left[:0]


def _with_material_between(half: Ints, group: Ints, forward: NDArray[np.bool_], angle: Floats) -> tuple[Ints, Ints]:
    """Half-edges that belong together: going round the edge from a triangle into its material, the next faces back."""
    # a triangle run backward has its material where angles grow, so at one angle it comes after one run forward
    order = np.lexsort((~forward, angle, group))
    _, first, at, size = np.unique(group[order], return_index=True, return_inverse=True, return_counts=True)
    here = np.arange(len(order))
    following = np.where(here + 1 < (first + size)[at.reshape(-1)], here + 1, first[at.reshape(-1)])
    pair = ~forward[order] & forward[order[following]]
    return half[order[pair]], half[order[following[pair]]]


def _clustered(group: NDArray[np.int64], angle: Floats, slack: Floats) -> Floats:
    """Angles with those of one group that differ by no more than their slack made equal."""
    order = np.lexsort((angle, group))
    sorted_angle, sorted_slack = angle[order], slack[order]
    apart = (np.diff(group[order]) != 0) | (np.diff(sorted_angle) > sorted_slack[1:] + sorted_slack[:-1])
    first = np.nonzero(np.r_[True, apart])[0]
    out = np.empty(len(angle))
    out[order] = np.repeat(sorted_angle[first], np.diff(np.r_[first, len(order)]))
    return out


def _angles(points: Floats, corners: Ints, half: NDArray[np.int64], low: NDArray[np.int64], high: NDArray[np.int64]
            ) -> tuple[Floats, Floats]:  # fmt: skip
    """The angle [rad] at which each triangle leaves its edge, seen along the edge from its lower point, and its slack:
    how far rounding of the corners may have turned it."""
    along = points[high] - points[low]
    length = np.linalg.norm(along, axis=1, keepdims=True)
    along /= length
    least = np.eye(3)[np.abs(along).argmin(axis=1)]
    u = np.cross(along, least)
    u /= np.linalg.norm(u, axis=1, keepdims=True)
    v = np.cross(along, u)
    arm = points[corners[half // 3, (half + 2) % 3]] - points[low]
    x, y = (arm * u).sum(axis=1), (arm * v).sum(axis=1)
    rounding = _ROUNDINGS * rounding_mm(points)
    slack = np.maximum(_SAME_ANGLE, np.minimum(rounding / np.maximum(np.hypot(x, y), 1e-300), 0.1))
    angle = np.arctan2(y, x)
    return np.where(angle >= np.pi - slack, -np.pi, angle), slack
