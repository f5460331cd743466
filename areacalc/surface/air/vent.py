"""The hole that would free a pocket of air: where to drill it and through how much metal."""

from dataclasses import dataclass

import numpy as np

from areacalc.surface.air.air_loops import first_hit
from areacalc.surface.air.rays import across, vector
from areacalc.surface.air.trapped_air import Pocket, Trapped
from areacalc.surface.skin import Vector

_FLAT = 1e-6  # of the size: the top of a pocket is all of it within this


@dataclass(frozen=True, slots=True)
class Vent:
    """A hole from the highest place of its pocket straight up to the outside: from, to, and the metal between [mm]."""

    inside: Vector
    outside: Vector
    metal_mm: float
    pocket: Pocket


def vents(air: Trapped) -> tuple[Vent, ...]:
    """One hole for each pocket, in their order; none for a pocket under no metal."""
    holes = (_vent(air, number) for number in range(len(air.pockets)))
    return tuple(hole for hole in holes if hole is not None)


def _vent(air: Trapped, number: int) -> Vent | None:
    skin = air.skin
    rows = np.nonzero((air.pocket_of == number) & (skin.cross_mm2 @ air.up < 0.0))[0]
    if not len(rows):
        return None
    middle = skin.points[skin.corners[rows]].mean(axis=1)
    height = middle @ air.up
    top = np.nonzero(height >= height.max() - _FLAT * skin.size_mm)[0]
    weight = np.linalg.norm(skin.cross_mm2[rows[top]], axis=1)
    centre = weight @ middle[top] / max(float(weight.sum()), 1e-300)
    place = middle[top[np.linalg.norm(middle[top] - centre, axis=1).argmin()]]
    one, two = across(air.up)
    tree = skin.tree
    metal, _ = first_hit(
        skin.points, skin.corners, tree.node_low, tree.node_high, tree.order,
        place + 1e-9 * skin.size_mm * air.up, -1, air.up, one, two, np.inf,
    )  # fmt: skip
    if not np.isfinite(metal):
        return None
    return Vent(vector(place), vector(place + metal * air.up), float(metal), air.pockets[number])
