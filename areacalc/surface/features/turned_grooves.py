"""Grooves turned into the outside: for an O-ring, a retaining ring, the relief beside a shoulder, a belt.

What turns about one axis and hangs together over hollow edges lies between two sharp rims; where it dips between them,
it is a groove.
"""

from collections.abc import Iterator

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.connected import connected
from areacalc.surface.features.axes import AXIAL, coaxial
from areacalc.surface.features.bores import Form
from areacalc.surface.features.open_slots import Slot
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import BORE_COVER, Walls
from areacalc.surface.skin import FeatureKind

LEVEL_RAD, SHARP_RAD = 1e-3, 0.3
"""Edges that bend outward by more are rims, by so much sharp ones: a handle's waist runs out into its bulges."""
SQUARE = 1e-4  # one less the cosine between the axis and what faces along it
SHALLOW = 1e-3  # of its radius: a groove is deeper
HIGHER = 0.5
"""Of its depth: a wall that rises by more above the lower rim is a shoulder of the part."""
WIDEST = 1.0  # of the radius at its rim: what is wider is a neck


def turned_grooves(cut: PatchCut, wall: Walls, outside: Truths) -> Iterator[Slot]:
    """The grooves among the patches of the outside (p,)."""
    edge, count = cut.edge, len(cut.surfaces)
    round_ = cut.are(*AXIAL) & outside & ~wall.inward & (wall.cover > BORE_COVER)
    if not round_.any():
        return
    either = round_ | (cut.are(SurfaceKind.PLANE) & outside)
    once = (edge.patch < edge.other) & either[edge.patch] & either[edge.beside]
    rows = np.nonzero(once)[0]
    own, other = edge.patch[rows], edge.other[rows]
    length = edge.length_mm[rows]
    names, which = np.unique(own.astype(np.int64) * count + other, return_inverse=True)
    bend = summed(edge.bend[rows] * length, which.reshape(-1), len(names))
    long = summed(length, which.reshape(-1), len(names))
    hollow = bend < LEVEL_RAD * long
    pairs = np.stack(np.divmod(names[hollow], count), axis=1)
    pairs = pairs[round_[pairs].any(axis=1)]
    pairs = pairs[[_turns(cut, *pair) for pair in pairs.tolist()]]
    label = connected(count, *pairs.T)[1]
    sides = label[np.stack(np.divmod(names, count), axis=1)]
    soft = sides[(sides[:, 0] != sides[:, 1]) & (bend < SHARP_RAD * long)]
    for group in np.setdiff1d(label[round_], soft):
        patches = np.nonzero(label == group)[0].tolist()
        groove = _groove(cut, patches, next(p for p in patches if round_[p]))
        if groove is not None:
            yield groove


def _turns(cut: PatchCut, one: int, two: int) -> bool:
    """Whether two patches, one of them round, turn about one axis; a flat does that stands square to it."""
    a, b = cut.surfaces[one], cut.surfaces[two]
    if SurfaceKind.PLANE in (a.kind, b.kind):
        return abs(float(np.dot(a.direction, b.direction))) > 1.0 - SQUARE
    return coaxial(a, b)


def _groove(cut: PatchCut, patches: list[int], main: int) -> Slot | None:
    """The groove that patches make about the axis of one of them; None where they do not dip between their ends."""
    point, axis = np.array(cut.surfaces[main].point), np.array(cut.surfaces[main].direction)
    if not all(_turns(cut, main, p) for p in patches if p != main):
        return None  # a face with several bosses on it
    reach = []
    for p in patches:
        off = cut.points(p) - point
        z = off @ axis
        reach.append((np.linalg.norm(off - z[:, None] * axis, axis=1), z))
    floor = min(_lowest(cut.surfaces[p], *each, point, axis) for p, each in zip(patches, reach, strict=True))
    r, z = (np.concatenate(x) for x in zip(*reach, strict=True))
    slack = SHALLOW * floor + 16.0 * cut.mesh.noise_mm
    rim = min(float(r[np.abs(z - at) <= slack].max()) for at in (z.min(), z.max()))
    depth, width = rim - floor, float(np.ptp(z))
    own = tuple(p for p, (radius, _) in zip(patches, reach, strict=True) if radius.max() <= rim + HIGHER * depth)
    if depth <= slack or width > WIDEST * rim or main not in own:
        return None
    halfway = np.pi * (2.0 * floor + depth)
    return own, Form(FeatureKind.GROOVE, depth, 2.0 * floor, width_mm=width, length_mm=halfway)


def _lowest(surface: Surface, r: Floats, z: Floats, point: Floats, axis: Floats) -> float:
    """How near a patch comes to its axis, a hollow one between its corners (r, z from a point of the axis) [mm]."""
    middle = float((np.array(surface.point) - point) @ axis)
    if surface.kind is SurfaceKind.TORUS and z.min() < middle < z.max() and r.min() < surface.radius_mm:
        return surface.radius_mm - surface.minor_radius_mm
    return float(r.min())
