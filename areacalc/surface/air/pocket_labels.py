"""Which pocket every point of a skin belongs to when one direction points up."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.air.cut_off import cut_off
from areacalc.surface.air.narrow import Ways, all_ways
from areacalc.surface.air.rays import first_along
from areacalc.surface.air.sweep_loops import NOTHING, OPEN, peaks, sweep


@dataclass(frozen=True, eq=False)
class Labels:
    """of (p,): the point that names the pocket of each point, -1 for the liquid's, -2 for what is sealed off.

    gate (p,): for a point that names a pocket, where it met open air. lost (p,): dry though not above the level.
    """

    of: Ints
    gate: Ints
    lost: NDArray[np.bool_]


def labels(skin: BathSkin, up: Floats, height_mm: Floats, wide: Ways | None = None) -> Labels:
    """The pockets' points; with `wide`, air passes along those ways alone."""
    shaft = shafts(skin, up, height_mm)
    ways = all_ways(skin)
    of, gate, _ = sweep(ways.corners, height_mm, *ways.spokes, shaft)
    if wide is None:
        of, lost = cut_off(skin, up, height_mm, of, ways)
        return Labels(of, gate, lost)
    narrow, gate, root = sweep(wide.corners, height_mm, *wide.spokes, shaft)
    shut = (narrow == NOTHING) & (of != NOTHING) & (wide.spokes[0][:-1] < wide.spokes[0][1:])
    narrow, lost = cut_off(skin, up, height_mm, narrow, wide)
    narrow[shut] = root[shut]  # rooms whose every way out is bridged: dry whole, down to their lowest point
    lost |= shut
    lowest = np.nonzero(shut)[0][np.argsort(height_mm[shut], kind="stable")][::-1]
    gate[root[lowest]] = lowest
    return Labels(narrow, gate, lost)


def shafts(skin: BathSkin, up: Floats, height_mm: Floats) -> Ints:
    """For each peak of the metal the highest corner of what stands over it, OPEN for nothing; NOTHING for the rest."""
    shaft = np.full(len(height_mm), NOTHING, np.int32)
    top = peaks(skin.corners, skin.points, up, height_mm, *skin.spokes)
    hit = first_along(skin, top, up)
    shaft[top] = OPEN
    held = hit >= 0
    over = np.sort(skin.corners[hit[held]], axis=1)
    shaft[top[held]] = over[np.arange(len(over)), height_mm[over].argmax(axis=1)]
    return shaft
