"""Which patches each bore's own axis explains: its walls, and what lies within their reach.

A bore begins with inward walls about one axis, and holds what goes on about that axis facing it (chamfers, undercuts,
a rounded floor) and what lies inside its walls (shoulders, a flat floor, the flat of a D-hole). What reaches further
out than the walls belongs to others: cross-bores and keyways by their own mouths, the face round the mouth.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from areacalc.shape.kinds import Floats, Ints, SurfaceKind, Truths
from areacalc.shape.mesh.topology import connected
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.features.axes import AXIAL, coaxial
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import BORE_COVER, Walls, held, in_pairs

SLACK = 1e-3  # of its radius: how far out of a wall what lies inside it may reach
BESIDE = 0.5
"""Of the narrowest wall's radius: what lies no farther from the end of a wall is beside it still, as levels of a
shoulder are."""
ALONG = 0.99  # cosine of the angle to the axis up to which a flat stands square to it
MOST = 0.85
"""Of a flat across the axis: this much of it inside the walls makes it theirs, though keyways lead out of it."""
THREAD, SHALLOWEST, UNRELATED = 1.5, 0.02, 0.6
"""How many times as far out or in as its bore's wall a thread's flank goes; what share of that it rises by; how far its
radius may follow its height, in correlation: that of a rounding follows it wholly."""
STEEP_RAD = math.radians(20.0)
"""Half the angle up to which a cone is a tapered bore by itself, and no countersink."""


_SPREAD = np.array([
    ((i + 1 / 3) / 8, (j + 1 / 3) / 8, (22 / 3 - i - j) / 8) for i in range(8) for j in range(8 - i)
])  # fmt: skip
"""Points spread over a triangle, as shares of its corners."""


@dataclass(frozen=True, eq=False)
class Reach:
    """How far patches lie from an axis and where along it, each worked out once.

    near[first[p] : first[p + 1]] are the patches beside p; beyond (n,) says that one lies in a hole of p.
    """

    cut: PatchCut
    first: Ints
    near: Ints
    beyond: Truths
    _sizes: dict[int, float] = field(default_factory=dict)
    _rooms: dict[tuple[int, ...], _Room] = field(default_factory=dict)

    @classmethod
    def of(cls, cut: PatchCut, host: Truths) -> Reach:
        """The patches beside each patch; host (b,): the half-edge lies in a loop that is a hole in its own patch."""
        count, edge = len(cut.surfaces), cut.edge
        inside = np.nonzero(edge.inner)[0]
        pairs, which = edge.pairs(inside)
        beyond = np.zeros(len(pairs), bool)
        beyond[which[host[inside]]] = True
        _, first = by_label(np.ascontiguousarray(pairs[:, 0]), count)
        return cls(cut, first, pairs[:, 1], beyond)

    def beside(self, p: int) -> list[tuple[int, bool]]:
        """The patches beside p, and whether they lie in a hole of it."""
        own = slice(self.first[p], self.first[p + 1])
        return list(zip(self.near[own].tolist(), self.beyond[own].tolist(), strict=True))

    def size(self, p: int) -> float:
        """The diagonal of the box about a patch [mm]."""
        if p not in self._sizes:
            corners = self.cut.corners(p)
            self._sizes[p] = float(np.linalg.norm(corners.max(axis=(0, 1)) - corners.min(axis=(0, 1))))
        return self._sizes[p]

    def facing(self, p: int, axis: int) -> float:
        """How far a patch faces along the axis of another, from -1 to 1."""
        rows = self.cut.rows(p)
        area = self.cut.mesh.area[rows]
        way = self.cut.mesh.normal[rows].T @ area / max(float(area.sum()), 1e-300)
        return float(way @ np.array(self.cut.surfaces[axis].direction))

    def room(self, walls: Sequence[int], axis: int) -> _Room:
        """What lies inside walls about an axis."""
        key = (axis, *walls)
        if key not in self._rooms:
            self._rooms[key] = _Room.of(self, walls, axis)
        return self._rooms[key]

    def along(self, p: int, axis: int) -> tuple[Floats, Floats]:
        """How far out the corners of a patch lie from the axis of another, and where along it [mm]."""
        surface = self.cut.surfaces[axis]
        w = self.cut.corners(p).reshape(-1, 3) - np.array(surface.point)
        z = w @ np.array(surface.direction)
        return np.sqrt(np.maximum(np.einsum("ij,ij->i", w, w) - z * z, 0.0)), z


def share_within(cut: PatchCut, p: int, axis: int, radius_mm: float) -> float:
    """The share of a patch's area that lies within a radius of the axis of another."""
    area, surface = cut.mesh.area[cut.rows(p)], cut.surfaces[axis]
    w = np.einsum("sj,tjk->tsk", _SPREAD, cut.corners(p)) - np.array(surface.point)
    z = w @ np.array(surface.direction)
    near = np.einsum("tsk,tsk->ts", w, w) - z * z <= radius_mm**2
    return float(near.mean(axis=1) @ area / max(float(area.sum()), 1e-300))


def bored(cut: PatchCut, wall: Walls, host: Truths) -> Ints:
    """The bore that each patch belongs to (p,), numbered from 0; -1 for what no bore explains."""
    count = len(cut.surfaces)
    core_of, axes, straight = _cores(cut, wall)
    if not straight[axes].any():
        return np.full(count, -1, np.int32)
    reach = Reach.of(cut, host)
    _let_go(reach, core_of, axes, wall)
    kept = [core for core in range(len(axes)) if core_of[axes[core]] == core]
    bore_of = core_of.copy()
    links = []
    for core in sorted(kept, key=lambda c: -reach.size(axes[c])):
        for p, other in _held(reach, core_of, core, axes):
            if other < 0 and bore_of[p] < 0:
                bore_of[p] = core
            elif other >= 0 or coaxial(cut.surfaces[axes[core]], cut.surfaces[axes[int(bore_of[p])]]):
                links.append((core, other if other >= 0 else int(bore_of[p])))
    _, joined = connected(len(axes), *np.array(links, np.int64).reshape(-1, 2).T)
    sound = np.unique(joined[[core for core in kept if straight[axes[core]]]])
    bore_of = np.where((bore_of >= 0) & np.isin(joined[bore_of], sound), joined[bore_of], -1).astype(np.int32)
    for bore in sound.tolist():
        _fill(reach, bore_of, bore, np.nonzero((core_of >= 0) & (joined[core_of] == bore))[0].tolist())
    return bore_of


def _let_go(reach: Reach, core_of: Ints, axes: list[int], wall: Walls) -> None:
    """Take the floors of keyways and splines, arcs about a bore's own axis beside its narrower arcs, for no bore."""
    count = np.bincount(wall.wall_of)
    arcs = [core for core, main in enumerate(axes) if count[wall.wall_of[main]] > 1]
    for wide, narrow in itertools.permutations(arcs, 2):
        one, two = (reach.cut.surfaces[axes[core]] for core in (wide, narrow))
        if one.radius_mm > (1.0 + SLACK) * two.radius_mm and coaxial(one, two):
            (_, z), (_, other) = (reach.along(axes[core], axes[narrow]) for core in (wide, narrow))
            if min(z.max(), other.max()) - max(z.min(), other.min()) > 0.5 * np.ptp(z):
                core_of[core_of == wide] = -1


def _cores(cut: PatchCut, wall: Walls) -> tuple[Ints, list[int], Truths]:
    """The inward patches round one axis that hang together (p,), -1 elsewhere, of each such core its main wall, and
    which patches (p,) make a bore: not a countersink alone."""
    edge, count = cut.edge, len(cut.surfaces)
    turned, straight = cut.are(*AXIAL, SurfaceKind.SPHERE), cut.are(SurfaceKind.CYLINDER)
    sloped = np.array([s.kind is SurfaceKind.CONE and s.half_angle_rad <= STEEP_RAD for s in cut.surfaces], bool)
    round_ = wall.inward & (wall.cover > BORE_COVER) & turned
    some = np.nonzero((edge.patch < edge.other) & round_[edge.patch] & round_[edge.beside])[0]
    pairs, _ = edge.pairs(some)
    pairs = pairs[[coaxial(cut.surfaces[p], cut.surfaces[q]) for p, q in pairs.tolist()]]
    _, label = connected(count, *np.concatenate([pairs.T, in_pairs(wall.wall_of)], axis=1))
    main = np.nonzero(round_)[0]
    main = main[np.lexsort((cut.size[main], straight[main], (straight | sloped)[main]))]
    axes = dict(zip(label[main].tolist(), main.tolist(), strict=True))  # the last of each stays
    number = np.full(count, -1, np.int32)
    number[list(axes)] = np.arange(len(axes))
    return np.where(round_, number[label], -1).astype(np.int32), list(axes.values()), straight | sloped


@dataclass(frozen=True, eq=False)
class _Room:
    """How far out walls reach along their axis: where each begins and ends, and its radius there (w,) [mm]."""

    begin: Floats
    end: Floats
    radius_begin: Floats
    radius_end: Floats
    near: float
    slack: float

    @classmethod
    def of(cls, reach: Reach, walls: Sequence[int], axis: int) -> _Room:
        r, z = zip(*(reach.along(p, axis) for p in walls), strict=True)
        low, high = [x.argmin() for x in z], [x.argmax() for x in z]
        straight = [reach.cut.surfaces[p].kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE) for p in walls]
        most = np.array([x.max() for x in r])
        begin, end = (np.where(straight, [x[j] for x, j in zip(r, at, strict=True)], most) for at in (low, high))
        slack = SLACK * float(most.max()) + 8.0 * reach.cut.mesh.noise_mm
        first, final = (np.array([x[j] for x, j in zip(z, at, strict=True)]) for at in (low, high))
        return cls(first, final, begin, end, BESIDE * float(min(begin.min(), end.min())), slack)

    @cached_property
    def ends(self) -> tuple[float, float]:
        """Where the first wall begins and the last one ends."""
        return float(self.begin.min()), float(self.end.max())

    @cached_property
    def radius(self) -> float:
        return float(max(self.radius_begin.max(), self.radius_end.max()))

    @cached_property
    def size(self) -> float:
        """No patch that is larger than this lies inside: twice its width and length [mm]."""
        first, last = self.ends
        return 2.0 * (2.0 * self.radius + last - first)

    def holds(self, r: Floats, z: Floats) -> bool:
        """Whether corners (n,) lie inside the walls, those of a shoulder's levels within the wider one beside them."""
        share = np.clip((z[:, None] - self.begin) / np.maximum(self.end - self.begin, 1e-300), 0.0, 1.0)
        radius = self.radius_begin + share * (self.radius_end - self.radius_begin)
        away = np.maximum(np.maximum(self.begin - z[:, None], z[:, None] - self.end), 0.0)
        close = away <= np.maximum(self.near, away.min(axis=1)[:, None]) + self.slack
        return bool((r <= np.where(close, radius, 0.0).max(axis=1) + self.slack).all())


def _held(reach: Reach, core_of: Ints, core: int, axes: list[int]) -> list[tuple[int, int]]:
    """What lies inside the walls of a core, as (patch, -1), and the cores about the same axis that it leads to."""
    cut, axis = reach.cut, axes[core]
    walls = np.nonzero(core_of == core)[0].tolist()
    room = reach.room(walls, axis)
    seen = set(walls)
    queue = list(walls)
    found: list[tuple[int, int]] = []
    while queue:
        p = queue.pop()
        for q, beyond in reach.beside(p):
            if q in seen:
                continue
            other = int(core_of[q])
            if other >= 0:
                if core_of[p] != core and coaxial(cut.surfaces[axis], cut.surfaces[axes[other]]):
                    _, z = reach.along(q, axis)
                    begin, end = float(z.min()), float(z.max())
                    shared = min(end, room.ends[1]) - max(begin, room.ends[0])
                    if shared <= 0.5 * (end - begin):  # a sleeve stands in its bore
                        found.append((q, other))
            elif not beyond and _inside(reach, q, axis, room):
                seen.add(q)
                queue.append(q)
                found.append((q, -1))
    return found


def is_flank(cut: PatchCut, p: int, axis: int) -> bool:
    """Whether a patch is the flank of a thread in the wall of another: free-form skin all round its axis that faces it
    and goes on along it without coming nearer."""
    main, rows = cut.surfaces[axis], cut.rows(p)
    if cut.surfaces[p].kind is not SurfaceKind.FREE_FORM:
        return False
    triangles, way = cut.corners(p), np.array(main.direction)
    w = triangles - np.array(main.point)
    z = w @ way
    off = w - z[..., None] * way
    r, least = np.linalg.norm(off, axis=2), main.radius_mm / THREAD
    facing = np.einsum("tk,tk,t->", off.mean(axis=1), cut.mesh.normal[rows], cut.mesh.area[rows])
    if facing >= 0.0 or r.min() < least or r.max() > THREAD * main.radius_mm or np.ptp(r) < SHALLOWEST * r.max():
        return False
    return bool((held(main, triangles) > 0).all() and abs(np.corrcoef(r.ravel(), z.ravel())[0, 1]) < UNRELATED)


def _inside(reach: Reach, q: int, axis: int, room: _Room) -> bool:
    """Whether a patch lies within walls, and is no end face that looks out of the bore; flanks of its thread do."""
    if is_flank(reach.cut, q, axis):
        return True
    if reach.size(q) > room.size:
        return False
    first, last = room.ends
    r, z = reach.along(q, axis)
    facing = reach.facing(q, axis)
    if not room.holds(r, z) and (abs(facing) < ALONG or share_within(reach.cut, q, axis, room.radius) < MOST):
        return False
    begin, end = float(z.min()), float(z.max())
    if end >= last - room.slack and facing > 0.0 and (end > last + room.slack or facing > ALONG):
        return False
    return not (begin <= first + room.slack and facing < 0.0 and (begin < first - room.slack or facing < -ALONG))


def _fill(reach: Reach, bore_of: Ints, bore: int, walls: list[int]) -> None:
    """Give a bore, in place, what else lies inside its walls between its ends, behind whatever loop it lies."""
    axis = max(walls, key=reach.size)
    room = reach.room(walls, axis)
    first, last = room.ends
    own = np.nonzero(bore_of == bore)[0].tolist()
    queue = list(own)
    seen = set(own)
    while queue:
        for q, _ in reach.beside(queue.pop()):
            if q in seen or bore_of[q] >= 0:
                continue
            seen.add(q)
            if reach.size(q) > room.size:
                continue
            r, z = reach.along(q, axis)
            if z.min() > first + room.slack and z.max() < last - room.slack and room.holds(r, z):
                bore_of[q] = bore
                queue.append(q)
