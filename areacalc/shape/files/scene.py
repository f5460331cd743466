"""The named pieces of one file, laid into one Body.

A file may place a piece many times, through nodes that hold one another: counted first, then laid out at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from areacalc.errors import BadInput
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import Floats, Ints, Note, in_mm

MOST_PLACED = 1_000_000  # pieces, and triangles too unless the file is large
_TRIANGLES_PER_BYTE = 2  # of a larger file: copies of what it holds
_COUNTLESS = 10**18


@dataclass(frozen=True)
class Node:
    """A thing in a file's tree: its own mesh (row of the pieces, -1: none), and other nodes with their 4x4 matrices.

    names_all: whether its name goes to all that it holds, as an assembly's of one part does.
    """

    mesh: int = -1
    name: str = ""
    children: list[tuple[int, Floats]] = field(default_factory=list)
    names_all: bool = False


@dataclass(frozen=True, eq=False)
class Placed:
    """Which piece stands where: rows of the pieces (n,), names (n,), matrices (n, 4, 4) for column vectors."""

    piece: Ints
    names: list[str]
    matrix: Floats


def place(
    source: str, file_bytes: int, nodes: Sequence[Node], roots: Sequence[tuple[int, Floats]], triangles: Sequence[int]
) -> Placed:
    """Every piece of the tree under `roots`, depth first; triangles: how many each piece has.

    Raises BadInput: nodes that hold one another without end, more pieces or triangles than are taken.

    >>> twice = [(1, np.eye(4)), (1, np.eye(4))]
    >>> place("a.glb", 900, [Node(children=twice), Node(mesh=0, name="knob")], [(0, np.eye(4))], [12]).names
    ['knob', 'knob']
    """
    top = Node(children=list(roots))
    whole = [*nodes, top]
    order = _bottom_up(source, whole)
    pieces, corners, work = [0] * len(whole), [0] * len(whole), 0
    for row in order:
        node = whole[row]
        own = node.mesh >= 0
        pieces[row] = min(_COUNTLESS, own + sum(pieces[child] for child, _ in node.children))
        corners[row] = min(
            _COUNTLESS, (triangles[node.mesh] if own else 0) + sum(corners[child] for child, _ in node.children)
        )
        work += pieces[row]
    most = max(MOST_PLACED, _TRIANGLES_PER_BYTE * file_bytes, sum(triangles))
    _refuse_many(source, pieces[-1], MOST_PLACED, "pieces")
    _refuse_many(source, corners[-1], most, "triangles")
    _refuse_many(source, work, 4 * MOST_PLACED, "pieces within pieces")
    made: dict[int, tuple[Ints, Ints, Floats]] = {}
    for row in order:  # what a node holds comes before it
        made[row] = _laid_out(row, whole[row], made)
    mesh_of = np.array([node.mesh for node in whole], np.int32)
    piece, named, matrix = made[len(nodes)]
    return Placed(mesh_of[piece], [whole[row].name for row in named.tolist()], matrix)


def _laid_out(row: int, node: Node, made: dict[int, tuple[Ints, Ints, Floats]]) -> tuple[Ints, Ints, Floats]:
    """The nodes with a mesh in this one, the nodes that name them, and where they stand in it."""
    own: Ints = np.array([row] if node.mesh >= 0 else [], np.int32)
    parts: list[tuple[Ints, Ints, Floats]] = [(own, own, np.tile(np.eye(4), (len(own), 1, 1)))]
    for child, matrix in node.children:
        piece, named, inner = made[child]
        if len(piece):
            parts.append((piece, named, matrix @ inner))
    piece, named, matrices = (np.concatenate(each) for each in zip(*parts, strict=True))
    return piece, np.full_like(named, row) if node.names_all else named, matrices


def _bottom_up(source: str, nodes: Sequence[Node]) -> list[int]:
    """The rows under the last node, every one after those that it holds."""
    held: dict[int, set[int]] = {}
    waiting = {len(nodes) - 1}
    while waiting:
        row = waiting.pop()
        if not 0 <= row < len(nodes):
            raise BadInput(source, f"uses node {row}, which is missing", "export the part again")
        held[row] = {child for child, _ in nodes[row].children}
        waiting |= held[row] - held.keys()
    try:
        return list(TopologicalSorter(held).static_order())
    except CycleError:
        raise BadInput(source, "its parts hold one another without end", "export the part again") from None


def _refuse_many(source: str, count: int, most: int, what: str) -> None:
    if count > most:
        shown = "over 10^18" if count >= _COUNTLESS else str(count)
        what = f"its copies add up to {shown} {what}, more than {most}"
        raise BadInput(source, what, "export one of them, and say how many")


MAX_TRIANGLES = 100_000_000
NO_COLOUR = -1


@dataclass(frozen=True, eq=False)
class ScenePiece:
    """One object of a file: vertices (n, 3) in the file's unit, triangles (m, 3) rows of them.

    rgb (m,) int32, packed red x 65536 + green x 256 + blue, NO_COLOUR for none; empty where the file has no colour.
    """

    name: str
    vertices: Floats
    triangles: Ints
    rgb: Ints = field(default_factory=lambda: np.empty(0, np.int32))


def body_of(
    path: Path, pieces: Sequence[ScenePiece], given: Unit | None, declared: Unit | None = None,
    notes: Sequence[Note] = (), placed: Placed | None = None,
) -> Body:  # fmt: skip
    """The pieces as one Body in mm, each where it stands; placed: None for each once, as its points are.

    Raises BadInput: nothing in them, a corner that is not there or not finite.
    """
    basis, unit_notes = decide_unit(given, declared)
    which = np.arange(len(pieces), dtype=np.int32) if placed is None else placed.piece
    sizes = np.array([len(piece.triangles) for piece in pieces], np.int64)
    kept = sizes[which] > 0 if len(sizes) else np.empty(0, np.bool_)
    if not kept.any():
        raise BadInput(path.name, "holds no triangle", "export the part as a solid or a mesh")
    for row in np.unique(which[kept]).tolist():
        _check(path, pieces[row])
    names = [piece.name for piece in pieces] if placed is None else placed.names
    matrices = None if placed is None else placed.matrix[kept]
    which, names = which[kept], [name for name, keep in zip(names, kept.tolist(), strict=True) if keep]
    vertices, triangles = _laid(pieces, which, matrices, basis.mm)
    solids, solid_of = _solids(names, sizes[which])
    colours, colour_of = _colours(pieces, which)
    return Body(
        path.stem, path.name, vertices, triangles, basis,
        solids=solids, solid_of_triangle=solid_of, colours=colours, colour_of_triangle=colour_of,
        notes=(*unit_notes, *(in_mm(note, basis.mm) for note in notes)),
    )  # fmt: skip


def _laid(pieces: Sequence[ScenePiece], which: Ints, matrices: Floats | None, mm: float) -> tuple[Floats, Ints]:
    """All points [mm] and triangles, piece after piece, all copies of one at once; mirrors keep the outside out."""
    points = np.array([len(piece.vertices) for piece in pieces], np.int64)
    corners = np.array([len(piece.triangles) for piece in pieces], np.int64)
    point_at, corner_at = (np.cumsum(count[which]) - count[which] for count in (points, corners))
    vertices = np.empty((int(points[which].sum()), 3))
    triangles = np.empty((int(corners[which].sum()), 3), np.int32)
    order = np.argsort(which, kind="stable")
    for copies in np.split(order, np.nonzero(np.diff(which[order]))[0] + 1):
        row = int(which[copies[0]])
        piece = pieces[row]
        put = (point_at[copies][:, None] + np.arange(points[row])).ravel()
        ring = piece.triangles[None] + point_at[copies][:, None, None]
        if matrices is None:
            vertices[put] = piece.vertices
        else:
            turned = matrices[copies]
            moved = np.einsum("nij,vj->nvi", turned[:, :3, :3], piece.vertices) + turned[:, None, :3, 3]
            vertices[put] = moved.reshape(-1, 3)
            mirrored = np.linalg.det(turned[:, :3, :3]) < 0
            ring[mirrored] = ring[mirrored][:, :, ::-1]
        triangles[(corner_at[copies][:, None] + np.arange(corners[row])).ravel()] = ring.reshape(-1, 3)
    if mm != 1.0:
        vertices *= mm
    return vertices, triangles


def _check(path: Path, piece: ScenePiece) -> None:
    where = f"{path.name}, {piece.name}" if piece.name else path.name
    outside = (piece.triangles < 0) | (piece.triangles >= len(piece.vertices))
    if outside.any():
        row, column = np.argwhere(outside)[0]
        what = f"uses point {piece.triangles[row, column]} where there are {len(piece.vertices)} (counted from 0)"
        raise BadInput(f"{where}, triangle {row + 1}", what, "export the part again")
    if not np.isfinite(piece.vertices.sum()):
        bad = np.logical_not(np.isfinite(piece.vertices).all(axis=1))
        used = np.nonzero(bad[piece.triangles].any(axis=1))[0]
        if len(used):
            what = f"a corner (point {int(np.nonzero(bad)[0][0]) + 1}) is not a finite number"
            raise BadInput(f"{where}, triangle {int(used[0]) + 1}", what, "export the part again")
        if bad.any():
            where = f"{where}, point {int(np.nonzero(bad)[0][0]) + 1}"
            raise BadInput(where, "a coordinate is not a finite number", "export the part again")


def _solids(given: Sequence[str], sizes: Ints) -> tuple[tuple[str, ...], Ints]:
    """Names made unique, and the piece of each triangle; nothing where a single piece has no name."""
    if len(given) == 1 and not given[0]:
        return (), np.empty(0, np.int32)
    names: dict[str, None] = {}
    uses: dict[str, int] = {}
    for number, each in enumerate(given, 1):
        base = name = each or f"solid-{number}"
        while name in names:
            uses[base] = uses.get(base, 1) + 1
            name = f"{base} ({uses[base]})"
        names[name] = None
    return tuple(names), np.repeat(np.arange(len(given), dtype=np.int32), sizes)


def _colours(pieces: Sequence[ScenePiece], which: Ints) -> tuple[tuple[tuple[int, int, int], ...], Ints]:
    if not any(len(pieces[row].rgb) and (pieces[row].rgb != NO_COLOUR).any() for row in np.unique(which).tolist()):
        return (), np.empty(0, np.int32)
    shades = [piece.rgb if len(piece.rgb) else np.full(len(piece.triangles), NO_COLOUR, np.int32) for piece in pieces]
    rgb = np.concatenate([shades[row] for row in which.tolist()])
    kinds, index = np.unique(rgb, return_inverse=True)
    if kinds[0] == NO_COLOUR:
        kinds, index = kinds[1:], index - 1
    colours = tuple((int(c) >> 16, int(c) >> 8 & 255, int(c) & 255) for c in kinds)
    return colours, index.astype(np.int32)


def packed(rgb: ArrayLike) -> Ints:
    """Colours (n, 3), 0 to 255, as one number each.

    >>> packed([[1, 2, 3]])
    array([66051], dtype=int32)
    """
    red, green, blue = np.clip(np.rint(np.asarray(rgb, float)), 0, 255).astype(np.int32).T
    return np.asarray((red << 16) | (green << 8) | blue)


def agreed(rgb_of_point: Ints, triangles: Ints) -> Ints:
    """The colour of each triangle whose three corners have the same one; NO_COLOUR for the others.

    >>> agreed(np.array([7, 7, 7, 8], np.int32), np.array([[0, 1, 2], [1, 2, 3]]))
    array([ 7, -1], dtype=int32)
    """
    a, b, c = rgb_of_point[triangles].T
    return np.where((a == b) & (b == c), a, NO_COLOUR).astype(np.int32)


def strip_triangles(strip: Ints) -> Ints:
    """The triangles of a strip of corners, all turned the same way, those without area left out.

    >>> strip_triangles(np.array([0, 1, 2, 3])).tolist()
    [[0, 1, 2], [2, 1, 3]]
    """
    rows = np.stack([strip[:-2], strip[1:-1], strip[2:]], axis=1).astype(np.int32)
    rows[1::2] = rows[1::2][:, [1, 0, 2]]
    a, b, c = rows.T
    return np.asarray(rows[(a != b) & (b != c) & (c != a)])
