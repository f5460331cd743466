"""Air trapped as a part goes down, liquid carried as it comes up: pockets of the skin itself, with no grid.

A point stays dry if and only if every path through the liquid from it to open air dips below it. From the highest
point down, the skin's points are joined along its edges, and a peak of the metal to whatever stands over it; the
height at which what is joined meets open air is the level of a pocket. Derived: superlevel sets of the height on the
space around the part gain a piece only at a local maximum and join only at a saddle, both on the skin.

What lies below a pocket and hangs together with the liquid through its air alone stays dry with it. A vent that first
runs down and then up is taken as shut; vent.leaky tells which pockets might lose air by one.
"""

from dataclasses import dataclass

import numpy as np

from areacalc.errors import BadInput, Field
from areacalc.shape.body import Body, summed
from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.air.bath_skin import BathSkin, bath_skin
from areacalc.surface.air.level_clip import above
from areacalc.surface.air.narrow import Ways
from areacalc.surface.air.pocket_labels import Labels, labels
from areacalc.surface.skin import Vector, vector

LEAST_VOLUME_MM3 = 1e-3  # a bubble 0.12 mm across
LEAST_DEPTH_MM = 0.02


@dataclass(frozen=True, slots=True)
class Pocket:
    """Air (or liquid, where gravity is turned over) that cannot get out.

    level_mm: the height of its surface along `up`, from the origin of the part's axes; depth_mm: from there to its end.
    escapes_at: the point of the skin where it would get out, on the brim; gate is its row in the skin's points. top:
    the highest point of the pocket. doubt_mm3 and doubt_mm2: how far volume and area may be off where facets stand for
    a curved surface.
    """

    area_mm2: float
    volume_mm3: float
    level_mm: float
    depth_mm: float
    escapes_at: Vector
    middle: Vector
    top: Vector
    gate: int
    doubt_mm3: float = 0.0
    doubt_mm2: float = 0.0


@dataclass(frozen=True, eq=False)
class Trapped:
    """What one direction traps. up (3,) unit; pockets, the largest volume first; the skin it was found on.

    pocket_of (k,): for every triangle of skin.corners the row of `pockets` that touches it, -1 for none.
    dry_mm2 (k,): its area in that pocket. small_mm2: the area of pockets too small to count, left out.
    """

    up: Floats
    skin: BathSkin
    pockets: tuple[Pocket, ...]
    pocket_of: Ints
    dry_mm2: Floats
    small_mm2: float = 0.0

    @property
    def area_mm2(self) -> float:
        """The skin that all pockets touch, lids left out."""
        return float(self.dry_mm2[self.skin.parent >= 0].sum())

    @property
    def volume_mm3(self) -> float:
        return float(sum(pocket.volume_mm3 for pocket in self.pockets))

    @property
    def doubt_mm3(self) -> float:
        return float(sum(pocket.doubt_mm3 for pocket in self.pockets))

    @property
    def doubt_mm2(self) -> float:
        return float(sum(pocket.doubt_mm2 for pocket in self.pockets))


def trapped_air(
    part: Body | BathSkin, up: Vector | Floats, least_volume_mm3: float = LEAST_VOLUME_MM3,
    least_depth_mm: float = LEAST_DEPTH_MM, wide: Ways | None = None,
) -> Trapped:  # fmt: skip
    """The air that stays in a part under liquid, with `up` (in the part's own axes) pointing up.

    `wide`: the ways that air can pass (narrow.wide_ways), all of them for None. Pockets under the least volume or
    depth are left out and their area told in small_mm2. An open skin traps nothing, and its notes say why. Raises
    BadInput for a direction without length.
    """
    skin = part if isinstance(part, BathSkin) else bath_skin(part)
    direction = unit(up)
    height = skin.points @ direction
    found = None if skin.open else labels(skin, direction, height, wide)
    if found is None or not (found.of >= 0).any():
        return Trapped(direction, skin, (), np.full(len(skin.corners), -1, np.int32), np.zeros(len(skin.corners)))
    return _measured(skin, direction, height, found, least_volume_mm3, least_depth_mm)


def carried_liquid(part: Body | BathSkin, up: Vector | Floats, wide: Ways | None = None) -> Trapped:
    """The liquid that stays in a part lifted out, `up` pointing up: air trapped with gravity turned over.

    The levels of the pockets are heights along -up.
    """
    return trapped_air(part, -unit(up), wide=wide)


def unit(up: Vector | Floats) -> Floats:
    """The direction with length 1. Raises BadInput where it has none."""
    direction = np.asarray(up, float)
    length = float(np.linalg.norm(direction))
    if direction.shape != (3,) or not np.isfinite(length) or length == 0.0:
        raise BadInput(Field.UP, f"{tuple(direction.tolist())} is not a direction", "give three numbers such as 0,0,1")
    return direction / length


def _measured(
    skin: BathSkin, up: Floats, height: Floats, found: Labels, least_volume: float, least_depth: float
) -> Trapped:
    one, two, three = (found.of[skin.corners[:, j]] for j in range(3))
    corner_label = np.maximum(np.maximum(one, two), three)
    rows = np.nonzero(corner_label >= 0)[0]
    named = np.zeros(len(height), bool)
    named[found.of[found.of >= 0]] = True
    names = np.nonzero(named)[0]
    number = np.cumsum(named) - 1
    pocket = number[corner_label[rows]]
    level = height[found.gate[names]]
    over = height[skin.corners[rows]] - level[pocket][:, None]
    share, mean = above(over, skin.rounding_mm)
    if found.lost.any():
        lost = found.lost[skin.corners[rows]].any(axis=1)
        share[lost], mean[lost] = 1.0, over[lost].mean(axis=1)
    cross = skin.cross_mm2[rows]
    whole = skin.area_mm2[rows]
    area = share * whole
    count = len(names)
    own = skin.parent[rows] >= 0
    beyond = skin.beyond
    areas = summed((area * beyond.swell[rows])[own], pocket[own], count)
    volumes = summed(-mean * (cross @ up) - area * beyond.lift_mm[rows], pocket, count)
    depth, top = _deepest(height, found.of, number, level)
    real = (depth >= skin.rounding_mm) & (volumes > 0.0)
    kept = real & (volumes >= least_volume) & (depth >= least_depth)
    order = np.nonzero(kept)[0][np.argsort(-volumes[kept], kind="stable")]
    new = np.full(count, -1, np.int32)
    new[order] = np.arange(len(order), dtype=np.int32)
    told = new[pocket]
    mine = told >= 0
    doubt_mm3, doubt_mm2 = _doubts(
        skin, up, found.gate[names[order]], rows[mine], told[mine], share[mine], whole[mine], over[mine]
    )
    pocket_of = np.full(len(skin.corners), -1, np.int32)
    pocket_of[rows] = told
    dry = np.zeros(len(skin.corners))
    dry[rows] = np.where(mine, area, 0.0)
    weight = np.maximum(summed(area, pocket, count), 1e-300)
    centre = skin.points[skin.corners[rows]].mean(axis=1)
    middle = summed(area[:, None] * centre, pocket, count) / weight[:, None]
    pockets = tuple(
        Pocket(float(areas[i]), float(volumes[i]), float(level[i]), float(depth[i]),
               vector(skin.points[found.gate[names[i]]]), vector(middle[i]),
               vector(skin.points[top[i]]), int(found.gate[names[i]]), float(doubt_mm3[row]), float(doubt_mm2[row]))
        for row, i in enumerate(order)
    )  # fmt: skip
    return Trapped(up, skin, pockets, pocket_of, dry, float(areas[real & ~kept].sum()))


def _doubts(
    skin: BathSkin, up: Floats, gates: Ints, rows: Ints, pocket: Ints, share: Floats, whole: Floats, over: Floats
) -> tuple[Floats, Floats]:
    """How far the volume [mm3] and the area [mm2] of each pocket may be off: by its walls, and by its brim.

    rows: the triangles that touch a pocket, whole their areas [mm2], share what of each is above its level.
    """
    beyond, count = skin.beyond, len(gates)
    brim = np.array([_off_mm(skin, up, gate) for gate in gates.tolist()])
    plane = np.abs(summed(share * (skin.cross_mm2[rows] @ up), pocket, count))
    volume = summed(share * whole * beyond.doubt_mm[rows], pocket, count) + plane * brim
    met = np.abs(over).min(axis=1) < brim[pocket]
    met |= (over.min(axis=1) < 0.0) & (over.max(axis=1) > 0.0)
    moved = np.minimum(brim[pocket] / np.maximum(np.ptp(over, axis=1), 1e-300), 1.0)
    walls = whole * (np.where(met, moved, 0.0) + share * beyond.swell_doubt[rows])
    return volume, summed(walls, pocket, count)


def _off_mm(skin: BathSkin, up: Floats, gate: int) -> float:
    """How far the true brim may pass over or under a point of it [mm]: where both surfaces at its edges have it."""
    corners, side_mm = skin.corners, skin.beyond.side_mm
    start, spokes = skin.spokes
    beside = spokes[start[gate] : start[gate + 1]] // 3
    if not side_mm[beside].any():
        return 0.0
    normal = skin.cross_mm2[beside] / np.maximum(np.linalg.norm(skin.cross_mm2[beside], axis=1), 1e-300)[:, None]
    ends = {int(corners[t, (j + 1) % 3]): (row, side_mm[t, j]) for row, t in enumerate(beside.tolist())
            for j in range(3) if corners[t, j] == gate}  # fmt: skip
    most = 0.0
    for row, t in enumerate(beside.tolist()):
        for j in range(3):
            other = ends.get(int(corners[t, j]))
            if corners[t, (j + 1) % 3] == gate and other is not None:
                both = np.stack([normal[row], normal[other[0]]])
                moved = np.linalg.lstsq(both, np.array([side_mm[t, j], other[1]]), rcond=1e-3)[0]
                bow = abs(float(moved @ up))  # of the side's middle, which lies off the brim's point by
                below = 0.5 * abs(float((skin.points[corners[t, j]] - skin.points[gate]) @ up))
                if below < 2.0 * bow:  # the top of the parabola through both ends
                    most = max(most, (2.0 * bow - below) ** 2 / (4.0 * bow))
    return most if most > skin.rounding_mm else 0.0


def _deepest(height: Floats, label: Ints, number: Ints, level: Floats) -> tuple[Floats, Ints]:
    """How far each named pocket reaches over its level, and the point where it does."""
    rows = np.nonzero(label >= 0)[0]
    which = number[label[rows]]
    high = np.full(len(level), -np.inf)
    np.maximum.at(high, which, height[rows])
    top = np.zeros(len(level), np.int64)
    at = np.nonzero(height[rows] == high[which])[0]
    top[which[at]] = rows[at]
    return high - level, top
