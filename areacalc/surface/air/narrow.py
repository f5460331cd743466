"""Slits and holes too narrow to let air by: a film of liquid bridges them, so the skin inside joins nothing."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.surface.air.air_loops import chords, clearances
from areacalc.surface.air.bath_skin import BathSkin, spokes

LEAST_GAP_MM = 0.2  # chosen: a bubble in so narrow a slit is held by its own surface; both readings are in the bounds
_SAMPLES = np.array([[1.0, 1.0, 1.0], [0.9, 0.05, 0.05], [0.05, 0.9, 0.05], [0.05, 0.05, 0.9]])
_SAMPLES /= _SAMPLES.sum(axis=1, keepdims=True)
_ACROSS = 2.0  # gaps: the rims of one end of a slit lie no farther apart


@dataclass(frozen=True, eq=False)
class Ways:
    """The triangles along which points join: all of a skin, or those that no film bridges, and its films' rims.

    corners (e, 3): triangles, and pairs of points as triangles without area. spokes: their half-edges by point.
    """

    corners: Ints
    spokes: tuple[Ints, Ints]


def all_ways(skin: BathSkin) -> Ways:
    return Ways(skin.corners, skin.spokes)


def wide_ways(skin: BathSkin, gap_mm: float) -> Ways | None:
    """The ways wider than the gap; None where no part of the skin is so near another that a film bridges it."""
    if gap_mm <= 0.0 or skin.open:
        return None
    far, facing = _across(skin, gap_mm)
    shut = far < gap_mm
    if not shut.any():
        return None
    _shut_ends(skin, shut, gap_mm)
    clear = skin.corners[~shut]
    corners = np.concatenate([clear, clear[:, ::-1], _rims(skin, shut, facing, gap_mm)]).astype(np.int32)
    return Ways(corners, spokes(corners, len(skin.points)))


def _across(skin: BathSkin, gap_mm: float) -> tuple[Floats, Ints]:
    """How far the skin across from each triangle is, and what it is; in two threads: the loop lets go the lock."""
    tree, turned = skin.tree, skin.turned
    rows = np.arange(len(skin.corners), dtype=np.int32)

    def part(chosen: Ints) -> tuple[Floats, Ints]:
        return clearances(
            skin.points, skin.corners, tree.node_low, tree.node_high, *turned, tree.order, chosen, _SAMPLES, gap_mm
        )

    with ThreadPoolExecutor(2) as pool:
        parts = list(pool.map(part, np.array_split(rows, 2)))
    return np.concatenate([far for far, _ in parts]), np.concatenate([facing for _, facing in parts])


def _shut_ends(skin: BathSkin, shut: Truths, gap_mm: float) -> None:
    """Shut the short sides of slits as well: from what is shut on, all that is as narrow along its own skin."""
    tree = skin.tree
    tried = shut.copy()
    fresh = shut
    while fresh.any():
        beside = np.zeros(len(skin.points), bool)
        beside[skin.corners[fresh]] = True
        rows = np.nonzero(beside[skin.corners].any(axis=1) & ~tried)[0].astype(np.int32)
        tried[rows] = True
        width = chords(skin.points, skin.corners, tree.node_low, tree.node_high, tree.order, rows, gap_mm)
        fresh = np.zeros(len(shut), bool)
        fresh[rows[width < gap_mm]] = True
        shut |= fresh


def _rims(skin: BathSkin, shut: Truths, facing: Ints, gap_mm: float) -> Ints:
    """Where a film ends, the points on both sides of it hang together."""
    rim = np.zeros(len(skin.points), bool)
    rim[skin.corners[~shut]] = True
    rows = np.nonzero(shut & (facing >= 0))[0]
    if not len(rows):
        return np.empty((0, 3), np.int32)
    mine, theirs = skin.corners[rows], skin.corners[facing[rows]]
    pairs = []
    for j in range(3):
        away = np.linalg.norm(skin.points[theirs] - skin.points[mine[:, j]][:, None], axis=2)
        away[~rim[theirs]] = np.inf
        near = away.argmin(axis=1)
        row = np.arange(len(rows))
        held = rim[mine[:, j]] & (away[row, near] <= _ACROSS * gap_mm)
        one, two = mine[held, j], theirs[row[held], near[held]]
        pairs.append(np.stack([one, two, two], axis=1))
    return np.concatenate(pairs)


def width_at_mm(skin: BathSkin, point: int) -> float | None:
    """The width of the slit or hole at a point of its rim [mm]: the least distance across from the skin around it."""
    start, rows = skin.spokes
    around = (rows[start[point] : start[point + 1]] // 3).astype(np.int32)
    tree = skin.tree
    far: Floats
    far, _ = clearances(
        skin.points, skin.corners, tree.node_low, tree.node_high, *skin.turned, tree.order, around, _SAMPLES[:1],
        2.0 * skin.size_mm,
    )  # fmt: skip
    least = float(far.min(initial=np.inf))
    return least if np.isfinite(least) else None
