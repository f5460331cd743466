"""Flats that begin or end with a facet of the arc beside them: where one arc runs on into another, the last facet of
each may lie in one plane, and reads as a flat."""

from __future__ import annotations

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, SurfaceKind
from areacalc.surface.features.border import Borders, ends_of
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.patches import PatchCut

LIKE = (0.75, 1.25)
"""Of the turn from facet to facet of a cylinder: a flat that runs on from it bends half as much, one that begins with a
facet of it as much, a meant edge more."""


def hidden_chords(skin: Creases, cut: PatchCut, edge: Borders, turn: Floats) -> tuple[Floats, Floats]:
    """How much less and how much more the area of flats and of their ends may be, (p,) each [mm2], where they hold a
    facet of the cylinder beside them; turn (p,) is how far its facets turn [rad].

    The arc is longer than its chord, and the segment between them belongs to the faces at its ends: to them where the
    cylinder bulges, and not where it is hollow.
    """
    kinds = [s.kind for s in cut.surfaces]
    flat, round_ = (np.array([k is kind for k in kinds], bool) for kind in (SurfaceKind.PLANE, SurfaceKind.CYLINDER))
    other = np.maximum(edge.other, 0)
    bend = skin.angle[edge.triangle, edge.corner]
    share = np.divide(np.abs(bend), turn[other], out=np.zeros(len(bend)), where=turn[other] > 0.0)
    rows = (edge.other >= 0) & flat[edge.patch] & round_[other] & (share >= LIKE[0]) & (share <= LIKE[1])
    own, other, bend = edge.patch[rows], other[rows], bend[rows]
    ends = skin.points[ends_of(skin, edge)[rows]]
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    radius, angle = np.array([s.radius_mm for s in cut.surfaces])[other], turn[other]
    longer = length * radius * (angle - 2.0 * np.sin(0.5 * angle))
    segments = radius**2 * (angle - np.sin(angle))  # at both ends
    count = len(cut.surfaces)
    return summed(np.where(bend < 0.0, segments, 0.0), own, count), summed(
        longer + np.where(bend > 0.0, segments, 0.0), own, count
    )
