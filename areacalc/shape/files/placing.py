"""Pieces that a file places many times, through nodes that hold one another: counted first, then laid out at once."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Floats, Ints

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
