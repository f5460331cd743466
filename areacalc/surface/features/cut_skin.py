"""A part's skin cut into patches, with all that is known of them, and then into features at the mouths of holes.

A hole's mouth is a closed convex loop inside a patch (a plate's face round a bore), or the convex rim of a wall that
faces its own axis (a tube's inner wall, whatever its end looks like). A boss stands in a concave loop and is not cut.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.surface.features.axes import AXIAL
from areacalc.surface.features.border import Borders, Rims
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import Walls, in_pairs


@dataclass(frozen=True, eq=False)
class Skin:
    """All that is known of the skin's patches.

    host (b,) bool: the half-edges of holes in their own patch; bore_of (p,): the bore of each patch, -1 for none. drawn
    (p,): the surfaces, lands that may be a bore's as flats.
    """

    cut: PatchCut
    rim: Rims
    wall: Walls
    areas: list[Estimate]
    host: Truths
    bore_of: Ints
    drawn: tuple[Surface, ...]

    def with_bores(self, bore_of: Ints) -> Skin:
        """The same with these bores; lands in none of them are flats."""
        both = zip(self.drawn, self.cut.surfaces, (bore_of >= 0).tolist(), strict=True)
        surfaces = tuple(surface if held else drawn for drawn, surface, held in both)
        return replace(self, bore_of=bore_of, cut=self.cut.on(surfaces))

    @cached_property
    def by_bore(self) -> Truths:
        """Which patches (p,) border a bore."""
        found = np.zeros(len(self.bore_of), bool)
        edge = self.cut.edge
        found[edge.patch[edge.inner & (self.bore_of[edge.beside] >= 0)]] = True
        return found


LEVEL_RAD = 1e-5
LEAST_FALL = 0.1
"""Sine of the slope at which a mouth goes down: a countersink falls by over 0.4, a flat or domed end by nothing."""


def holes(cut: PatchCut, rim: Rims) -> Truths:
    """The half-edges (b,) of convex loops inside their own patch, where the skin beyond goes down: mouths of others."""
    edge = cut.edge
    if len(edge.patch) == 0:
        return np.zeros(0, bool)
    whole = np.bincount(rim.loop, weights=edge.length_mm)
    bent_out = np.bincount(rim.loop, weights=edge.length_mm * (edge.bend > LEVEL_RAD))
    host = _inner(cut, rim) & (bent_out > 0.9 * whole)[rim.loop]
    return np.asarray(host & (cut.are(SurfaceKind.PLANE)[edge.patch] | _descends(edge, rim.loop)))


def cut_apart(cut: PatchCut, host: Truths, bore_of: Ints) -> Ints:
    """The skin cut at the mouths of holes and of bores: the piece that each patch is in (p,).

    host (b,): the half-edges of holes; bore_of (p,): the bore that each patch is in, -1 for none.
    """
    count, edge = len(cut.surfaces), cut.edge
    other, name = edge.beside, edge.names  # a border is cut from both sides at once
    bore = bore_of[edge.patch]
    joined = edge.inner & (bore == bore_of[other]) & ((bore >= 0) | ~np.isin(name, name[host]))
    low, high = np.minimum(edge.patch, other)[joined], np.maximum(edge.patch, other)[joined]
    one, two = np.divmod(np.unique(low.astype(np.int64) * count + high), count)
    some = np.nonzero(bore_of >= 0)[0]  # what a bore holds is one piece, whether it touches or not
    same = some[in_pairs(bore_of[some])]
    return connected(count, np.concatenate([one, same[0]]), np.concatenate([two, same[1]]))[1]


def _descends(edge: Borders, loop: Ints) -> Truths:
    """Whether the skin beyond a loop goes down into the part, and does not just close it like the end of a knob."""
    start, end = edge.places.swapaxes(0, 1)
    beyond = edge.mesh.across[edge.triangle, edge.corner]
    swept = 0.5 * cross(start, end)
    count = int(loop.max(initial=-1)) + 1
    outward = -summed(swept, loop, count)  # a hole runs clockwise
    outward /= np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-300)
    inward = cross(edge.mesh.normal[np.maximum(beyond, 0)], start - end)  # square to the edge, into the skin beyond
    fall = -np.einsum("ij,ij->i", inward, outward[loop]) * (beyond >= 0)
    return np.asarray(summed(fall, loop, count) > LEAST_FALL * summed(edge.length_mm, loop, count))[loop]


def _inner(cut: PatchCut, rim: Rims) -> Truths:
    """The half-edges of loops that are holes in their patch rather than its outer bound or one of its two ends."""
    plane, axial = cut.are(SurfaceKind.PLANE)[rim.patch], cut.are(*AXIAL)[rim.patch]
    longest = np.zeros(len(cut.surfaces))
    np.maximum.at(longest, rim.patch, rim.length_mm)
    ring = np.zeros(len(cut.surfaces), bool)
    np.logical_or.at(ring, rim.patch, rim.winds & axial)
    inner = np.where(plane, rim.swept_mm2 < 0, rim.length_mm < longest[rim.patch])
    inner = np.where(axial & ring[rim.patch], ~rim.winds, inner)
    return np.asarray(inner[rim.loop], bool)
