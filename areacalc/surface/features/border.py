"""Where two patches meet: the half-edges of their borders, and the loops that they form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Floats, Ints, Surface, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.surface.features.creases import Creases

JAGGED = 0.5  # of its radius: how far a mouth's rim may lie off a plane and still have a height


@dataclass(frozen=True, eq=False)
class Borders:
    """The half-edges where two patches meet: triangle, corner, the patch on its own side and the other one (b,), -1 at
    an open edge."""

    mesh: Creases
    triangle: Ints
    corner: Ints
    patch: Ints
    other: Ints

    @classmethod
    def of(cls, mesh: Creases, patch_of: Ints) -> Borders:
        """All half-edges whose neighbour belongs to another patch."""
        theirs = np.where(mesh.across >= 0, patch_of[np.maximum(mesh.across, 0)], -1)
        tri, corner = np.nonzero(theirs != patch_of[:, None])
        return cls(mesh, tri, corner, patch_of[tri], theirs[tri, corner])

    def only(self, rows: Ints) -> Borders:
        return Borders(self.mesh, self.triangle[rows], self.corner[rows], self.patch[rows], self.other[rows])

    def pairs(self, rows: Ints) -> tuple[Ints, Ints]:
        """The pairs of patches (n, 2) that meet in these half-edges, none of them open, in order; which each is of."""
        count = int(max(self.patch.max(initial=0), self.other.max(initial=0))) + 1
        key, which = np.unique(self.patch[rows].astype(np.int64) * count + self.other[rows], return_inverse=True)
        return np.stack(np.divmod(key, count), axis=1), which

    def bends(self, rows: Ints, which: Ints, count: int) -> Floats:
        """How far the skin bends along each of the pairs (count,) that these half-edges are of, in the mean [rad]."""
        length = self.length_mm[rows]
        return summed(self.bend[rows] * length, which, count) / summed(length, which, count)

    @cached_property
    def inner(self) -> Truths:
        """Which have a patch on the other side."""
        return np.asarray(self.other >= 0)

    @cached_property
    def beside(self) -> Ints:
        """The patch on the other side, any at an open edge."""
        return np.maximum(self.other, 0)

    @cached_property
    def ends(self) -> Ints:
        """The points that they run from and to (b, 2)."""
        corners = self.mesh.corners
        return np.stack([corners[self.triangle, self.corner], corners[self.triangle, (self.corner + 1) % 3]], axis=1)

    @cached_property
    def places(self) -> Floats:
        """Where their ends are (b, 2, 3) [mm]."""
        return np.asarray(self.mesh.points[self.ends])

    @cached_property
    def length_mm(self) -> Floats:
        return np.asarray(np.linalg.norm(self.places[:, 1] - self.places[:, 0], axis=1))

    @cached_property
    def bend(self) -> Floats:
        """How far the skin bends there [rad], as Creases.angle."""
        return np.asarray(self.mesh.angle[self.triangle, self.corner])

    @cached_property
    def names(self) -> Ints:
        """One number for both half-edges of an edge (b,)."""
        ends = np.sort(self.ends, axis=1)
        return np.asarray(ends[:, 0].astype(np.int64) * len(self.mesh.points) + ends[:, 1])


def loops(edge: Borders, owner: Ints) -> Ints:
    """Number the loops that half-edges with one owner form through shared points: (b,) the loop of each."""
    if len(owner) == 0:
        return np.zeros(0, np.int32)
    keys = owner.astype(np.int64)[:, None] * len(edge.mesh.points) + edge.ends
    _, node = np.unique(keys, return_inverse=True)
    node = node.reshape(-1, 2)
    _, label = connected(int(node.max()) + 1, *node.T)
    _, loop = np.unique(label[node[:, 0]], return_inverse=True)
    return loop.astype(np.int32)


@dataclass(frozen=True, eq=False)
class Rims:
    """The loops that bound patches. loop, turn_rad, height_mm (b,): the loop of each half-edge, how far it turns about
    the patch's axis and how high along it, from the surface's point; middle (b, 3): where it lies across the axis. The
    rest is of each loop (l,).

    patch: whose it is. radius_mm: how far from the axis, in the mean. swept_mm2: twice what it sweeps about the patch's
    axis, negative round a hole in a plane. winds: it goes once round the axis.
    """

    loop: Ints
    turn_rad: Floats
    height_mm: Floats
    middle: Floats
    patch: Ints
    radius_mm: Floats
    length_mm: Floats
    swept_mm2: Floats
    winds: Truths

    @classmethod
    def of(cls, edge: Borders, surfaces: Sequence[Surface]) -> Rims:
        """The loops of the borders of patches on these surfaces."""
        loop = loops(edge, edge.patch)
        count = int(loop.max(initial=-1)) + 1
        patch = np.zeros(count, np.int32)
        patch[loop] = edge.patch
        point = np.array([s.point for s in surfaces])[edge.patch]
        axis = np.array([s.direction for s in surfaces])[edge.patch]
        turn, height, swept = about(edge.places - point[:, None], axis)
        middle = edge.places.mean(axis=1) - point - height[:, None] * axis
        radius = summed(np.linalg.norm(middle, axis=1), loop, count) / np.bincount(loop, minlength=count)
        winds = np.abs(summed(turn, loop, count)) > np.pi
        lengths, sweeps = summed(edge.length_mm, loop, count), summed(swept, loop, count)
        return cls(loop, turn, height, middle, patch, radius, lengths, sweeps, winds)

    def ends_mm(self, plain: Truths, patches: int) -> Floats:
        """Where the lowest and the highest loop that winds lie on each patch (patches, 2), NaN where none does.

        Each is the mean over the turn of the half-edges that are plain (b,): a keyway's dip is not part of the rim.
        A rim that lies in no plane has no such height: half of a wall may stand in a rib.
        """
        count = len(self.patch)
        kept = np.where(plain, self.turn_rad, 0.0)
        kept = np.where((np.abs(summed(kept, self.loop, count)) > 1.0)[self.loop], kept, self.turn_rad)
        turned = np.where(self.winds, summed(kept, self.loop, count), 1.0)
        mean = summed(kept * self.height_mm, self.loop, count) / turned
        found = np.full((patches, 2), np.nan)
        winding = np.nonzero(self.winds & ~self._jagged(kept != 0.0))[0]
        np.fmin.at(found[:, 0], self.patch[winding], mean[winding])
        np.fmax.at(found[:, 1], self.patch[winding], mean[winding])
        return found

    def _jagged(self, kept: Truths) -> Truths:
        """Which loops (l,) lie in no plane, as far as their kept half-edges (b,) tell."""
        count = len(self.patch)
        low, high = np.full(count, np.inf), np.full(count, -np.inf)
        rows = np.nonzero(kept)[0]
        np.minimum.at(low, self.loop[rows], self.height_mm[rows])
        np.maximum.at(high, self.loop[rows], self.height_mm[rows])
        found = np.zeros(count, bool)
        for one in np.nonzero(self.winds & (high - low > JAGGED * self.radius_mm))[0]:
            own = rows[self.loop[rows] == one]
            found[one] = is_jagged(self.middle[own], self.height_mm[own], float(self.radius_mm[one]))
        return found


def is_jagged(middle: Floats, height_mm: Floats, radius_mm: float) -> bool:
    """Whether edges with these middles across an axis (e, 2 or 3) and heights along it (e,) lie far off any plane."""
    ones = np.column_stack([middle, np.ones(len(middle))])
    plane = np.linalg.lstsq(ones, height_mm, rcond=None)[0]
    return bool(np.abs(ones @ plane - height_mm).max() > JAGGED * radius_mm)


def about(ends: Floats, axis: Floats) -> tuple[Floats, Floats, Floats]:
    """How far half-edges (b, 2, 3) turn about axes (b, 3) through the origin [rad], how high they lie along them [mm],
    and twice the area that they sweep across them [mm2]."""
    along = np.einsum("bik,bk->bi", ends, axis)
    off = ends - along[:, :, None] * axis[:, None]
    swept = np.einsum("bk,bk->b", cross(off[:, 0], off[:, 1]), axis)
    turn = np.arctan2(swept, np.einsum("bk,bk->b", off[:, 0], off[:, 1]))
    return turn, along.mean(axis=1), swept
