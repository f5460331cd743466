"""How far a mesh can be trusted: each oddity found, and what it may add to the area or take from it."""

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, cross, extents_mm, triangle_areas_mm2
from areacalc.shape.kinds import FileNote, Floats, Ints, Note
from areacalc.shape.mesh.boxes import BoxTree
from areacalc.shape.mesh.boxes_loops import edge_spread, passing, triangle_boxes
from areacalc.shape.mesh.measure_loops import heights, normals, winding_numbers
from areacalc.shape.mesh.mend import back_to_back
from areacalc.shape.mesh.openings import LOST_FACET_EDGES, openings, resolution_mm
from areacalc.shape.mesh.topology import Topology, on_crowded_edges
from areacalc.shape.mesh.topology_loops import by_label, join_some

_SPECK = 1e-3  # of the part's size: what no tool cuts and no print shows
SEEN_MM2 = 0.01  # chosen: less of a surface is not told
_PLACES = 3  # openings told in a note
_MIXED = Note(fact(FileNote.MIXED_NORMALS))
_MOST = 300_000_000  # pairs held against each other before giving up: a few seconds
_PROBED = 64  # pieces between crossings that are looked at one by one


def judge(body: Body) -> tuple[Note, ...]:
    """What is odd about a body's mesh (after `mend`), each oddity with what it may add to the area or take from it.

    Raises BadInput where most triangles hang together with no other, so that nothing can be said of the area.
    """
    refuse_soup(body)
    mesh = body.topology
    area = normals(mesh.points, mesh.corners)[1]
    if not area.any():
        raise BadInput(body.source, "holds no triangle with an area", "export the part again")
    mixed = None if mesh.oriented else _MIXED
    found = (_holes(mesh, area), *(look(mesh, area) for look in (_crossings, _doubled, _crowded, _slivers, _specks)))
    return tuple(note for note in (*found, mixed) if note)


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


def judge_sheets(body: Body) -> tuple[Note, ...]:
    """What a CAD file of open surfaces leaves unsaid: any sheet in it may be wet on both sides, or lack faces."""
    mesh = body.topology
    note = _holes(mesh, triangle_areas_mm2(mesh.points, mesh.corners), 0)
    return (note,) if note else ()


def _holes(mesh: Topology, area: Floats, facet_edges: int = LOST_FACET_EDGES) -> Note | None:
    """A lost facet may be as large as the hole's cap; a shell with a wider hole may be a sheet wet on both sides."""
    holes = openings(mesh)
    if not holes:
        return None
    real = [each for each in holes if not each.crack]
    length = sum(each.length_mm for each in holes)
    if not real:
        return Note(fact(FileNote.CRACKS, length=quantity(length, "mm")))
    drawn = np.bincount(mesh.shell_of, weights=area, minlength=mesh.shell_count)
    high = 0.0
    sheets = set()
    for shell in {each.shell for each in real}:
        mine = [each for each in real if each.shell == shell]
        cap = sum(each.cap_mm2 for each in mine)
        if any(each.edges > facet_edges for each in mine) or 2.0 * cap >= drawn[shell]:
            sheets.add(shell)
            cap = max(cap, float(drawn[shell]))
        high += cap
    places = [", ".join(f"{x:.4g}" for x in each.centre_mm) for each in real[:_PLACES]]  # in the file's own frame
    low = float(drawn[sorted(sheets)].sum()) if len(sheets) < mesh.shell_count else 0.0
    told = fact(
        FileNote.OPEN, length=quantity(length, "mm"), count=len(real), sheets=len(sheets), more=quantity(high, "mm2"),
        less=quantity(low, "mm2"), **{f"place{number}": place for number, place in enumerate(places)},
    )  # fmt: skip
    return Note(told, True, low, high, "open edges")


def _crossings(mesh: Topology, area: Floats) -> Note | None:
    """Skin that passes through itself hides some of it: the pieces inside, and at most the crossing triangles."""
    pairs = crossing_pairs(mesh.points, mesh.corners, resolution_mm(mesh))
    if pairs is None:
        return Note(
            fact(FileNote.CROSSINGS_NOT_SEARCHED), True, float(area.sum()), cause="surface that may pass through itself"
        )
    open_shell = np.bincount(mesh.shell_of, weights=(mesh.across < 0).any(axis=1), minlength=mesh.shell_count) > 0
    shell = mesh.shell_of[pairs]
    own = (shell[:, 0] == shell[:, 1]) | open_shell[shell].any(axis=1)  # closed shells in one another are united later
    rows = np.unique(pairs[own])
    if not len(rows):
        return None
    buried = _buried(mesh, area, rows)
    low = buried + float(area[rows].sum())
    told = fact(
        FileNote.SELF_CROSSING,
        count=len(rows),
        inside=quantity(buried, "mm2") if buried > SEEN_MM2 else None,
        less=quantity(low, "mm2"),
    )
    return Note(told, True, low, cause="surface through itself")


def _buried(mesh: Topology, area: Floats, crossing: Ints) -> float:
    """The area of the pieces between crossings that have the inside on both sides. The smallest count as buried."""
    crossed = np.zeros(mesh.shell_count, bool)
    crossed[mesh.shell_of[crossing]] = True
    free = crossed[mesh.shell_of]
    shell = np.nonzero(free)[0]
    free[crossing] = False
    linked = (mesh.across >= 0) & free[:, None] & free[mesh.across]
    label, _ = join_some(mesh.across, linked)
    size = np.bincount(label, weights=area * free)
    triangles = mesh.points[mesh.corners[shell]]
    a, b, c = (triangles[:, j] - mesh.points[0] for j in range(3))
    outward = 1.0 if np.einsum("ij,ij->", a, cross(b, c)) >= 0 else -1.0
    order, first = by_label(label, len(size))
    ranked = np.argsort(-size, kind="stable")[: int((size > 0).sum())]
    step, probes = outward * 4.0 * resolution_mm(mesh), np.empty((len(ranked[:_PROBED]), 3))
    for rank, piece in enumerate(ranked[:_PROBED]):
        members = order[first[piece] : first[piece + 1]]
        members = members[free[members]]
        a, b, c = mesh.points[mesh.corners[members[area[members].argmax()]]]
        normal = np.cross(b - a, c - a)
        probes[rank] = (a + b + c) / 3.0 + step / max(float(np.linalg.norm(normal)), 1e-300) * normal
    inside = np.abs(winding_numbers(triangles, probes)) > 0.5
    return float(size[ranked[:_PROBED]][inside].sum() + size[ranked[_PROBED:]].sum())


def _doubled(mesh: Topology, area: Floats) -> Note | None:
    rows = back_to_back(mesh)
    if not len(rows):
        return None
    sides, side = np.unique(np.sort(mesh.corners[rows], axis=1), axis=0, return_inverse=True)
    low, high = np.full(len(sides), mesh.shell_count), np.full(len(sides), -1)
    np.minimum.at(low, side, mesh.shell_of[rows])
    np.maximum.at(high, side, mesh.shell_of[rows])
    open_shell = np.bincount(mesh.shell_of, weights=(mesh.across < 0).any(axis=1), minlength=mesh.shell_count) > 0
    contact = (low != high) & ~open_shell[low] & ~open_shell[high]  # two bodies against each other are no fault
    rows = rows[~contact[side]]
    if not len(rows):
        return None
    one = 0.5 * float(area[rows].sum())
    told = fact(FileNote.DOUBLED_FACES, count=len(rows), less=quantity(one, "mm2"))
    return Note(told, True, one, cause="doubled faces")


def _crowded(mesh: Topology, area: Floats) -> Note | None:
    """Edges whose triangles could not be paired, so that nobody knows what is inside: what ends there may come off."""
    crowded = on_crowded_edges(mesh, mesh.corners)
    tri, side = np.nonzero(crowded & (mesh.across < 0))
    if not len(tri):
        return None
    piece, count = join_some(mesh.across, ~crowded)
    odd = np.zeros(count, bool)
    odd[piece[tri]] = True
    less = float(area[odd[piece]].sum())
    ends = np.sort(np.stack([mesh.corners[tri, side], mesh.corners[tri, (side + 1) % 3]], axis=1), axis=1)
    count = len(np.unique(ends, axis=0))
    told = fact(FileNote.CROWDED_EDGES, count=count, less=quantity(less, "mm2"))
    return Note(told, True, less, cause="faces that bound no solid")


def _slivers(mesh: Topology, area: Floats) -> Note | None:
    height, longest = heights(mesh.points, mesh.corners, area)
    resolution = resolution_mm(mesh)
    thin = height < resolution
    if not thin.any():
        return None
    own, other = float(area[thin].sum()), float(0.5 * resolution * longest[thin].sum())
    told = fact(FileNote.SLIVERS, count=int(thin.sum()), area=quantity(own, "mm2"))
    return Note(told, False, own, max(0.0, other - own), "very thin triangles")


def _specks(mesh: Topology, area: Floats) -> Note | None:
    if mesh.shell_count == 1:
        return None
    order, first = by_label(mesh.shell_of, mesh.shell_count)
    starts = first[:-1]
    ring = mesh.points[mesh.corners[order]]
    span = np.maximum.reduceat(ring.max(axis=1), starts) - np.minimum.reduceat(ring.min(axis=1), starts)
    size = span.max(axis=1)
    specks = size < _SPECK * max(extents_mm(mesh.points))
    if not specks.any():
        return None
    own = float(area[specks[mesh.shell_of]].sum())
    told = fact(FileNote.SPECKS, count=int(specks.sum()), area=quantity(own, "mm2"))
    return Note(told, False, own, cause="specks")


def crossing_pairs(points: Floats, corners: Ints, slack_mm: float) -> Ints | None:
    """The pairs (p, 2) of triangles of one mesh that pass through one another by more than slack_mm.

    Triangles that share a corner are not compared, nor those that lie flat on each other. None where so many lie close
    to each other (strips as long as the part, in many directions) that the search would take minutes.
    """
    tree = BoxTree(*_slim_boxes(points, corners))
    order = tree.order
    mine = corners[order]
    pairs, finished = passing(mine, points[mine], tree.low[order], tree.high[order], tree.node_low, tree.node_high,
                              slack_mm, _MOST)  # fmt: skip
    return np.sort(order[pairs], axis=1) if finished else None


def _slim_boxes(points: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """The triangles' boxes, along the axes or along the directions in which most edges run, whichever are slimmer.

    The long strips of a turned part that lies askew have boxes as large as the part, but slim ones along its axis.
    """
    _, frame = np.linalg.eigh(edge_spread(points, corners))
    plain, turned = triangle_boxes(points, corners), triangle_boxes(points @ frame, corners)
    return turned if _faces_mm2(*turned) < 0.5 * _faces_mm2(*plain) else plain


def _faces_mm2(low: Floats, high: Floats) -> float:
    x, y, z = (high - low).T
    return float(x @ y + y @ z + z @ x)
