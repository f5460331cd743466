"""Trapped air pressed together by the depth of liquid over it."""

from dataclasses import dataclass, replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.sources import Constant, Kind, Source
from areacalc.surface.air.level_clip import above
from areacalc.surface.air.trapped_air import Pocket, Trapped

STANDARD_GRAVITY = Constant(9.80665, "m/s2", Source(Kind.PUBLISHED, "ISO 80000-3: standard acceleration of free fall"))
STANDARD_PRESSURE = Constant(101325.0, "Pa", Source(Kind.PUBLISHED, "ISO 80000-4: standard atmospheric pressure"))


@dataclass(frozen=True, slots=True)
class Under:
    """How deep the highest point of the part hangs under the surface [mm], in what liquid, under what air."""

    depth_mm: float
    density_kg_per_m3: float = 1000.0
    pressure_pa: float = STANDARD_PRESSURE.value


def compressed(air: Trapped, under: Under) -> Trapped:
    """The same pockets once the part is down: the liquid has risen in each until its air bears the depth.

    Derived: Boyle's law at constant temperature, p V unchanged; outside, the pressure grows by density times gravity
    times depth. The level in a pocket is taken to rise evenly in all of it.
    """
    if not air.pockets:
        return air
    skin = air.skin
    surface = float((skin.points[np.unique(skin.corners)] @ air.up).max()) + under.depth_mm
    dry = air.dry_mm2.copy()
    pockets = []
    for number, pocket in enumerate(air.pockets):
        rows = np.nonzero(air.pocket_of == number)[0]
        risen, area = _risen(air, pocket, rows, surface, under)
        dry[rows] = area
        own = skin.parent[rows] >= 0
        pockets.append(replace(risen, area_mm2=float(area[own].sum())))
    return replace(air, pockets=tuple(pockets), dry_mm2=dry)


def _risen(air: Trapped, pocket: Pocket, rows: Ints, surface_mm: float, under: Under) -> tuple[Pocket, Floats]:
    """The pocket with its level risen, and the area of each of its triangles that is still dry."""
    from scipy.optimize import brentq

    skin = air.skin
    cross = skin.cross_mm2[rows]
    height = skin.points[skin.corners[rows]] @ air.up
    whole = skin.area_mm2[rows]
    # what lies below the level and is reached through its air alone keeps its own
    below = (air.dry_mm2[rows] >= whole * (1.0 - 1e-12)) & (height.min(axis=1) < pocket.level_mm)
    kept = pocket.volume_mm3 - _volume(height[~below], cross[~below] @ air.up, pocket.level_mm)

    def excess(level_mm: float) -> float:
        head_pa = under.density_kg_per_m3 * STANDARD_GRAVITY.value * max(0.0, surface_mm - level_mm) * 1e-3
        volume = kept + _volume(height[~below], cross[~below] @ air.up, level_mm)
        return volume * (under.pressure_pa + head_pa) - pocket.volume_mm3 * under.pressure_pa

    top = pocket.level_mm + pocket.depth_mm
    level = float(brentq(excess, pocket.level_mm, top, xtol=1e-12)) if excess(top) < 0.0 else top
    share, _ = above(height - level, skin.rounding_mm)
    area = np.where(below, whole, share * whole)
    volume = kept + _volume(height[~below], cross[~below] @ air.up, level)
    return replace(pocket, level_mm=level, depth_mm=top - level, volume_mm3=volume), area


def _volume(height: Floats, seen_from_above_mm2: Floats, level_mm: float) -> float:
    _, mean = above(height - level_mm)
    return -float(mean @ seen_from_above_mm2)
