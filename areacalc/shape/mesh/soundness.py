"""How far a mesh can be trusted: each oddity found, and what it may add to the area or take from it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from areacalc.digits import counted
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.shape.body import Body, extents_mm, triangle_areas_mm2
from areacalc.shape.kinds import Note
from areacalc.shape.mesh.crossing import crossing_pairs
from areacalc.shape.mesh.measure_loops import heights, normals
from areacalc.shape.mesh.mend import back_to_back
from areacalc.shape.mesh.openings import LOST_FACET_EDGES, Opening, openings, resolution_mm
from areacalc.shape.mesh.topology import Topology
from areacalc.shape.mesh.topology_loops import by_label, join_some
from areacalc.shape.mesh.winding import winding_number

_SPECK = 1e-3  # of the part's size: what no tool cuts and no print shows
_PLACES = 3  # openings told in a note
_NOT_SEARCHED = Note(
    "crossings-not-searched",
    "too many long triangles lie across each other to search for ones that pass through others; where the surface"
    " passes through itself, what lies inside is counted",
    warns=True,
)
_MIXED = Note("mixed-normals", "some triangles face the other way than their neighbours; the area is the same")
_PROBED = 64  # pieces between crossings that are looked at one by one


@dataclass(frozen=True, slots=True)
class Soundness:
    """What is wrong with a mesh, and by how much its area may therefore be too high or too low [mm2].

    openings: the longest first, cracks included. doubled: triangles back to back on others of the same shell. crossing:
    triangles that pass through others of the same shell; None where the search was given up. crowded: edges on which
    more than two triangles meet and that belong to no solid. slivers: triangles thinner than the file's rounding.
    specks: shells smaller than a thousandth of the part. extra_low_mm2 may come off, extra_high_mm2 may come on.
    """

    openings: tuple[Opening, ...]
    oriented: bool
    doubled: int
    crossing: int | None
    crowded: int
    slivers: int
    specks: int
    extra_low_mm2: float
    extra_high_mm2: float
    because: str
    notes: tuple[Note, ...]

    @property
    def open_length_mm(self) -> float:
        """The length of all open edges."""
        return sum(each.length_mm for each in self.openings)

    def bounded(self, area: Estimate) -> Estimate:
        """An area of this mesh with its interval widened by what was found."""
        if not self.extra_low_mm2 and not self.extra_high_mm2:
            return area
        low = min(area.value, max(0.0, area.low - self.extra_low_mm2))
        because = "; ".join(filter(None, (area.because, self.because)))
        return Estimate(area.value, low, area.high + self.extra_high_mm2, because)


@dataclass
class _Finding:
    low: float = 0.0
    high: float = 0.0
    count: int = 0
    cause: str = ""
    note: Note | None = None


def judge(body: Body) -> Soundness:
    """What is odd about a body's mesh (after `mend`).

    Raises BadInput where most triangles hang together with no other, so that nothing can be said of the area.
    """
    refuse_soup(body)
    mesh = body.topology
    area = normals(mesh.points, mesh.corners)[1]
    if not area.any():
        raise BadInput(body.source, "holds no triangle with an area", "export the part again")
    holes = openings(mesh)
    crossing = _crossings(mesh, area)
    doubled, slivers, specks = _doubled(mesh, area), _slivers(mesh, area), _specks(mesh, area)
    crowded = _crowded(mesh)
    mixed = _Finding(note=None if mesh.oriented else _MIXED)
    found = (_holes(mesh, area, holes), crossing, doubled, crowded, slivers, specks, mixed)
    return Soundness(
        holes, mesh.oriented, doubled.count,
        None if crossing.note is _NOT_SEARCHED else crossing.count, crowded.count, slivers.count,
        specks.count, sum(each.low for each in found), sum(each.high for each in found),
        "; ".join(each.cause for each in found if each.cause), tuple(each.note for each in found if each.note),
    )  # fmt: skip


def refuse_soup(body: Body) -> None:
    """Raise BadInput where there are no triangles, or where most of them hang together with no other: cheap, and first,
    for nothing can be found in such a mesh."""
    mesh = body.topology
    if len(mesh.corners) == 0:
        raise BadInput(body.source, "holds no triangle with an area", "export the part again")
    alone = int((mesh.across < 0).all(axis=1).sum())
    if len(mesh.corners) > LOST_FACET_EDGES and alone > len(mesh.corners) // 2:
        what = f"{alone} of its {len(mesh.corners)} triangles touch no other, so that it has no surface to measure"
        raise BadInput(body.source, what, "export the part again, with its corners merged")


def judge_sheets(body: Body) -> Soundness:
    """What a CAD file of open surfaces leaves unsaid: any sheet in it may be wet on both sides, or lack faces."""
    mesh = body.topology
    holes = openings(mesh)
    found = _holes(mesh, triangle_areas_mm2(mesh.points, mesh.corners), holes, 0)
    notes = (found.note,) if found.note else ()
    return Soundness(holes, mesh.oriented, 0, None, 0, 0, 0, found.low, found.high, found.cause, notes)


def _holes(
    mesh: Topology, area: NDArray[np.float64], holes: tuple[Opening, ...], facet_edges: int = LOST_FACET_EDGES
) -> _Finding:
    """A lost facet may be as large as the hole's cap; a shell with a wider hole may be a sheet wet on both sides."""
    if not holes:
        return _Finding()
    real = [each for each in holes if not each.crack]
    length = sum(each.length_mm for each in holes)
    if not real:
        text = f"{length:.6g} mm of edges meet other edges without sharing corners; they lie close and no area is lost"
        return _Finding(count=len(holes), note=Note("cracks", text))
    drawn = np.bincount(mesh.shell_of, weights=area, minlength=mesh.shell_count)
    high = 0.0
    sheets = set()
    for shell in {each.shell for each in real}:
        mine = [each for each in real if each.shell == shell]
        cap = sum(each.cap_mm2 for each in mine)
        if any(each.edges > facet_edges for each in mine):
            sheets.add(shell)
            cap = max(cap, float(drawn[shell]))
        high += cap
    places = ", ".join(
        f"{each.length_mm:.4g} mm round ({', '.join(f'{x:.4g}' for x in each.centre_mm)})" for each in real[:_PLACES]
    )
    more = f" and {len(real) - _PLACES} more" if len(real) > _PLACES else ""
    reading = "it may be a sheet that is wet on both sides, or lack faces" if sheets else "single faces are lost"
    text = f"the surface is open along {length:.6g} mm: {places}{more}; {reading}: up to {high:.6g} mm2 may come on"
    return _Finding(0.0, high, len(real), "open edges", Note("open", text, warns=True))


def _crossings(mesh: Topology, area: NDArray[np.float64]) -> _Finding:
    """Skin that passes through itself hides some of it: the pieces inside, and at most the crossing triangles."""
    pairs = crossing_pairs(mesh.points, mesh.corners, resolution_mm(mesh))
    if pairs is None:
        return _Finding(note=_NOT_SEARCHED)
    open_shell = np.bincount(mesh.shell_of, weights=(mesh.across < 0).any(axis=1), minlength=mesh.shell_count) > 0
    shell = mesh.shell_of[pairs]
    own = (shell[:, 0] == shell[:, 1]) | open_shell[shell].any(axis=1)  # closed shells in one another are united later
    rows = np.unique(pairs[own])
    if not len(rows):
        return _Finding()
    buried = _buried(mesh, area, rows)
    low = buried + float(area[rows].sum())
    text = f"{len(rows)} triangles pass through others of the same surface: {buried:.6g} mm2 or more of it lie inside"
    text += f", and up to {low:.6g} mm2 may have to come off"
    return _Finding(low, 0.0, len(rows), "surface through itself", Note("self-crossing", text, warns=True))


def _buried(mesh: Topology, area: NDArray[np.float64], crossing: NDArray[np.int32]) -> float:
    """The area of the pieces between crossings that have the inside on both sides. The smallest count as buried."""
    free = np.isin(mesh.shell_of, mesh.shell_of[crossing])
    shell = np.nonzero(free)[0]
    free[crossing] = False
    linked = (mesh.across >= 0) & free[:, None] & free[mesh.across]
    label, _ = join_some(mesh.across, linked)
    size = np.bincount(label, weights=area * free)
    triangles = mesh.points[mesh.corners]
    a, b, c = (triangles[shell, j] - mesh.points[0] for j in range(3))
    outward = 1.0 if np.einsum("ij,ij->", a, np.cross(b, c)) >= 0 else -1.0
    total = 0.0
    for rank, piece in enumerate(np.argsort(-size, kind="stable")):
        if size[piece] <= 0:
            break
        if rank >= _PROBED:
            return total + float(size[np.argsort(-size, kind="stable")[rank:]].sum())
        members = np.nonzero((label == piece) & free)[0]
        row = members[area[members].argmax()]
        normal = np.cross(triangles[row, 1] - triangles[row, 0], triangles[row, 2] - triangles[row, 0])
        step = 4.0 * resolution_mm(mesh) / max(float(np.linalg.norm(normal)), 1e-300)
        probe = triangles[row].mean(axis=0) + outward * step * normal
        if abs(winding_number(triangles[shell], probe)) > 0.5:
            total += float(size[piece])
    return total


def _doubled(mesh: Topology, area: NDArray[np.float64]) -> _Finding:
    rows = back_to_back(mesh)
    if not len(rows):
        return _Finding()
    sides, side = np.unique(np.sort(mesh.corners[rows], axis=1), axis=0, return_inverse=True)
    side = side.reshape(-1)
    low, high = np.full(len(sides), mesh.shell_count), np.full(len(sides), -1)
    np.minimum.at(low, side, mesh.shell_of[rows])
    np.maximum.at(high, side, mesh.shell_of[rows])
    open_shell = np.bincount(mesh.shell_of, weights=(mesh.across < 0).any(axis=1), minlength=mesh.shell_count) > 0
    contact = (low != high) & ~open_shell[low] & ~open_shell[high]  # two bodies against each other are no fault
    rows = rows[~contact[side]]
    if not len(rows):
        return _Finding()
    one = 0.5 * float(area[rows].sum())
    text = f"{counted(len(rows), 'triangle')} back to back, as a sheet without thickness: both sides count, "
    note = Note("doubled-faces", f"{text}of which {one:.6g} mm2 may have to come off", warns=True)
    return _Finding(one, 0.0, len(rows), "doubled faces", note)


def _crowded(mesh: Topology) -> _Finding:
    """Edges whose triangles could not be paired, so that it is open what is inside."""
    ends = np.stack([mesh.corners, np.roll(mesh.corners, -1, axis=1)], axis=2)[mesh.across < 0]
    keys = np.sort(ends, axis=1).astype(np.int64) @ np.array([len(mesh.points), 1])
    count = int(
        np.isin(np.sort(mesh.crowded_edges, axis=1).astype(np.int64) @ np.array([len(mesh.points), 1]), keys).sum()
    )
    if not count:
        return _Finding()
    text = f"on {count} edges more than two faces meet and bound no solid; every face counts once"
    return _Finding(count=count, note=Note("crowded-edges", text, warns=True))


def _slivers(mesh: Topology, area: NDArray[np.float64]) -> _Finding:
    height, longest = heights(mesh.points, mesh.corners, area)
    resolution = resolution_mm(mesh)
    thin = height < resolution
    if not thin.any():
        return _Finding()
    own, other = float(area[thin].sum()), float(0.5 * resolution * longest[thin].sum())
    text = f"{counted(int(thin.sum()), 'triangle')} thinner than the file's rounding: {own:.3g} mm2 not sure"
    return _Finding(own, max(0.0, other - own), int(thin.sum()), "slivers", Note("slivers", text))


def _specks(mesh: Topology, area: NDArray[np.float64]) -> _Finding:
    if mesh.shell_count == 1:
        return _Finding()
    order, first = by_label(mesh.shell_of, mesh.shell_count)
    starts = first[:-1]
    ring = mesh.points[mesh.corners[order]]
    span = np.maximum.reduceat(ring.max(axis=1), starts) - np.minimum.reduceat(ring.min(axis=1), starts)
    size = span.max(axis=1)
    specks = size < _SPECK * max(extents_mm(mesh.points))
    if not specks.any():
        return _Finding()
    own = float(area[specks[mesh.shell_of]].sum())
    text = (
        f"{int(specks.sum())} shells are specks under a thousandth of the part; their {own:.3g} mm2 may be no surface"
    )
    return _Finding(own, 0.0, int(specks.sum()), "specks", Note("specks", text))
