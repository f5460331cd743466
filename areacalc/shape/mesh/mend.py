"""What can be mended in a mesh without a guess: points that are one, triangles without area, triangles given twice."""

from dataclasses import replace

import numpy as np

from areacalc.fact import fact, quantity
from areacalc.shape.body import Body, triangle_areas_mm2
from areacalc.shape.kinds import FileNote, Ints, Note
from areacalc.shape.mesh.boxes import near
from areacalc.shape.mesh.openings import resolution_mm
from areacalc.shape.mesh.topology import Topology, connected, on_crowded_edges


def mend(body: Body) -> Body:
    """The body with nearly equal points on open edges merged and empty or repeated triangles dropped, each with a Note.

    A clean body comes back as it is. Triangles back to back on others (the two sides of a sheet, or of a contact) stay.
    Which way triangles face is left to whoever needs it: it changes no area.
    """
    mesh = body.topology
    notes: list[Note] = []
    if mesh.open_edges.size:
        merged, count = _merged(mesh)
        if count:
            rounding = quantity(resolution_mm(mesh), "mm")
            notes.append(Note(fact(FileNote.POINTS_MERGED, count=count, rounding=rounding)))
            body = _with(body, mesh, merged[mesh.corners], np.arange(len(mesh.corners)), notes)
            mesh, notes = body.topology, []
    if mesh.dropped:
        notes.append(Note(fact(FileNote.DEGENERATE_DROPPED, count=mesh.dropped)))
    again = _needless(mesh, *repeated(mesh))
    if len(again):
        area = float(triangle_areas_mm2(mesh.points, mesh.corners[again]).sum())
        notes.append(Note(fact(FileNote.DUPLICATES_DROPPED, count=len(again), off=quantity(area, "mm2"))))
    if not notes:
        return body
    keep = np.ones(len(mesh.corners), bool)
    keep[again] = False
    return _with(body, mesh, mesh.corners, np.nonzero(keep)[0], notes)


def _needless(mesh: Topology, again: Ints, alike: Ints) -> Ints:
    """The repeated triangles that no shell needs: a body inside out shares the face that it touches another with."""
    own, count = mesh.shell_of, mesh.shell_count
    closed = np.bincount(own, weights=(mesh.across < 0).any(axis=1), minlength=count) == 0
    more = np.bincount(own, minlength=count) > np.bincount(own[alike], minlength=count)
    return np.asarray(again[~(closed & more)[own[again]]])


def _with(body: Body, mesh: Topology, corners: Ints, keep: Ints, notes: list[Note]) -> Body:
    """The body of the welded triangles `keep`, everything known of them carried along."""
    source = mesh.triangle_of[keep]

    def carried(values: Ints) -> Ints:
        return values[source] if len(values) else values

    return replace(
        body, vertices=mesh.points, triangles=corners[keep], face_of_triangle=carried(body.face_of_triangle),
        solid_of_triangle=carried(body.solid_of_triangle), colour_of_triangle=carried(body.colour_of_triangle),
        notes=(*body.notes, *notes),
    )  # fmt: skip


def _merged(mesh: Topology) -> tuple[Ints, int]:
    """For each point which point stands for it, and how many are replaced."""
    stands = np.arange(len(mesh.points), dtype=np.int32)
    rim = np.unique(mesh.open_edges)
    pairs = near(mesh.points[rim], resolution_mm(mesh))
    if not len(pairs):
        return stands, 0
    _, label = connected(len(rim), *pairs.T)
    _, first = np.unique(label, return_index=True)
    stands[rim] = rim[first[label]]
    return stands, int((stands != np.arange(len(stands))).sum())


def repeated(mesh: Topology) -> tuple[Ints, Ints]:
    """The welded triangles that have the same corners in the same turn as an earlier one, or make up a four-sided face
    with the corners of an earlier one, cut along its other diagonal; and these with the earlier ones."""
    rows, corners = _suspects(mesh)
    turned, order = _sorted_rows(corners)
    key = np.column_stack([order, turned])
    _, first, group = np.unique(key, axis=0, return_index=True, return_inverse=True)
    again = np.setdiff1d(rows, rows[first])
    alike = rows[np.bincount(group, minlength=1)[group] > 1]
    row, side = np.nonzero((mesh.across[rows] > rows[:, None]) & ~on_crowded_edges(mesh, mesh.corners[rows]))
    one = rows[row]
    two = mesh.across[one, side].astype(np.int64)
    fresh = np.isin(two, rows) & ~np.isin(one, again) & ~np.isin(two, again)
    one, two, side = one[fresh], two[fresh], side[fresh]
    opposite = mesh.corners[two].sum(axis=1) - mesh.corners[one, side] - mesh.corners[one, (side + 1) % 3]
    four = np.sort(np.column_stack([mesh.corners[one], opposite]), axis=1)
    _, group = np.unique(four, axis=0, return_inverse=True)
    a, b, c, d, e, f = (mesh.points[mesh.corners[t, j]] for t in (one, two) for j in range(3))
    facing = np.cross(b - a, c - a) + np.cross(e - d, f - d)
    _, first = np.unique(group, return_index=True)
    earlier = first[group]
    same = (np.einsum("ij,ij->i", facing, facing[earlier]) > 0) & (earlier != np.arange(len(one)))
    both = np.r_[one[same], two[same]]
    return np.union1d(again, both), np.unique(np.r_[alike, both, one[earlier[same]], two[earlier[same]]])


def back_to_back(mesh: Topology) -> Ints:
    """The welded triangles that have the same corners as another one, turned the other way."""
    rows, corners = _suspects(mesh)
    turned, order = _sorted_rows(corners)
    _, group = np.unique(order, axis=0, return_inverse=True)
    ways = [np.bincount(group, weights=turned == way, minlength=group.max(initial=-1) + 1) > 0 for way in (0, 1)]
    return rows[(ways[0] & ways[1])[group]] if len(rows) else rows


def _suspects(mesh: Topology) -> tuple[Ints, Ints]:
    """Those that may lie on another: on crowded edges alone, or with the same neighbour twice."""
    crowded = np.zeros(len(mesh.points), bool)
    crowded[mesh.crowded_edges.ravel()] = True
    a, b, c = mesh.across.T
    suspect = crowded[mesh.corners].all(axis=1) | (((a == b) | (b == c)) & (b >= 0)) | ((a == c) & (a >= 0))
    rows = np.nonzero(suspect)[0]
    return rows, mesh.corners[rows]


def _sorted_rows(corners: Ints) -> tuple[Ints, Ints]:
    """Whether sorting each row's corners turns it round (n,), and the sorted rows."""
    a, b, c = corners.T
    turned = ((a > b).astype(np.int32) + (b > c) + (a > c)) % 2
    return turned.astype(np.int32), np.sort(corners, axis=1)
