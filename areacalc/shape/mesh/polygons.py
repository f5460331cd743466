"""Faces of more than three corners cut into triangles without changing their area, concave ones too."""

import math

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact, quantity
from areacalc.shape.kinds import FileNote, Floats, Ints, Note, Truths

MOST_CORNERS = 25_000  # of a concave face: two seconds of processor
_FLAT = 1e-6  # of a face's size: about the rounding of single-precision coordinates, eight times over


def cut_faces(points: Floats, counts: Ints, corners: Ints, source: str = "mesh") -> tuple[Ints, Ints, tuple[Note, ...]]:
    """Cut faces, given as their corner counts (f,) and all their corners in a row, into triangles (m, 3): these, the
    face each came from (m,), and a Note where faces are not flat.

    Triangles stay as they are, convex faces become fans, concave ones are cut by manifold3d; faces of one or two
    corners have no skin. Corners must be rows of points (n, 3). Raises BadInput for a concave face of very many
    corners: cutting it takes the square of their number.

    >>> arrow = np.array([[0.0, 0, 0], [4, 0, 0], [4, 4, 0], [2, 1, 0], [0, 4, 0]])
    >>> len(cut_faces(arrow, np.array([5]), np.arange(5))[0])
    3
    """
    starts = np.cumsum(counts) - counts
    parts: list[Ints] = []
    owners: list[Ints] = []
    uneven, change = 0, 0.0
    for size in np.unique(counts[counts >= 3]):
        faces = np.nonzero(counts == size)[0].astype(np.int32)
        rows = corners[starts[faces][:, None] + np.arange(size)].astype(np.int32)
        if size == 3:
            parts.append(rows)
            owners.append(faces)
            continue
        ring, convex, flat = _flattened(points[rows])
        fans, others = rows[convex], np.nonzero(~convex)[0]
        first = np.repeat(fans[:, :1], size - 2, axis=1)
        parts.append(np.stack([first, fans[:, 1:-1], fans[:, 2:]], axis=2).reshape(-1, 3))
        owners.append(np.repeat(faces[convex], size - 2))
        if len(others) and size > MOST_CORNERS:
            where = f"{source}, face {int(faces[others[0]]) + 1}"
            raise BadInput(where, f"has {size} corners, more than {MOST_CORNERS}", "export it as triangles")
        if len(others):
            import manifold3d
        for i in others:
            cut = np.asarray(manifold3d.triangulate([ring[i]]), np.int64).reshape(-1, 3)
            parts.append(rows[i][cut])
            owners.append(np.full(len(cut), faces[i], np.int32))
        uneven += int((~flat).sum())
        change += _other_cut(points[rows[~flat]])
    if not parts:
        return np.empty((0, 3), np.int32), np.empty(0, np.int32), ()
    owner = np.concatenate(owners)
    order = np.argsort(owner, kind="stable")
    notes: tuple[Note, ...] = ()
    if uneven and math.isfinite(change):  # else a point is no number, which is told later
        told = fact(FileNote.FACES_NOT_FLAT, count=uneven, area=quantity(change, "mm2"))
        notes = (Note(told, True, change, change, "faces that are not flat"),)
    return np.concatenate(parts)[order], owner[order], notes


def _flattened(ring: Floats) -> tuple[Floats, Truths, Truths]:
    """Faces (f, k, 3) in their own plane (f, k, 2), anticlockwise; which are convex, and which are flat."""
    ring = ring - ring.mean(axis=1, keepdims=True)
    after = np.roll(ring, -1, axis=1)
    normal = np.cross(ring, after).sum(axis=1)  # Newell's: right for concave rings, and nearest for those not flat
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    normal[length[:, 0] == 0] = (0.0, 0.0, 1.0)
    least = np.eye(3)[np.abs(normal).argmin(axis=1)]
    u = np.cross(least, normal)
    u /= np.linalg.norm(u, axis=1, keepdims=True)
    v = np.cross(normal, u)
    plane = np.stack([np.einsum("fkc,fc->fk", ring, u), np.einsum("fkc,fc->fk", ring, v)], axis=2)
    step = np.roll(plane, -1, axis=1) - plane
    turn = np.roll(step, -1, axis=1)
    bend = step[..., 0] * turn[..., 1] - step[..., 1] * turn[..., 0]
    angle = np.arctan2(bend, (step * turn).sum(axis=2))
    # every turn to the left, and once around: a star turns left too, but twice
    convex = (bend >= 0).all(axis=1) & (np.abs(angle.sum(axis=1) - 2 * np.pi) < 1e-3)
    size = np.abs(ring).max(axis=(1, 2))
    flat = np.abs(np.einsum("fkc,fc->fk", ring, normal)).max(axis=1) <= _FLAT * size
    return plane, convex, flat


def _other_cut(ring: Floats) -> float:
    """By how much the area of fans from the second corner differs from that of fans from the first, summed."""
    total = np.zeros(len(ring))
    for shift, sign in ((0, 1.0), (1, -1.0)):
        fan = np.roll(ring, -shift, axis=1)
        arms = fan[:, 1:] - fan[:, :1]
        total += sign * 0.5 * np.linalg.norm(np.cross(arms[:, :-1], arms[:, 1:]), axis=2).sum(axis=1)
    return float(np.abs(total).sum())
