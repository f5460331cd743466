"""How the skin bends at its edges: dihedral angles, and the flats that coplanar triangles make up, told apart from a
curve whose steps are smaller than rounding."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from areacalc.shape.body import extents_mm
from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.measure_loops import heights, normals
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.shape.mesh.topology_loops import join_some
from areacalc.surface.features.creases_loops import bends, mean_planes

SURE = 256.0  # roundings that a triangle is high if its own normal tells a bend of a degree
LEVEL = 6.0  # roundings that a small triangle's corners may lie off the plane it is counted to
DEPTH = 12.0  # roundings that the corners of one flat may lie apart


@dataclass(frozen=True, eq=False)
class Creases:
    """The welded triangles with their normals (k, 3), areas [mm2] and the bend at each edge.

    angle (k, 3) [rad]: how far the neighbour across the edge from corner j to j+1 turns away; positive where the edge
    is convex (the material's angle is below 180 degrees), 0 where there is no neighbour.
    flat_of (k,) int32: which flat (coplanar, connected triangles) each belongs to. flat_count their number.
    noise_mm: how far rounding may have moved a corner.
    """

    points: Floats
    corners: Ints
    across: Ints
    normal: Floats
    area: Floats
    angle: Floats
    flat_of: Ints
    flat_count: int
    noise_mm: float

    @cached_property
    def middle(self) -> Floats:
        a, b, c = (self.points[self.corners[:, j]] for j in range(3))
        return np.asarray((a + b + c) / 3.0)

    @cached_property
    def size_mm(self) -> float:
        """The longest side of the box about them."""
        return max(extents_mm(self.points))

    @cached_property
    def numbering(self) -> tuple[Ints, Ints]:
        """Scratch for the numberings of regions: (p,) of points and (flat_count,) of flats."""
        return np.full(len(self.points), -1, np.int32), np.full(self.flat_count, -1, np.int32)


def creases(points: Floats, corners: Ints, across: Ints) -> Creases:
    """Measure every edge and join coplanar triangles."""
    normal, area = normals(points, corners)
    noise = rounding_mm(points)
    angle, level = bends(points, corners, across, normal, area, noise)
    flat_of, count = _coplanar(points, corners, across, normal, area, level, noise)
    return Creases(points, corners, across, normal, area, angle, flat_of, count, noise)


def _coplanar(
    points: Floats, corners: Ints, across: Ints, normal: Floats, area: Floats, level: Truths, noise_mm: float
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
    places: Floats, across: Ints, level: Truths, label: Ints, mean: Floats, height: Floats,
    open_: Truths, slack_mm: float,
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
