"""How the triangles hang together: welded corners, neighbours across edges, shells, and what is open.

Where more than two triangles meet in an edge, which two belong together, so that bodies that touch stay bodies.
"""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints, Truths
from areacalc.shape.mesh.rounding import rounding_mm
from areacalc.shape.mesh.topology_loops import join_some, label_pairs, pair_edges, weld_rows

_SLANT = np.array((0.8137246810397521, 0.4951603278914637, 0.3049268175390842))  # no two points lie as high along it
_SPREAD = np.array([int(f"{cell:b}", 8) for cell in range(256)])  # the bits of a number, three places apart
_SAME_ANGLE = 1e-9  # rad; two faces on the same plane differ by rounding alone, in single precision by more:
_CLEAR = 0.1  # rad; faces of two bodies on one curve are nearer, and either may come first
_WAITS = 8  # faces that bodies share: where there are more, nothing settles which is whose
_ROUNDINGS = 4.0  # that a corner may be off, in roundings of the file's numbers


@dataclass(frozen=True, eq=False)
class Topology:
    """The mesh welded at exactly equal points, triangles without area dropped, nothing else changed.

    Points and triangles stand in an order of their own, so that nothing depends on theirs in the file.

    points (p, 3) float64 mm; corners (k, 3) int32 rows of points; triangle_of (k,) int32, the row of Body.triangles
    each came from. across (k, 3) int32: the welded triangle across the edge from corner j to j+1, -1 where the edge
    is open; where more than two share it, the one on the other side of the same material (see settle), -1 if none.
    shell_of (k,) int32 in 0 .. shell_count-1, numbered by the first triangle. open_edges and crowded_edges (e, 2) int32
    rows of points: used once, and used more than twice.
    oriented: every edge of two triangles is run in opposite directions by them.
    """

    points: Floats
    corners: Ints
    triangle_of: Ints
    across: Ints
    shell_of: Ints
    shell_count: int
    open_edges: Ints
    crowded_edges: Ints
    oriented: bool
    dropped: int

    @property
    def closed(self) -> bool:
        return len(self.open_edges) == 0


def _order(points: Floats) -> Ints:
    """Distinct points (p, 3) in an order of their own, near ones near each other: by cells along a curve that fills
    space (G. M. Morton, "A computer oriented geodetic data base", IBM 1966), and in a cell along a slant."""
    if not len(points):
        return np.empty(0, np.int64)
    low = points.min(axis=0)
    size = max(float((points.max(axis=0) - low).max()), 1e-300)
    x, y, z = ((points - low) / size).T
    cell = _SPREAD[(255.0 * np.stack([x, y, z])).astype(np.int64)]
    slant = _SLANT[0] * x + _SLANT[1] * y + _SLANT[2] * z
    return np.argsort(cell[0] + 2 * cell[1] + 4 * cell[2] + 0.6 * slant, kind="stable")


def weld(points: Floats) -> tuple[Floats, Ints]:
    """The distinct rows of points (n, 3), in an order of their own, and which of them each row is (n,)."""
    index, first = weld_rows(np.ascontiguousarray(points))
    order = _order(points[first])
    place = np.empty(len(order), np.int32)
    place[order] = np.arange(len(order), dtype=np.int32)
    return points[first[order]] + 0.0, place[index]  # -0.0 is 0.0


def topology(vertices: Floats, triangles: Ints, solid_of_triangle: Ints) -> Topology:
    """Weld and connect triangles (m, 3), rows of vertices (n, 3) in mm.

    solid_of_triangle (m,): the solid each belongs to, which settles edges that more than two share; may be empty.
    """
    points, index = weld(vertices)
    corners = index[triangles]
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0].astype(np.int32)
    corners = corners[sound]
    first = corners.argmin(axis=1)
    a, b, c = (corners[np.arange(len(corners)), (first + turn) % 3] for turn in range(3))
    order = np.argsort((a.astype(np.int64) * len(points) + b) * len(points) + c, kind="stable")
    sound, corners = sound[order], np.stack([a[order], b[order], c[order]], axis=1)
    across, lone, crowded, oriented = pair_edges(corners, len(points))
    ends = _ends(corners, crowded)
    if len(crowded):
        solid_of = solid_of_triangle[sound] if len(solid_of_triangle) else solid_of_triangle
        settle(points, corners, across, ends, solid_of)
    label, count = join_some(across, across >= 0)
    return Topology(points, corners, sound, across, label, count, _ends(corners, lone), ends,
                    oriented, len(triangles) - len(sound))  # fmt: skip


def on_crowded_edges(mesh: Topology, corners: Ints) -> Truths:
    """Which edges of triangles (k, 3), rows of the mesh's points, more than two triangles share (k, 3)."""
    if not len(mesh.crowded_edges):
        return np.zeros(corners.shape, bool)
    width = np.array([len(mesh.points), 1])
    ends = np.sort(np.stack([corners, np.roll(corners, -1, axis=1)], axis=2), axis=2).astype(np.int64) @ width
    return np.isin(ends, np.sort(mesh.crowded_edges, axis=1).astype(np.int64) @ width)


def _ends(corners: Ints, half: Ints) -> Ints:
    """The two points of each half-edge (edge h % 3 of triangle h // 3): (e, 2)."""
    return np.stack([corners[half // 3, half % 3], corners[half // 3, (half + 1) % 3]], axis=1)


def settle(points: Floats, corners: Ints, across: Ints, crowded: Ints, solid_of: Ints) -> None:
    """Pair the half-edges on crowded edges in `across` (k, 3), in place; those that fit no other stay open.

    Two that are alone with their solid's name belong together, and two that hang together elsewhere: so a cavity that
    meets the outside along a line is not joined to it, nor a body to one whose edge it shares. Otherwise those belong
    together that have material between them. Edges where that leaves some over wait until others are paired: facets of
    round mates may pass through each other there, or a body inside out may share the face that it touches with.
    """
    flat = across.reshape(-1)
    lone = np.nonzero(flat < 0)[0]
    start, end = corners.ravel()[lone], np.roll(corners, -1, axis=1).ravel()[lone]
    low, high = np.minimum(start, end).astype(np.int64), np.maximum(start, end).astype(np.int64)
    key = low * len(points) + high
    wanted = np.isin(key, np.sort(crowded, axis=1).astype(np.int64) @ np.array([len(points), 1]))
    half, low, high, key, forward = lone[wanted], low[wanted], high[wanted], key[wanted], (start == low)[wanted]
    solid = solid_of[half // 3] if len(solid_of) else np.zeros(len(half), np.int32)
    edge = np.unique(np.stack([key, solid]), axis=1, return_inverse=True)[1]
    angle = _clustered(edge, *_angles(points, corners, half, low, high))

    def pair(one: Ints, two: Ints) -> None:
        flat[half[one]], flat[half[two]] = half[two] // 3, half[one] // 3

    def alone(left: Ints, names: Ints) -> Ints:
        """What is left when those are paired that are two of a name at their edge."""
        name = np.unique(np.stack([edge[left], names[half[left] // 3]]), axis=1, return_inverse=True)[1]
        two = (np.bincount(name) == 2)[name] & (np.bincount(name, weights=forward[left]) == 1)[name]
        own = left[two][np.argsort(name[two], kind="stable")]
        pair(own[forward[own]], own[~forward[own]])
        return np.asarray(left[~two])

    (clear, twice), waits = _apart(edge, angle, forward), _WAITS
    left = alone(np.arange(len(half)), _layer(corners, half // 3))
    while len(left):
        piece, _ = join_some(across, across >= 0)
        before, left = len(left), alone(left, piece)
        whose = np.where(forward, -1, 1) * piece[half // 3]  # the same of two faces on each other everywhere
        one, two = _with_material_between(left, edge[left], forward[left], angle[left], whose[left])
        whole = 2 * np.bincount(edge[one], minlength=len(half)) == np.bincount(edge[left], minlength=len(half))
        if (whole & clear)[edge[left]].any():
            whole &= clear
        pair(one[whole[edge[one]]], two[whole[edge[one]]])
        left = left[~whole[edge[left]]]
        if len(left) < before:
            continue
        shared = edge[one][twice[edge[one]]][:1] if waits else edge[:0]  # taken by itself, for it settles others
        here = np.isin(edge[one], shared) | (len(shared) == 0)
        pair(one[here], two[here])
        left = np.setdiff1d(left, np.r_[one[here], two[here]]) if len(shared) else left[:0]
        waits -= 1


def _apart(edge: Ints, angle: Floats, forward: Truths) -> tuple[Truths, Truths]:
    """At which edges (as many as halves) all faces leave clearly apart or together, and where two leave as one."""
    clear, twice = np.ones(len(edge), bool), np.zeros(len(edge), bool)
    order = np.lexsort((forward, angle, edge))
    at, gap, way = edge[order], np.diff(angle[order]), np.diff(forward[order].astype(np.int8))
    same = np.diff(at) == 0
    clear[at[1:][same & (gap > 0.0) & (gap < _CLEAR)]] = False
    twice[at[1:][same & (gap == 0.0) & (way == 0)]] = True
    return clear, twice


def _layer(corners: Ints, rows: Ints) -> Ints:
    """For each triangle (k,) of `rows` how many before it have its corners in the same turn; 0 for all others."""
    out, own = np.zeros(len(corners), np.int32), np.unique(rows)
    turned = np.argmin(corners[own], axis=1)
    key = corners[own][np.arange(len(own))[:, None], (turned[:, None] + np.arange(3)) % 3]
    _, same = np.unique(key, axis=0, return_inverse=True)
    order = np.argsort(same, kind="stable")
    first = np.searchsorted(same[order], same[order])
    out[own[order]] = np.arange(len(own)) - first
    return out


def _with_material_between(half: Ints, group: Ints, forward: Truths, angle: Floats, whose: Ints
                           ) -> tuple[Ints, Ints]:  # fmt: skip
    """Half-edges that belong together: going round the edge from a triangle into its material, the next faces back."""
    # a triangle run backward has its material where angles grow, so at one angle it comes after one run forward
    order = np.lexsort((whose, ~forward, angle, group))
    _, first, at, size = np.unique(group[order], return_index=True, return_inverse=True, return_counts=True)
    here = np.arange(len(order))
    following = np.where(here + 1 < (first + size)[at], here + 1, first[at])
    pair = ~forward[order] & forward[order[following]]
    return half[order[pair]], half[order[following[pair]]]


def _clustered(group: Ints, angle: Floats, slack: Floats) -> Floats:
    """Angles with those of one group that differ by no more than their slack made equal."""
    order = np.lexsort((angle, group))
    sorted_angle, sorted_slack = angle[order], slack[order]
    apart = (np.diff(group[order]) != 0) | (np.diff(sorted_angle) > sorted_slack[1:] + sorted_slack[:-1])
    first = np.nonzero(np.r_[True, apart])[0]
    out = np.empty(len(angle))
    out[order] = np.repeat(sorted_angle[first], np.diff(np.r_[first, len(order)]))
    return out


def _angles(points: Floats, corners: Ints, half: Ints, low: Ints, high: Ints
            ) -> tuple[Floats, Floats]:  # fmt: skip
    """The angle [rad] at which each triangle leaves its edge, seen along the edge from its lower point, and its slack:
    how far rounding of the corners may have turned it."""
    along = points[high] - points[low]
    length = np.linalg.norm(along, axis=1, keepdims=True)
    along /= length
    least = np.eye(3)[np.abs(along).argmin(axis=1)]
    u = np.cross(along, least)
    u /= np.linalg.norm(u, axis=1, keepdims=True)
    v = np.cross(along, u)
    arm = points[corners[half // 3, (half + 2) % 3]] - points[low]
    x, y = (arm * u).sum(axis=1), (arm * v).sum(axis=1)
    rounding = _ROUNDINGS * rounding_mm(points)
    slack = np.maximum(_SAME_ANGLE, np.minimum(rounding / np.maximum(np.hypot(x, y), 1e-300), 0.1))
    angle = np.arctan2(y, x)
    return np.where(angle >= np.pi - slack, -np.pi, angle), slack


def connected(count: int, one: Ints, two: Ints) -> tuple[int, Ints]:
    """How many groups `count` things make up, and (count,) which one each is in, numbered by first member.

    one, two (p,): the rows of the things that hang directly together.

    >>> groups, label = connected(4, np.array([3]), np.array([0]))
    >>> groups, label.tolist()
    (3, [0, 1, 2, 0])
    """
    label, groups = label_pairs(count, np.asarray(one, np.int64), np.asarray(two, np.int64))
    return groups, label
