"""Which pocket every point of a skin belongs to when one direction points up."""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.air.narrow import Ways, all_ways
from areacalc.surface.air.sweep_loops import NOTHING, OPEN, peaks, sweep


@dataclass(frozen=True, eq=False)
class Labels:
    """of (p,): the point that names the pocket of each point, -1 for the liquid's, -2 for what is sealed off.

    gate (p,): for a point that names a pocket, where it met open air. lost (p,): dry though not above the level.
    """

    of: Ints
    gate: Ints
    lost: Truths


def labels(skin: BathSkin, up: Floats, height_mm: Floats, wide: Ways | None = None) -> Labels:
    """The pockets' points; with `wide`, air passes along those ways alone."""
    shaft = shafts(skin, up, height_mm)
    ways = all_ways(skin)
    of, gate, _ = sweep(ways.corners, height_mm, *ways.spokes, shaft)
    if wide is None:
        of, lost = _cut_off(skin, up, height_mm, of, ways)
        return Labels(of, gate, lost)
    narrow, gate, root = sweep(wide.corners, height_mm, *wide.spokes, shaft)
    shut = (narrow == NOTHING) & (of != NOTHING) & (wide.spokes[0][:-1] < wide.spokes[0][1:])
    narrow, lost = _cut_off(skin, up, height_mm, narrow, wide)
    narrow[shut] = root[shut]  # rooms whose every way out is bridged: dry whole, down to their lowest point
    lost |= shut
    lowest = np.nonzero(shut)[0][np.argsort(height_mm[shut], kind="stable")][::-1]
    gate[root[lowest]] = lowest
    return Labels(narrow, gate, lost)


def shafts(skin: BathSkin, up: Floats, height_mm: Floats) -> Ints:
    """For each peak of the metal the highest corner of what stands over it, OPEN for nothing; NOTHING for the rest."""
    shaft = np.full(len(height_mm), NOTHING, np.int32)
    top = peaks(skin.corners, skin.points, up, height_mm, *skin.spokes)
    hit = skin.first_along(top, up)
    shaft[top] = OPEN
    held = hit >= 0
    over = np.sort(skin.corners[hit[held]], axis=1)
    shaft[top[held]] = over[np.arange(len(over)), height_mm[over].argmax(axis=1)]
    return shaft


def _cut_off(skin: BathSkin, up: Floats, height_mm: Floats, label: Ints, ways: Ways) -> tuple[Ints, Truths]:
    """The labels with every point that no liquid reaches given to the pocket above it, and which those points are (p,).

    What is left of the space around the part once its pockets are taken out hangs together along the skin and, from
    each lowest point of the metal, straight down: no such line enters a pocket, since what stands over air is air.
    """
    none = np.zeros(len(label), bool)
    if not (label >= 0).any():
        return label, none
    one, two = ways.corners.ravel(), ways.corners[:, [1, 2, 0]].ravel()
    both = (label[one] == OPEN) & (label[two] == OPEN)
    groups, piece = connected(len(label), one[both], two[both])
    wet = none.copy()
    wet[skin.corners] = True
    wet &= label == OPEN
    rows = np.nonzero(wet)[0]
    if (piece[rows] == piece[rows[0]]).all():
        return label, none
    rank = np.empty(len(label))
    rank[np.argsort(-height_mm, kind="stable")] = np.arange(len(label))
    main = piece[rows[rank[rows].argmax()]]
    pit = peaks(skin.corners, skin.points, -up, rank, *skin.spokes)
    pit = pit[wet[pit] & (piece[pit] != main)]
    hit = skin.first_along(pit, -up)
    under = skin.corners[hit]
    below = under[np.arange(len(under)), height_mm[under].argmin(axis=1)]
    held = (hit < 0) | (label[below] == OPEN)
    joined = connected(groups, piece[pit[held]], np.where(hit < 0, main, piece[below])[held])[1]
    lost = wet & (joined[piece] != joined[main])
    return (_given(skin, label, piece, lost), lost) if lost.any() else (label, none)


def _given(skin: BathSkin, label: Ints, piece: Ints, lost: Truths) -> Ints:
    """Give each lost piece to a pocket that it shares an edge with; a piece without one (a body afloat) to none."""
    start, end = skin.corners.ravel(), skin.corners[:, [1, 2, 0]].ravel()
    touch = lost[start] & (label[end] >= 0)
    owner = np.full(len(label), NOTHING, np.int32)
    owner[piece[start[touch]]] = label[end[touch]]
    return np.where(lost, owner[piece], label)
