"""Edges where more than two triangles meet: which two belong together, so that bodies that touch stay bodies."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.rounding import rounding_mm

_SAME_ANGLE = 1e-9  # rad; two faces on the same plane differ by rounding alone, in single precision by more:
_ROUNDINGS = 4.0  # that a corner may be off, in roundings of the file's numbers


def settle(points: Floats, corners: Ints, across: Ints, crowded: Ints, solid_of: Ints) -> bool:
    """Pair the half-edges on crowded edges in `across` (k, 3), in place; whether all could be paired, each both ways.

    Two that are alone with their solid's name belong together. Otherwise those belong together that have material
    between them: going round the edge from a triangle into its material, the next one met faces back.
    """
    lone = np.nonzero(across.ravel() < 0)[0]
    start, end = corners.ravel()[lone], np.roll(corners, -1, axis=1).ravel()[lone]
    low, high = np.minimum(start, end).astype(np.int64), np.maximum(start, end).astype(np.int64)
    key = low * len(points) + high
    wanted = np.isin(key, np.sort(crowded, axis=1).astype(np.int64) @ np.array([len(points), 1]))
    half, start, low, high, key = lone[wanted], start[wanted], low[wanted], high[wanted], key[wanted]
    solid = solid_of[half // 3] if len(solid_of) else np.zeros(len(half), np.int32)
    forward = start == low
    angle = _clustered(key * (1 + int(solid.max(initial=0))) + solid, *_angles(points, corners, half, low, high))
    # a triangle run backward has its material where angles grow, so at one angle it comes after one run forward
    order = np.lexsort((~forward, angle, solid, key))
    group = np.cumsum(np.r_[0, (np.diff(key[order]) != 0) | (np.diff(solid[order]) != 0)])
    first = np.r_[0, np.nonzero(np.diff(group))[0] + 1]
    size = np.diff(np.r_[first, len(group)])
    at = np.arange(len(order))
    following = np.where(at + 1 < (first + size)[group], at + 1, first[group])
    pair = ~forward[order] & forward[order[following]]
    one, two = half[order[pair]], half[order[following[pair]]]
    flat = across.reshape(-1)
    flat[one], flat[two] = two // 3, one // 3
    return bool((flat[half] >= 0).all())


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
