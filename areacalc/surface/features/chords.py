"""Flats that hold a facet of an arc, or are one: where one arc runs on into another, the last facet of each may lie in
one plane, and reads as a flat; so do the facets of a rounding drawn in two."""

import math

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, SurfaceKind
from areacalc.surface.features.patches import PatchCut

LIKE = (0.75, 1.25)
"""Of the turn from facet to facet of a cylinder: a flat that runs on from it bends half as much, one that begins with a
facet of it as much, a meant edge more."""
LEAST_RAD, WIDEST_RAD, STEP_RAD = 0.1, math.radians(50.0), 0.02
"""How far the two facets of a rounding bend into each other, at least and at most, and how exactly half as far into the
faces beside them."""
ALIKE = 0.02  # share by which their areas may differ


def hidden_chords(cut: PatchCut, turn: Floats) -> tuple[Floats, Floats]:
    """How much less and how much more the area of flats and of their ends may be, (p,) each [mm2], where they hold a
    facet of the cylinder beside them; turn (p,) is how far its facets turn [rad].

    The arc is longer than its chord, and the segment between them belongs to the faces at its ends: to them where the
    cylinder bulges, and not where it is hollow.
    """
    edge, flat, round_ = cut.edge, cut.are(SurfaceKind.PLANE), cut.are(SurfaceKind.CYLINDER)
    other, bend = edge.beside, edge.bend
    share = np.divide(np.abs(bend), turn[other], out=np.zeros(len(bend)), where=turn[other] > 0.0)
    rows = edge.inner & flat[edge.patch] & round_[other] & (share >= LIKE[0]) & (share <= LIKE[1])
    own, other, bend = edge.patch[rows], other[rows], bend[rows]
    radius, angle = np.array([s.radius_mm for s in cut.surfaces])[other], turn[other]
    longer = edge.length_mm[rows] * radius * (angle - 2.0 * np.sin(0.5 * angle))
    segments = radius**2 * (angle - np.sin(angle))  # at both ends
    less, more = np.where(bend < 0.0, segments, 0.0), longer + np.where(bend > 0.0, segments, 0.0)
    return summed(less, own, len(flat)), summed(more, own, len(flat))


def two_chords(cut: PatchCut) -> tuple[Floats, Floats]:
    """How much less and how much more the area of flats and of their ends may be, (p,) each [mm2], where two of one
    size are a rounding drawn in two facets: they bend into each other twice as far as into the faces beside them."""
    edge, plane, facet, count = cut.edge, cut.are(SurfaceKind.PLANE), cut.facet_mm2, len(cut.surfaces)
    less, more = np.zeros(count), np.zeros(count)
    bend = edge.bend
    rows = np.nonzero(edge.inner & plane[edge.patch] & plane[edge.beside])[0]
    rows = rows[(np.abs(bend[rows]) > LEAST_RAD) & (np.abs(bend[rows]) < WIDEST_RAD)]
    own, other, bend = edge.patch[rows].astype(np.int64), edge.other[rows], bend[rows]
    step = own * 1000 + np.round(bend / STEP_RAD).astype(np.int64)
    half = own * 1000 + np.round(0.5 * bend / STEP_RAD).astype(np.int64)
    sided = np.isin(half, step) | np.isin(half - 1, step) | np.isin(half + 1, step)
    alike = np.abs(facet[own] - facet[other]) <= ALIKE * facet[own]
    both = np.unique(np.stack([own, other], axis=1)[sided & alike], axis=0)
    mutual = both[np.isin(both[:, 0] * count + both[:, 1], both[:, 1] * count + both[:, 0])]
    for p, q in mutual.tolist():
        mine = (own == p) & (other == q)
        turn = float(bend[mine].mean())
        size, long = abs(turn), float(edge.length_mm[rows[mine]].sum())
        radius = 0.5 * facet[p] / long / math.sin(0.5 * size)
        more[p] += facet[p] * (0.5 * size / math.sin(0.5 * size) - 1.0)
        (more if turn > 0.0 else less)[p] += radius**2 * (size - math.sin(size))  # at both ends
    return less, more
