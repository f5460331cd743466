"""Ways out of a pocket of air: a hole to drill, and a way that first runs down and then up, as liquid has not yet shut
the low bend.

The liquid rises outside. It stands at a point of the space around the part once it has risen to the lowest of all the
heights that it must climb to get there: its own height, or that of the sill of the hollow it lies in. So a bend whose
sill is higher than the surface in the pocket still holds air, and the air leaves through it. Derived: the same sweep
from the top down, with every point of a hollow ranked by the hollow's sill first and its own height second.
"""

from dataclasses import dataclass, replace

import numpy as np

from areacalc.shape.kinds import Floats, Truths
from areacalc.surface.air.air_loops import first_hit
from areacalc.surface.air.narrow import Ways, all_ways
from areacalc.surface.air.pocket_labels import labels, shafts
from areacalc.surface.air.sweep_loops import OPEN, sweep
from areacalc.surface.air.trapped_air import Pocket, Trapped
from areacalc.surface.features.fit import square_to
from areacalc.surface.skin import Vector, vector

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
    return tuple(filter(None, (_vent(air, number) for number in range(len(air.pockets)))))


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
    one, two = square_to(air.up)
    tree = skin.tree
    metal, _ = first_hit(
        skin.points, skin.corners, tree.node_low, tree.node_high, tree.order,
        place + 1e-9 * skin.size_mm * air.up, -1, air.up, one, two, np.inf,
    )  # fmt: skip
    if not np.isfinite(metal):
        return None
    return Vent(vector(place), vector(place + metal * air.up), float(metal), air.pockets[number])


def leaky(air: Trapped, wide: Ways | None = None) -> Truths:
    """Which pockets lose some of their air by a bend that is still dry when the liquid shuts their mouths."""
    lost = np.zeros(len(air.pockets), bool)
    if not air.pockets:
        return lost
    skin = air.skin
    height = skin.points @ air.up
    freed = _open_points(air, height, wide)
    level = np.array([pocket.level_mm for pocket in air.pockets])
    rows = np.nonzero(air.pocket_of >= 0)[0]
    corners = skin.corners[rows]
    inside = height[corners] > level[air.pocket_of[rows]][:, None] + skin.rounding_mm
    lost[air.pocket_of[rows[(inside & freed[corners]).any(axis=1)]]] = True
    return lost


def _open_points(air: Trapped, height: Floats, wide: Ways | None) -> Truths:
    """The points (p,) whose air leaves before the liquid reaches them."""
    skin = air.skin
    hollow = labels(skin, -air.up, -height, wide)
    reached = height.copy()
    held = hollow.of >= 0
    reached[held] = np.maximum(height[held], height[hollow.gate[hollow.of[held]]])
    order = np.empty(len(height))
    order[np.lexsort((height, reached))] = np.arange(len(height))
    ways = wide if wide is not None else all_ways(skin)
    of, _, _ = sweep(ways.corners, order, *ways.spokes, shafts(skin, air.up, height))
    return np.asarray(of == OPEN)


def without(air: Trapped, gone: Truths) -> Trapped:
    """The same with some pockets empty."""
    number = np.where(gone, -1, np.cumsum(~gone) - 1).astype(np.int32)
    pocket_of = np.r_[number, np.int32(-1)][air.pocket_of]
    kept = tuple(pocket for pocket, out in zip(air.pockets, gone, strict=True) if not out)
    return replace(air, pockets=kept, pocket_of=pocket_of, dry_mm2=np.where(pocket_of >= 0, air.dry_mm2, 0.0))
