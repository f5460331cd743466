"""Several bodies in one file: what of their skin is left outside when they lie inside, in or against one another."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from areacalc.shape.body import Body, extents_mm, summed, triangle_areas_mm2
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.shape.mesh.boxes import overlaps
from areacalc.shape.mesh.boxes_loops import triangle_boxes
from areacalc.shape.mesh.connected import connected
from areacalc.shape.mesh.topology import Topology
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.shape.mesh.winding import winding_number
from areacalc.surface.contact import contact, gap_allowed_mm
from areacalc.surface.features.shells import Shells, shells
from areacalc.surface.united import NotSolid, Part, unite

_WHOLE = 1e-9  # shares this near to all or nothing are rounding
_ROUNDING = 1e-10  # of the size: the union itself works to about 1e-12 of it


class Meets(StrEnum):
    """What is on the other side of a piece of skin."""

    EXPOSED = "exposed"  # the outside
    CONTACT = "contact"  # the face of another body
    OVERLAP = "overlap"  # the inside of another body
    SEALED = "sealed"  # a cavity without a way in


@dataclass(frozen=True, eq=False)
class Exposure:
    """How the area of each of the body's triangles is divided [mm2], (m,) each; the four add up to the facets' areas.

    exposed_mm2: on the outside of the union of all bodies. contact_mm2: against the face of another body. overlap_mm2:
    inside another body, or the same place as another's skin that counts there. sealed_mm2: the wall of a cavity in one
    body, or between several, that has no way in. bodies: how many there are before the union, `united` how many of them
    lie against or in others. void_of (m,): the number of the sealed cavity that a triangle's sealed share borders, -1
    for none.
    """

    exposed_mm2: Floats
    contact_mm2: Floats
    overlap_mm2: Floats
    sealed_mm2: Floats
    void_of: Ints
    bodies: int
    united: int
    notes: tuple[Note, ...] = ()

    @property
    def total_mm2(self) -> float:
        """The exposed area of all."""
        return float(self.exposed_mm2.sum())

    @property
    def hidden_contact_mm2(self) -> float:
        """The area of both faces of all contacts."""
        return float(self.contact_mm2.sum())

    @property
    def voids(self) -> int:
        """The number of sealed cavities."""
        return int(self.void_of.max(initial=-1)) + 1

    def meets(self) -> NDArray[np.str_]:
        """For each triangle what most of it meets, as the value of Meets."""
        shares = np.stack([self.exposed_mm2, self.contact_mm2, self.overlap_mm2, self.sealed_mm2])
        words: NDArray[np.str_] = np.array([each.value for each in Meets])[shares.argmax(axis=0)]
        return words


@dataclass
class _Ledger:
    """The same division while it is worked out, for the welded triangles (k,)."""

    area: Floats
    exposed: Floats
    contact: Floats
    sealed: Floats
    void_of: Ints
    voids: int = 0

    def seal(self, rows: NDArray[np.int64], share: Floats | float = 1.0) -> None:
        self.exposed[rows] = 0.0
        self.sealed[rows] = share * self.area[rows]
        self.void_of[rows] = self.voids
        self.voids += 1


def exposure(body: Body) -> Exposure:
    """What of the body's skin is outside. One body alone costs next to nothing; only bodies that meet are united."""
    mesh = body.topology
    area = triangle_areas_mm2(mesh.points, mesh.corners)
    empty = np.zeros(len(area))
    book = _Ledger(area, area.copy(), empty.copy(), empty.copy(), np.full(len(area), -1, np.int32))
    if mesh.shell_count == 1:
        return _laid_out(body, mesh, book, 1, 0, ())
    turned = shells(mesh)
    places = _places(mesh)
    void = _sealed_shells(mesh, turned, places, book)
    solids = _solids(turned, void)
    groups, notes = _groups(mesh, turned, solids, void, places)
    united = 0
    for group in groups:
        try:
            notes += _unite(mesh, turned, solids, group, book)
            united += len(group)
        except NotSolid as problem:
            text = f"{len(group)} bodies meet but could not be united ({problem}): each is counted whole"
            notes.append(Note("not-united", text, warns=True))
    hidden = float((area - book.exposed - book.contact - book.sealed).clip(min=0.0).sum())
    if united:
        text = (
            f"{united} bodies meet: the skin of their union counts; {book.contact.sum():.6g} mm2 lie face on face and "
        )
        notes.append(Note("united", f"{text}{hidden:.6g} mm2 inside one another"))
    return _laid_out(body, mesh, book, len(np.unique(solids[solids >= 0])), united, tuple(notes))


def _laid_out(body: Body, mesh: Topology, book: _Ledger, bodies: int, united: int, notes: tuple[Note, ...]) -> Exposure:
    """From the welded triangles to the body's own; those without area have nothing to divide."""
    overlap = (book.area - book.exposed - book.contact - book.sealed).clip(min=0.0)

    def own(values: Floats) -> Floats:
        column = np.zeros(len(body.triangles))
        column[mesh.triangle_of] = values
        return column

    void_of = np.full(len(body.triangles), -1, np.int32)
    numbers, number = np.unique(book.void_of, return_inverse=True)
    void_of[mesh.triangle_of] = number - int(numbers[0] == -1) if len(numbers) else book.void_of
    return Exposure(
        own(book.exposed), own(book.contact), own(overlap), own(book.sealed), void_of, bodies, united, notes
    )


@dataclass(frozen=True, eq=False)
class _Places:
    """The triangles' boxes, their rows by shell, and the shells' boxes."""

    low: Floats
    high: Floats
    rows: list[NDArray[np.int64]]
    shell_low: Floats
    shell_high: Floats


def _places(mesh: Topology) -> _Places:
    low, high = triangle_boxes(mesh.points, mesh.corners)
    order, first = by_label(mesh.shell_of, mesh.shell_count)
    starts = first[:-1]
    shell_low = np.minimum.reduceat(low[order], starts)
    shell_high = np.maximum.reduceat(high[order], starts)
    return _Places(low, high, np.split(order, starts[1:]), shell_low, shell_high)


def _sealed_shells(mesh: Topology, turned: Shells, places: _Places, book: _Ledger) -> NDArray[np.bool_]:
    """Seal the shells that lie in another without meeting its skin, and what floats inside such a void; which (s,)."""
    void = np.zeros(mesh.shell_count, bool)
    sign = _file_signs(mesh)
    for shell in np.nonzero(turned.inside >= 0)[0]:
        holder = int(turned.inside[shell])
        mine, theirs = places.rows[shell], places.rows[holder]
        reach = (places.low[theirs] <= places.shell_high[shell]).all(axis=1)
        reach &= (places.high[theirs] >= places.shell_low[shell]).all(axis=1)
        near = theirs[reach]
        meets = overlaps(places.low[mine], places.high[mine], places.low[near], places.high[near])
        # skins that come near: a void's wall faces in where the file turns its holder's out, and a body's does not
        if len(meets) == 0 or sign[shell] != sign[holder]:
            void[shell] = True
            book.seal(mine)
    for shell in np.nonzero((turned.inside < 0) & turned.closed)[0] if void.any() else ():
        around = np.nonzero(void & (places.shell_low < places.shell_low[shell]).all(axis=1)
                            & (places.shell_high > places.shell_high[shell]).all(axis=1))[0]  # fmt: skip
        probe = mesh.points[mesh.corners[places.rows[shell][0]]].mean(axis=0)
        if any(abs(winding_number(mesh.points[mesh.corners[places.rows[v]]], probe)) > 0.5 for v in around):
            void[shell] = True
            book.seal(places.rows[shell])
    return void


def _file_signs(mesh: Topology) -> NDArray[np.bool_]:
    """Whether each shell encloses a positive volume as the file turns its triangles."""
    a, b, c = (mesh.points[mesh.corners[:, j]] - mesh.points[0] for j in range(3))
    six = np.einsum("ij,ij->i", a, np.cross(b, c))
    return summed(six, mesh.shell_of, mesh.shell_count) > 0


def _solids(turned: Shells, void: NDArray[np.bool_]) -> Ints:
    """The body that each shell bounds: its own number, its holder's for a void, -1 for an open or sealed one."""
    own = np.arange(len(void), dtype=np.int32)
    solids = np.where(turned.closed, own, -1).astype(np.int32)
    nested = void & (turned.inside >= 0)
    solids[nested] = turned.inside[nested]
    solids[void & (turned.inside < 0)] = -1
    return solids


def _groups(
    mesh: Topology, turned: Shells, solids: Ints, void: NDArray[np.bool_], places: _Places
) -> tuple[list[list[int]], list[Note]]:
    """The bodies that may meet, together; open shells meet nothing, which is said where they come near."""
    gap = gap_allowed_mm(mesh.points)
    outer = np.nonzero(((solids >= 0) & ~void) | ~turned.closed)[0]
    pairs = overlaps(places.shell_low[outer] - gap, places.shell_high[outer] + gap,
                     places.shell_low[outer], places.shell_high[outer])  # fmt: skip
    near = outer[pairs[pairs[:, 0] < pairs[:, 1]]]
    meet = [(i, j) for i, j in near if _skins_near(places, int(i), int(j), gap)]
    open_ones = {int(i) for pair in meet for i in pair if not turned.closed[i]}
    notes = []
    if open_ones:
        text = f"{len(open_ones)} open shells come near other bodies; what they hide of each other was not taken off"
        notes.append(Note("open-not-united", text, warns=True))
    meet = [(i, j) for i, j in meet if turned.closed[i] and turned.closed[j]]
    if not meet:
        return [], notes
    rows, cols = np.array(meet).T
    _, label = connected(len(solids), rows, cols)
    members = np.unique(np.concatenate([rows, cols]))
    return [members[label[members] == each].tolist() for each in np.unique(label[members])], notes


def _skins_near(places: _Places, i: int, j: int, gap: float) -> bool:
    """Whether any two triangles' boxes meet. Skins apart with one body in the other: that one was sealed before."""
    low = np.maximum(places.shell_low[i], places.shell_low[j]) - gap
    high = np.minimum(places.shell_high[i], places.shell_high[j]) + gap
    one, two = (
        rows[(places.low[rows] <= high).all(axis=1) & (places.high[rows] >= low).all(axis=1)]
        for rows in (places.rows[i], places.rows[j])
    )
    return len(overlaps(places.low[one] - gap, places.high[one] + gap, places.low[two], places.high[two])) > 0


def _unite(mesh: Topology, turned: Shells, solids: Ints, group: list[int], book: _Ledger) -> list[Note]:
    """Divide the area of the bodies in the group by what their union leaves outside. Raises NotSolid."""
    body_of = np.where(np.isin(solids, group), solids, -1)[mesh.shell_of].astype(np.int32)
    rows = np.nonzero(body_of >= 0)[0]
    touching = contact(mesh.points, turned.corners[rows], body_of[rows])
    size = max(extents_mm(mesh.points))
    grow = max(touching.gap_mm, _ROUNDING * size) if touching.gap_mm > 0 else 0.0
    flipped = np.isin(np.arange(len(solids)), group) & (turned.inside >= 0)
    corners = turned.corners[rows].copy()
    around = flipped[mesh.shell_of[rows]]
    corners[around] = corners[around][:, ::-1]  # a body that was taken for a void faces out like any other
    parts = [Part(mesh.points, corners[body_of[rows] == solid], rows[body_of[rows] == solid]) for solid in group]
    outcome = unite(parts, len(mesh.corners), grow)
    skin = outcome.exposed
    skin[skin > 1.0 - _WHOLE] = 1.0
    skin[skin < _WHOLE] = 0.0
    book.sealed[rows], book.void_of[rows] = 0.0, -1  # the union knows which of their voids are still shut
    book.exposed[rows] = skin[rows] * book.area[rows]
    for share in outcome.sealed:
        fresh = rows[share[rows] > _WHOLE]
        if len(fresh):
            book.sealed[fresh] += share[fresh] * book.area[fresh]
            book.void_of[fresh] = book.voids
            book.voids += 1
    left = book.area[rows] - book.exposed[rows] - book.sealed[rows]
    book.contact[rows] = np.minimum(touching.area_mm2, left.clip(min=0.0))
    if not grow:
        return []
    text = f"bodies up to {touching.gap_mm:.2g} mm apart or in one another were taken to touch"
    return [Note("gap-closed", text)]
