"""The one arrangement of a part: its bodies, the skin of their union, what of them is hidden and what is sealed in."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, extents_mm, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints, Note, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.boxes import overlaps, within
from areacalc.shape.mesh.measure_loops import winding_number
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.shape.mesh.soundness import SEEN_MM2
from areacalc.shape.mesh.topology import connected
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.bodies import Bodies
from areacalc.surface.contact import REACH, Facets, Mates, Seats, mates, moved
from areacalc.surface.exposed import Look, NotSolid, Share, Shown, Solid, shares, unite
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import Arrangement, DryShare, State

_OVERLAP = 1e-10  # of the size: facets that touch are moved into each other by so much; the union works to 1e-12
_REACH_SHARE = 1e-3  # of the size: no gap wider than this is closed
_NEAR = 1e-2  # of the size: bodies farther apart than this do not touch, however coarsely they are drawn
_PROBES = 5
_ROUNDING = 1e-9  # shares that differ by less are equal
_APART = "bodies that could not be united"


def arranged(body: Body, turned: Bodies, look: Look | None = None) -> Arrangement:
    """Arrange a body's shells. One shell alone costs next to nothing; only bodies that come near others are united.

    Without a look every facet is taken as drawn.
    """
    mesh = body.topology
    if len(turned.closed) == 1:
        return Arrangement(mesh.points, turned.corners, mesh.triangle_of)
    work = _Work.of(turned, look, mesh.crowded_edges, _exact_solids(body))
    groups, notes = work.groups()
    joined, apart = [], []
    for group in groups:
        try:
            joined.append(work.joined(group))
        except NotSolid as problem:
            apart.append(group)
            rows = work.rows(group)
            less = max(0.0, float(work.area[rows].sum()) - work.least_mm2(rows))
            told = fact(SurfaceNote.NOT_UNITED, count=len(group), problem=str(problem))
            notes.append(Note(told, True, less, cause=_APART))
    shown = _shown(work, joined)
    hidden, sealed = shares(shown, look, work.area)
    if any(each.seated for each in joined):
        sealed, doubt_mm2 = _seated(work, joined, shown, hidden[0], sealed)
        if doubt_mm2:
            notes.append(Note(fact(SurfaceNote.SHUT_BY_CONTACT, area=quantity(doubt_mm2, "mm2")), warns=True))
    met = [each for each in joined if each.seated or each.touch_mm2 or hidden[0][each.rows].any()]
    if met:
        notes.extend(_told(met, work.area, hidden))
    loose = _loose(turned, [*apart, *(each.bodies for each in met)], hidden[0] + sealed[0])
    if loose > 1:
        notes.append(Note(fact(SurfaceNote.LOOSE_BODIES, count=loose), warns=True))
    count = len(body.triangles)
    dry = tuple(
        DryShare(state, _own(value, mesh.triangle_of, count), _own(low, mesh.triangle_of, count),
                 _own(high, mesh.triangle_of, count))
        for state, (value, low, high) in ((State.HIDDEN, hidden), (State.SEALED, sealed))
        if high.any()
    )  # fmt: skip
    skin = shown.skin
    return Arrangement(
        skin.points, skin.corners, mesh.triangle_of[skin.parent], dry, int((~turned.hollow & turned.closed).sum()),
        sum(len(each.bodies) for each in met), shown.cavities, tuple(notes),
    )  # fmt: skip


def _loose(turned: Bodies, touching: list[list[int]], dry: Floats) -> int:
    """How many bodies hang apart: those of which the bath reaches any (dry (k,) below 1), what touches as one."""
    reached = np.unique(turned.body_of[turned.shell_of[dry < 1.0 - _ROUNDING]])
    first = {each: group[0] for group in touching for each in group}
    return len({first.get(each, each) for each in reached.tolist() if each >= 0})


def _exact_solids(body: Body) -> Ints:
    """The solid that each shell of exact faces is in, -1 for none (n,)."""
    mesh = body.topology
    solid_of = np.full(mesh.shell_count, -1, np.int64)
    if len(body.faces) and len(body.solid_of_triangle):
        solid_of[mesh.shell_of] = body.solid_of_triangle[mesh.triangle_of]
    return solid_of


def _own(share: Floats, triangle_of: Ints, count: int) -> Floats:
    """From the welded triangles to the body's own; those without area have nothing to share."""
    out = np.zeros(count)
    out[triangle_of] = share
    return out


@dataclass(frozen=True, eq=False)
class _Joined:
    """A group of bodies made one: the skin, the moved area of each row of triangles in it, and what is in doubt.

    rows (r,) of the welded triangles; area_mm2 (r,) as moved; doubt_mm2 (r,): what touches by more than rounding;
    slivers_mm2 (s,): what facets moved into each other may hide of each surface. united: the skin, with such seats;
    seated: there are any.
    """

    bodies: list[int]
    skin: Solid
    rows: Ints
    area_mm2: Floats
    doubt_mm2: Floats
    slivers_mm2: Floats
    touch_mm2: float
    united: Callable[[Seats], Solid]
    seated: bool


@dataclass(frozen=True, eq=False)
class _Work:
    """Shells with what their facets lie on.

    sag_mm (k,): how far facets may lie off their surface. shared (p,): points of edges more than two triangles share.
    solid_of (n,): the exact solid that each shell is in, -1 for none.
    """

    turned: Bodies
    area: Floats
    patch_of: Ints
    surfaces: tuple[Surface, ...]
    sag_mm: Floats
    noise_mm: float
    size_mm: float
    shared: Truths
    solid_of: Ints

    @classmethod
    def of(cls, turned: Bodies, look: Look | None, crowded_edges: Ints, solid_of: Ints) -> _Work:
        area = triangle_areas_mm2(turned.points, turned.corners)
        size = max(extents_mm(turned.points))
        shared = np.zeros(len(turned.points), bool)
        shared[crowded_edges] = True
        if look is None:
            flat = Surface(SurfaceKind.PLANE)
            zero = np.zeros(len(area))
            noise = rounding_mm(turned.points)
            return cls(turned, area, zero.astype(np.int32), (flat,), zero, noise, size, shared, solid_of)
        cut = look.cut
        return cls(turned, area, cut.patch_of, look.surfaces, look.sag_mm, look.bent.noise_mm, size, shared, solid_of)

    @property
    def reach_mm(self) -> float:
        return min(REACH.value, _REACH_SHARE * self.size_mm)

    def rows(self, group: list[int]) -> Ints:
        return np.nonzero(np.isin(self.turned.body_of[self.turned.shell_of], group))[0]

    def least_mm2(self, rows: Ints) -> float:
        """The skin that no union of these rows' bodies falls below: that of a ball of the largest one's volume, which
        the skin goes round (isoperimetric inequality)."""
        turned = self.turned
        a, b, c = (turned.points[turned.corners[rows, j]] - turned.points[turned.corners[rows[0], 0]] for j in range(3))
        inside = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0 - self.area[rows] * self.sag_mm[rows]
        largest = float(np.bincount(turned.shell_of[rows], weights=inside).max())
        return math.cbrt(36.0 * math.pi * max(largest, 0.0) ** 2)

    def groups(self) -> tuple[list[list[int]], list[Note]]:
        """The bodies that may meet, together; open ones are not united, which is said where they come near."""
        turned, places = self.turned, self.turned.places
        outer = np.nonzero(~turned.hollow)[0]
        gap = _NEAR * self.size_mm + self.reach_mm
        low, high = places.shell_low[outer], places.shell_high[outer]
        pairs = overlaps(low - gap, high + gap, low, high)
        pairs = outer[pairs[pairs[:, 0] < pairs[:, 1]]]
        if not len(pairs):
            return [], []
        gap = self.reach_mm + 2.0 * float(self.sag_mm.max(initial=0.0))
        near = [places.near(one, two, gap) for one, two in pairs.tolist()]
        meet = pairs[np.array(near, bool)]
        both = turned.closed[meet].all(axis=1)
        one_solid = (self.solid_of[meet[:, 0]] == self.solid_of[meet[:, 1]]) & (self.solid_of[meet[:, 0]] >= 0)
        meet, both = (x[both | ~one_solid] for x in (meet, both))  # a mesh that gapes leaves one solid in pieces
        open_ones = np.unique(meet[~turned.closed[meet]])
        notes = []
        if len(open_ones):
            less = 2.0 * float(self.area[np.isin(turned.shell_of, open_ones)].sum())
            told = fact(SurfaceNote.OPEN_NOT_UNITED, count=len(open_ones), less=quantity(less, "mm2"))
            notes.append(Note(told, True, less, cause=_APART))
        meet = meet[both]
        _, label = connected(len(turned.closed), *meet.T)
        members = np.unique(meet)
        order, first = by_label(label[members], int(label.max(initial=-1)) + 1)
        groups = [members[order[a:b]].tolist() for a, b in itertools.pairwise(first) if b > a]
        return groups, notes

    def joined(self, group: list[int]) -> _Joined:
        """The union of a group, contacts closed. Raises NotSolid."""
        rows = self.rows(group)
        facets, candidates, shared = self._facets(rows)
        met = mates(facets, candidates)
        least = max(_OVERLAP * self.size_mm, 1e-14 * float(np.abs(self.turned.points).max()))

        def united(seats: Seats) -> Solid:
            points = moved(facets, met, least, shared, seats)
            own = [facets.body_of == body for body in group]
            return unite([Solid(points, facets.corners[mine], rows[mine]) for mine in own])

        doubt = met.doubtful_mm2(facets, self.area[rows])
        slivers = self._slivers(rows, met, least)
        touch = 2.0 * float(met.area_mm2[met.touch].sum())
        drawn_mm2 = triangle_areas_mm2(moved(facets, met, least, shared, Seats.AS_DRAWN), facets.corners)
        return _Joined(
            group, united(Seats.AS_DRAWN), rows, drawn_mm2, doubt, slivers, touch, united, bool(met.seat.any())
        )

    def _facets(self, rows: Ints) -> tuple[Facets, Ints, Truths]:
        """The facets of these rows, each body with points of its own, which pairs of them are near, and which points
        lie on edges that bodies share."""
        turned = self.turned
        body_of = turned.body_of[turned.shell_of[rows]]
        key = body_of[:, None].astype(np.int64) * len(turned.points) + turned.corners[rows]
        used, index = np.unique(key, return_inverse=True)
        points, corners = turned.points[used % len(turned.points)], index.reshape(-1, 3).astype(np.int32)
        facets = Facets(points, corners, body_of, self.patch_of[rows], self.surfaces, self.sag_mm[rows], self.noise_mm,
                        self.reach_mm)  # fmt: skip
        reach = (0.5 * self.reach_mm + self.sag_mm[rows])[:, None]
        low, high = turned.places.low[rows] - reach, turned.places.high[rows] + reach
        found = [np.empty((0, 2), np.int64)]
        bodies, body = np.unique(body_of, return_inverse=True)
        order, first = by_label(body.astype(np.int32), len(bodies))
        own = np.split(order, first[1:-1])
        least = np.array([low[each].min(axis=0) for each in own])
        most = np.array([high[each].max(axis=0) for each in own])
        for one, two in (pair for pair in overlaps(least, most, least, most).tolist() if pair[0] < pair[1]):
            a, b = own[one], own[two]
            a = a[((low[a] <= high[b].max(axis=0)) & (high[a] >= low[b].min(axis=0))).all(axis=1)]
            if len(a):
                b = b[((low[b] <= high[a].max(axis=0)) & (high[b] >= low[a].min(axis=0))).all(axis=1)]
                pairs = overlaps(low[a], high[a], low[b], high[b])
                found.append(np.stack([a[pairs[:, 0]], b[pairs[:, 1]]], axis=1))
        return facets, np.concatenate(found), self.shared[used % len(turned.points)]

    def _slivers(self, rows: Ints, met: Mates, least_mm: float) -> Floats:
        """What facets that were moved into their mates may hide of the surfaces beside them (s,) [mm2]."""
        thick = np.zeros(len(self.area))
        for j in range(2):
            np.maximum.at(thick, rows[met.pairs[met.touch, j]], np.ptp(met.between_mm[met.touch], axis=1) + least_mm)
        out = np.zeros(len(self.surfaces))
        turned = self.turned
        for j in range(3):
            mine = rows[thick[rows] > 0.0]
            beside = turned.across[mine, j]
            other = (beside >= 0) & (self.patch_of[beside] != self.patch_of[mine])
            mine, beside = mine[other], beside[other]
            ends = turned.points[turned.corners[mine, (j + 1) % 3]] - turned.points[turned.corners[mine, j]]
            np.add.at(out, self.patch_of[beside], 2.0 * thick[mine] * np.linalg.norm(ends, axis=1))
        return out


def _shown(work: _Work, joined: list[_Joined]) -> Shown:
    """The skin of all, joined or not, and which of it the room outside reaches."""
    turned = work.turned
    area, doubt = work.area.copy(), np.zeros(len(work.area))
    slivers, apart = np.zeros(len(work.surfaces)), np.ones(len(area), bool)
    loose = np.zeros(len(area), bool)
    for each in joined:
        apart[each.rows] = False
        area[each.rows] = each.area_mm2
        doubt[each.rows] = each.doubt_mm2
        slivers += each.slivers_mm2
        loose[each.rows] = bool(each.doubt_mm2.any()) & ~turned.hollow[turned.shell_of[each.rows]]
    rest = np.nonzero(apart)[0]
    skins = [*(each.skin for each in joined), Solid(turned.points, turned.corners[rest], rest)]
    labels = [_pieces(each.skin) for each in joined] + [turned.shell_of[rest]]
    starts = np.cumsum([0, *(len(each.points) for each in skins)])
    skin = Solid(
        np.concatenate([each.points for each in skins]),
        np.concatenate([each.corners + start for each, start in zip(skins, starts, strict=False)]).astype(np.int32),
        np.concatenate([each.parent for each in skins]).astype(np.int32),
    )
    key = np.concatenate([piece.astype(np.int64) + (number << 32) for number, piece in enumerate(labels)])
    _, piece = np.unique(key, return_inverse=True)
    reached, cavities = _reached(skin, piece.astype(np.int32), turned.closed[turned.shell_of[skin.parent]])
    return Shown(skin, ~reached, area, doubt, slivers, loose, ~apart, cavities)


def _seated(work: _Work, joined: list[_Joined], shown: Shown, hidden: Floats, sealed: Share) -> tuple[Share, float]:
    """The shares that are sealed where bodies that meet along a line alone may seal, and what is so in doubt [mm2]."""

    def shut(shown: Shown) -> Floats:
        """The share of what the union shows of each triangle that is shut in."""
        skin, count = shown.skin, len(work.area)
        size = triangle_areas_mm2(skin.points, skin.corners)
        whole, part = (np.bincount(skin.parent, weights=w, minlength=count) for w in (size, size * shown.sealed))
        return np.divide(part, whole, out=np.zeros(count), where=whole > 0)

    def with_seats(seats: Seats) -> Floats:
        again = (replace(each, skin=each.united(seats)) if each.seated else each for each in joined)
        return shut(_shown(work, list(again)))

    as_drawn, closed = shut(shown), with_seats(Seats.CLOSED)
    opened = with_seats(Seats.OPENED) if as_drawn.any() else as_drawn
    value, least, most = (each.copy() for each in sealed)
    more, less = closed > as_drawn + _ROUNDING, opened < as_drawn - _ROUNDING
    value[more] = ((1.0 - hidden) * closed)[more]
    least[less] = np.minimum(least, (1.0 - hidden) * opened)[less]
    crossed = more & (closed < 1.0 - _ROUNDING)
    corners = work.turned.corners
    near = np.isin(corners, corners[crossed]).any(axis=1)  # the line itself is known to so wide a band
    band_mm = 4.0 * (work.reach_mm + float(work.sag_mm[near].max(initial=0.0)))
    ring = work.turned.points[corners[near]]
    long_mm = np.linalg.norm(ring - np.roll(ring, 1, axis=1), axis=2).max(axis=1)
    wider = value.copy()
    wider[near] += band_mm * long_mm / np.maximum(work.area[near], 1e-300)
    most = np.maximum(most, np.minimum(wider, 1.0 - hidden))
    doubt = ((value - least) * work.area)[more | less]
    return (value, least, most), float(doubt.sum())


def _pieces(skin: Solid) -> Ints:
    """The connected piece that each triangle is in."""
    one, two, three = skin.corners.T
    _, label = connected(len(skin.points), np.r_[one, one], np.r_[two, three])
    return np.asarray(label[one])


def _reached(skin: Solid, piece: Ints, closed: Truths) -> tuple[Truths, int]:
    """Which triangles the room outside reaches (k,), and how many cavities it does not.

    What encloses room is the wall of a cavity; what lies in a piece that encloses metal lies in a cavity of it, or in
    the metal.
    """
    count = int(piece.max(initial=-1)) + 1
    order, first = by_label(piece, count)
    triangles = skin.points[skin.corners]
    a, b, c = (triangles[:, j] - skin.points[0] for j in range(3))
    metal = np.bincount(piece, weights=np.einsum("ij,ij->i", a, np.cross(b, c)), minlength=count) > 0
    shut = np.bincount(piece, weights=closed, minlength=count) > 0
    low = np.minimum.reduceat(triangles.min(axis=1)[order], first[:-1])
    high = np.maximum.reduceat(triangles.max(axis=1)[order], first[:-1])
    out = metal | ~shut
    full = np.nonzero(metal & shut)[0]
    for each, holder in full[within(low[full], high[full])].tolist():
        if (low[holder] >= low[each]).any() or (high[holder] <= high[each]).any():
            continue  # what shares a side with another's box does not lie in its cavity
        own, wall = (triangles[order[first[k] : first[k + 1]]] for k in (each, holder))
        probes = own[np.linspace(0, len(own) - 1, min(_PROBES, len(own))).astype(int)].mean(axis=1)
        turns = [winding_number(wall, probe) for probe in probes]
        out[each] &= max(turns, key=lambda turn: abs(turn - 0.5)) < 0.5  # the surest: none lies on the wall
    return out[piece], int((~metal & shut).sum())


def _told(joined: list[_Joined], area: Floats, hidden: Share) -> list[Note]:
    count = sum(len(each.bodies) for each in joined)
    touch = sum(each.touch_mm2 for each in joined)
    inside = max(0.0, float(hidden[0] @ area) - touch)
    told = fact(
        SurfaceNote.UNITED,
        count=count,
        touch=quantity(touch, "mm2"),
        inside=quantity(inside, "mm2") if inside > SEEN_MM2 else None,
    )
    notes = [Note(told)]
    doubt = sum(float(each.doubt_mm2.sum()) for each in joined)
    if doubt:
        near, reach = quantity(doubt, "mm2"), quantity(REACH.value, "mm")
        notes.append(Note(fact(SurfaceNote.GAP_CLOSED, area=near, reach=reach)))
    return notes
