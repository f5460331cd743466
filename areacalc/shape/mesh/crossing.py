"""Triangles that pass through one another."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Floats, Ints
from areacalc.shape.mesh.boxes import BoxTree, overlaps, triangle_boxes

_BLOCK = 1 << 19  # pairs at a time
_FEW = 1400  # triangles; below, plain arrays are quicker than loading the compiler
_MOST = 300_000_000  # pairs held against each other before giving up: a few seconds


def crossing_pairs(points: Floats, corners: Ints, slack_mm: float) -> Ints | None:
    """The pairs (p, 2) of triangles of one mesh that pass through one another by more than slack_mm.

    Triangles that share a corner are not compared, nor those that lie flat on each other. None where so many lie close
    to each other (strips as long as the part, in many directions) that the search would take minutes.
    """
    if len(corners) <= _FEW:
        low, high = triangle_boxes(points, corners)
        return np.concatenate([block[_cross(points, corners, block, slack_mm)] for block in
                               _blocks(_ordered(overlaps(low, high, low, high)))])  # fmt: skip
    from areacalc.shape.mesh.crossing_loops import spanning

    tree = BoxTree(*_slim_boxes(points, corners))
    order = tree.order
    mine = corners[order]
    pairs, finished = spanning(mine, points[mine], tree.low[order], tree.high[order], tree.node_low, tree.node_high,
                               slack_mm, _MOST)  # fmt: skip
    if not finished:
        return None
    found = [block[_cross(points, corners, block, slack_mm)] for block in _blocks(order[pairs])]
    return np.sort(np.concatenate(found), axis=1)


def _slim_boxes(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """The triangles' boxes, along the axes or along the directions in which most edges run, whichever are slimmer.

    The long strips of a turned part that lies askew have boxes as large as the part, but slim ones along its axis.
    """
    edges = points[np.roll(corners, -1, axis=1)] - points[corners]
    _, frame = np.linalg.eigh(np.einsum("nki,nkj->ij", edges, edges))
    plain, turned = triangle_boxes(points, corners), triangle_boxes(points @ frame, corners)
    return turned if _faces_mm2(*turned) < 0.5 * _faces_mm2(*plain) else plain


def _faces_mm2(low: Floats, high: Floats) -> float:
    size = high - low
    return float((size * np.roll(size, 1, axis=1)).sum())


def _ordered(pairs: Ints) -> Ints:
    return pairs[pairs[:, 0] < pairs[:, 1]]


def _blocks(pairs: Ints) -> Iterator[Ints]:
    for start in range(0, max(len(pairs), 1), _BLOCK):
        yield pairs[start : start + _BLOCK]


def _cross(points: Floats, corners: Ints, pairs: Ints, slack_mm: float) -> NDArray[np.bool_]:
    """Whether each spans the other's plane and an edge of one passes through the other, (p,)."""
    one, two = corners[pairs[:, 0]], corners[pairs[:, 1]]
    keep = np.nonzero(~(one[:, :, None] == two[:, None, :]).any(axis=(1, 2)))[0]
    for first, second in ((one, two), (two, one)):
        _, height = _heights(points[first[keep]], points[second[keep]])
        keep = keep[(height.min(axis=1) < -slack_mm) & (height.max(axis=1) > slack_mm)]
    out = np.zeros(len(pairs), bool)
    for first, second in ((one, two), (two, one)):
        plane, edges = points[first[keep]], points[second[keep]]
        normal, height = _heights(plane, edges)
        for j in range(3):
            h0, h1 = height[:, j], height[:, (j + 1) % 3]
            at = np.nonzero((np.minimum(h0, h1) < -slack_mm) & (np.maximum(h0, h1) > slack_mm))[0]
            share = (h0[at] / (h0[at] - h1[at]))[:, None]
            hit = edges[at, j] + share * (edges[at, (j + 1) % 3] - edges[at, j])
            inside = np.ones(len(at), bool)
            for side in range(3):
                start = plane[at, side]
                along = plane[at, (side + 1) % 3] - start
                reach = np.einsum("pc,pc->p", np.cross(normal[at], along), hit - start)
                inside &= reach > -slack_mm * np.linalg.norm(along, axis=1)  # an edge that meets an edge counts
            out[keep[at[inside]]] = True
    return out


def _heights(plane: Floats, others: Floats) -> tuple[Floats, Floats]:
    """The unit normals of triangles (p, 3, 3), and how far the corners of the others lie over their planes (p, 3)."""
    normal = np.cross(plane[:, 1] - plane[:, 0], plane[:, 2] - plane[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    return normal, np.einsum("pkc,pc->pk", others - plane[:, :1], normal)
