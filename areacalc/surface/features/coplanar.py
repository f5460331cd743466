"""Flats: groups of triangles that lie in one plane, told apart from a curve whose steps are smaller than rounding."""

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.measure_loops import heights
from areacalc.shape.mesh.topology_loops import join_some
from areacalc.surface.features.creases_loops import mean_planes

SURE = 256.0
"""Roundings that a triangle is high if its own normal tells a bend of a degree."""
LEVEL = 6.0
"""Roundings that a small triangle's corners may lie off the plane it is counted to."""
DEPTH = 12.0
"""Roundings that the corners of one flat may lie apart."""


def coplanar(
    points: Floats, corners: Ints, across: Ints, normal: Floats, area: Floats, level: NDArray[np.bool_], noise_mm: float
) -> tuple[Ints, int]:
    """The flat of each triangle (k,) and their number; level (k, 3): the neighbour there lies in the same plane."""
    label, count = join_some(across, level)
    bent = mean_planes(points, corners, normal, area, label, count)[2] > DEPTH * noise_mm
    if not bent.any():
        return label, count
    # small triangles may belong to either side of a bend and have linked both
    mixed = bent[label]
    sure = ~mixed | (heights(points, corners, area)[0] >= SURE * noise_mm)
    label, count = join_some(across, level & sure[:, None] & sure[np.maximum(across, 0)])
    mean, height, _ = mean_planes(points, corners, normal, area, label, count)
    label = _taken_in(points[corners], across, level, label, mean, height, ~sure, LEVEL * noise_mm)
    label, count = _renumbered(label)
    bent = mean_planes(points, corners, normal, area, label, count)[2] > DEPTH * noise_mm
    if bent.any():  # a chain of nearly level steps has crept round a curve: take such a group apart
        lone = bent[label]
        label[lone] = count + np.arange(int(lone.sum()))
        return _renumbered(label)
    return label, count


def _renumbered(label: Ints) -> tuple[Ints, int]:
    """The labels without gaps, in the same order, and their number."""
    used = np.bincount(label) > 0
    return (np.cumsum(used) - 1).astype(np.int32)[label], int(used.sum())


def _taken_in(
    places: Floats, across: Ints, level: NDArray[np.bool_], label: Ints, mean: Floats, height: Floats,
    open_: NDArray[np.bool_], slack_mm: float,
) -> Ints:  # fmt: skip
    """The labels with each open triangle, places (k, 3, 3), counted to a group beside it, if it lies in its plane."""
    label = label.copy()
    left = np.nonzero(open_)[0]
    open_ = open_.copy()
    while len(left):
        beside = np.maximum(across[left], 0)
        group = label[beside]
        off = np.einsum("ijk,ilk->ijl", mean[group], places[left]) - height[group][:, :, None]
        off = np.where(level[left] & ~open_[beside], np.abs(off).max(axis=2), np.inf)
        best = off.argmin(axis=1)
        row = np.arange(len(left))
        good = off[row, best] <= slack_mm
        if not good.any():
            break
        label[left[good]] = group[row, best][good]
        open_[left[good]] = False
        left = left[~good]
    return label
