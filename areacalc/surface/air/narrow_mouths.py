"""Narrow bores, and chambers behind them: the skin that surface tension may leave bare, however the part hangs.

The walls of bores, passages and pockets under fills.FREE_MM across are the narrow skin. What of the rest hangs
together with the outside without crossing them is open; every other piece is a room, and meets the open skin in mouths.
A tapered wall counts by its wide end. Mouths that run along a room's side, as of a slit bore, let air by.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from weakref import WeakKeyDictionary

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.shape.mesh.topology_loops import join_some, pair_edges
from areacalc.surface.air.bath_skin import BathSkin
from areacalc.surface.air.fills import FREE_MM, STUCK_MM, Fill, blind, vented
from areacalc.surface.skin import Feature, FeatureKind, SurfaceMap

_ROUND = (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.THREAD, SurfaceKind.FREE_FORM)
_FLAT = (FeatureKind.PASSAGE, FeatureKind.POCKET)
_SIDE = 0.75  # of its diameter: a mouth that reaches farther along its own axis runs along the side of its room
_ROUND_SHARE = 0.75
_WIDER = 1.2  # times its widest mouth: skin so far apart makes a chamber
_LEAST_MM2 = 0.01  # smaller rooms are the mesh's


class Facing(StrEnum):
    """Which way a single mouth looks as the part hangs."""

    UP = "mouth up"
    LEVEL = "mouth level"
    DOWN = "mouth down"


class Help(StrEnum):
    """What gets the air out of a narrow bore or a chamber."""

    SYRINGE = "syringe"
    SECOND_HOLE = "second hole"
    TILT = "tilt"
    AGITATE = "move"
    MOUTH_UP = "mouth up"


@dataclass(frozen=True, eq=False)
class NarrowMouth:
    """One mouth of a room: its middle, the way it looks (unit), the width of the narrow skin behind it [mm]."""

    middle: Floats
    out: Floats
    diameter_mm: float


@dataclass(frozen=True, eq=False)
class NarrowRoom:
    """A narrow bore, or a chamber behind narrow bores. rows: its triangles of the skin.

    areas_mm2: what it has of each feature by name, without textures and masks; diameter_mm: of its narrowest wall;
    depth_mm: from a single mouth to the farthest point behind it; chamber: wider inside than its mouths.
    """

    rows: Ints
    areas_mm2: Mapping[str, float]
    mouths: tuple[NarrowMouth, ...]
    diameter_mm: float
    depth_mm: float
    chamber: bool

    @property
    def features(self) -> tuple[str, ...]:
        return tuple(self.areas_mm2)

    @property
    def area_mm2(self) -> float:
        return sum(self.areas_mm2.values())


@dataclass(frozen=True, eq=False)
class FillVerdict:
    """Whether a room fills as the part hangs, and whether its air more likely stays; facing of a single mouth.

    clings: what surface tension alone makes of it, where a mouth that looks down traps the air by its shape.
    """

    room: NarrowRoom
    fill: Fill
    stays: bool
    facing: Facing | None = None
    clings: Fill = Fill.FILLS

    @property
    def helps(self) -> tuple[Help, ...]:
        if self.fill in (Fill.FILLS, Fill.BY_HAND):
            return ()
        if len(self.room.mouths) > 1:
            return Help.TILT, Help.AGITATE
        if self.facing is Facing.DOWN:
            return (Help.MOUTH_UP, Help.SYRINGE) if self.clings is Fill.HOLDS else (Help.MOUTH_UP, Help.SECOND_HOLE)
        if self.fill is Fill.HOLDS:
            return Help.SYRINGE, Help.SECOND_HOLE
        return (Help.AGITATE, Help.SYRINGE) if self.facing is Facing.UP else (Help.TILT, Help.AGITATE, Help.SYRINGE)


_known: WeakKeyDictionary[BathSkin, tuple[NarrowRoom, ...]] = WeakKeyDictionary()


def rooms(skin: BathSkin) -> tuple[NarrowRoom, ...]:
    """The narrow bores and chambers of a skin, in the order of its features; worked out once, however it hangs."""
    if skin not in _known:
        _known[skin] = _rooms(skin)
    return _known[skin]


def _rooms(skin: BathSkin) -> tuple[NarrowRoom, ...]:
    """First those behind bores in which no bubble rises, then the rest."""
    part = skin.part
    across = None if part is None or skin.open else _across_mm(skin, part)
    if part is None or across is None:
        return ()
    neighbour = pair_edges(skin.corners, len(skin.points))[0]
    used = np.zeros(len(skin.corners), bool)
    found: list[NarrowRoom] = []
    for limit_mm in (STUCK_MM, FREE_MM):
        shut = ~_open(skin, neighbour, across < limit_mm)
        label, _ = join_some(neighbour, shut[:, None] & shut[neighbour])
        order = np.nonzero(shut)[0][np.argsort(label[shut], kind="stable")]
        for rows in np.split(order, np.nonzero(np.diff(label[order]))[0] + 1):
            made = _room(skin, part, neighbour, rows, label, used, across) if (~used[rows]).any() else None
            if made is not None:
                found.append(made)
        used |= shut
    place = {feature.name: number for number, feature in enumerate(part.features)}
    return tuple(sorted(found, key=lambda room: place[room.features[0]]))


def verdicts(
    skin: BathSkin, up: Floats, accuracy_deg: float, filled: Iterable[str] = (), line_mm: float | None = None
) -> tuple[FillVerdict, ...]:
    """What becomes of the air in each room as the part hangs; filled: the names of bores that a person fills.

    line_mm: the height of the liquid line along up; rooms with all their mouths above it are left out.
    """
    by_hand, least = set(filled), math.sin(math.radians(max(accuracy_deg, 1.0)))
    return tuple(
        _verdict(room, up, least, by_hand)
        for room in rooms(skin)
        if line_mm is None or any(float(mouth.middle @ up) < line_mm for mouth in room.mouths)
    )


def alike(found: Iterable[FillVerdict]) -> tuple[tuple[FillVerdict, ...], ...]:
    """Verdicts on rooms that a person need not tell apart, together, in the order of their first."""
    groups: dict[tuple[object, ...], list[FillVerdict]] = {}
    for v in found:
        key = v.fill, v.stays, v.facing, round(v.room.diameter_mm, 2), v.room.chamber, len(v.room.mouths)
        groups.setdefault(key, []).append(v)
    return tuple(map(tuple, groups.values()))


def _verdict(room: NarrowRoom, up: Floats, least: float, by_hand: set[str]) -> FillVerdict:
    """least: the sine of the angle that tells a mouth that looks up from one that is level."""
    facing = None
    if len(room.mouths) == 1:
        rise = float(room.mouths[0].out @ up)
        facing = Facing.UP if rise > least else Facing.DOWN if rise < -least else Facing.LEVEL
        fill, stays = blind(room.diameter_mm, room.depth_mm)
    elif room.chamber:
        low, high = (pick(room.mouths, key=lambda each: float(each.middle @ up)) for pick in (min, max))
        apart = high.middle - low.middle
        rise = float(apart @ up)
        beside = math.sqrt(max(0.0, float(apart @ apart) - rise**2))
        fill, stays = vented(low.diameter_mm, rise * math.sqrt(1.0 - least**2) - beside * least)
    else:
        fill, stays = Fill.FILLS, False
    if facing is Facing.DOWN:
        return FillVerdict(room, Fill.HOLDS, stays, facing, fill)
    if by_hand.intersection(room.features):
        fill, stays = Fill.BY_HAND, False
    return FillVerdict(room, fill, stays, facing, fill)


def _across_mm(skin: BathSkin, part: SurfaceMap) -> Floats | None:
    """How far it is across each triangle's bore, passage or pocket, by the wide end of its wall; inf where it is wide.

    None where nothing is narrow.
    """
    patches = np.full(len(part.patches) + 1, np.inf)
    of = np.where(skin.parent >= 0, part.patch_of[skin.parent], -1)
    order = np.argsort(of, kind="stable")
    starts = np.searchsorted(of[order], np.arange(len(part.patches) + 1))
    for k, patch in enumerate(part.patches):
        feature = part.features[patch.feature]
        if feature.kind in _FLAT and feature.length_mm is not None and feature.length_mm < FREE_MM:
            patches[k] = feature.length_mm
        elif feature.kind is not FeatureKind.OUTSIDE and patch.surface.kind in _ROUND:
            patches[k] = _round_mm(skin, order[starts[k] : starts[k + 1]], patch.surface, feature)
    return patches[of] if (patches < FREE_MM).any() else None


def _round_mm(skin: BathSkin, rows: Ints, surface: Surface, feature: Feature) -> float:
    """The diameter of a round wall at its wide end; inf where it goes less than three quarters round, or outward."""
    point, way = np.array(surface.point), np.array(surface.direction)
    if feature.axis is not None and feature.mouths:
        point, way = np.array(feature.mouths[0]), np.array(feature.axis)
    away = skin.points[skin.corners[rows]] - point
    along = away @ way
    away -= along[:, :, None] * way
    widths = np.sqrt((away**2).sum(axis=2))
    if not len(rows) or float((away.mean(axis=1) * skin.cross_mm2[rows]).sum()) >= 0.0:
        return np.inf
    cross = skin.cross_mm2[rows]
    facing = float(np.linalg.norm(cross - np.outer(cross @ way, way), axis=1).sum())
    least = math.pi * (float(widths.max()) + float(widths.min())) * float(np.ptp(along))
    return 2.0 * float(widths.max()) if facing >= _ROUND_SHARE * least else np.inf


def _open(skin: BathSkin, neighbour: Ints, narrow: Truths) -> Truths:
    """Which triangles hang together with the outermost of their shell without crossing narrow skin."""
    shell, shells = join_some(neighbour, neighbour >= 0)
    label, pieces = join_some(neighbour, ~(narrow[:, None] | narrow[neighbour]))
    reach = skin.points[skin.corners][:, :, 0].max(axis=1)
    far = np.full(shells, -np.inf)
    np.maximum.at(far, shell, reach)
    outermost = np.zeros(pieces, bool)
    outermost[label[(reach == far[shell]) & ~narrow]] = True
    return outermost[label] & ~narrow


def _room(
    skin: BathSkin, part: SurfaceMap, neighbour: Ints, rows: Ints, label: Ints, used: Truths, across: Floats
) -> NarrowRoom | None:
    """What is known of a room, less what is used; None where it is open along its side, or is no more than a fleck."""
    rest = rows[~used[rows]]
    own = rest[(skin.parent[rest] >= 0) & (part.patch_of[skin.parent[rest]] >= 0)]
    facets = np.bincount(part.patch_of[skin.parent[own]], np.linalg.norm(skin.cross_mm2[own], axis=1))
    held = [(part.patches[k], float(facets[k])) for k in np.nonzero(facets)[0]]
    areas = dict.fromkeys(sorted({patch.feature for patch, _ in held}), 0.0)
    for patch, mm2 in held:
        areas[patch.feature] += mm2 * patch.area_mm2.value / patch.facet_area_mm2
    edge, side = np.nonzero(label[neighbour[rows]] != label[rows[0]])
    mouths = _mouths(skin, rows, edge, side, across)
    if not mouths or sum(areas.values()) < _LEAST_MM2:
        return None
    named = {part.features[k].name: mm2 for k, mm2 in areas.items()}
    first, walls = mouths[0], skin.points[skin.corners[rest]].reshape(-1, 3) - mouths[0].middle
    deep = -walls @ first.out
    depth = float(deep.max()) if len(mouths) == 1 else 0.0
    widest = max(mouth.diameter_mm for mouth in mouths)
    wider = float(np.linalg.norm(skin.cross_mm2[own[across[own] > _WIDER * widest]], axis=1).sum())
    chamber = wider > 0.5 * math.pi * widest**2  # more than its floor and a shoulder
    return NarrowRoom(own, named, mouths, min(float(across[rest].min()), first.diameter_mm), depth, chamber)


def _mouths(skin: BathSkin, rows: Ints, edge: Ints, side: Ints, across: Floats) -> tuple[NarrowMouth, ...]:
    """The mouths at the edges of a room (row of `rows`, side); none where one of them is no round rim."""
    ends = np.stack([skin.corners[rows[edge], side], skin.corners[rows[edge], (side + 1) % 3]], axis=1)
    points, known = np.unique(ends, return_inverse=True)
    groups, loop = connected(len(points), *known.reshape(ends.shape).T)
    found = []
    for number in range(groups):
        mine = loop[known.reshape(ends.shape)[:, 0]] == number
        rim, width = skin.points[ends[mine]], across[rows[edge[mine]]]
        middle = rim.reshape(-1, 3).mean(axis=0)
        out = 0.5 * np.cross(rim[:, 0] - middle, rim[:, 1] - middle).sum(axis=0)
        size, wide = float(np.linalg.norm(out)), float(width[np.isfinite(width)].max(initial=0.0))
        if not size or float(np.ptp(rim.reshape(-1, 3) @ out)) > _SIDE * wide * size:
            return ()
        found.append(NarrowMouth(middle, out / size, wide))
    return tuple(found)
