"""A part's skin laid out to be drawn: triangles in groups of one feature and state, and the lines between patches."""

from dataclasses import dataclass

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.measure_loops import normals
from areacalc.surface.covering import STATES, Covering
from areacalc.surface.skin import DryShare, State, SurfaceMap, Vector

_EYE = (-0.54, 0.37, 0.76)  # whence every drawing of the part is first seen
_EYE_OF_STANDING = (-0.54, -0.76, 0.37)  # and of one that is longest along z, which stands
_CREASE_COS = 0.94  # faces that turn by 20 degrees or more from one patch to the next are parted by a line


@dataclass(frozen=True, slots=True)
class Group:
    """A run of triangles of one feature in one state."""

    feature: int
    state: State
    start: int
    count: int


@dataclass(frozen=True, eq=False)
class Picture:
    """points (p, 3) mm and corners (k, 3) rows of them, the groups one after the other; lines (e, 2, 3) mm.

    labels holds for every feature the point that its name is pinned to.
    """

    points: Floats
    corners: Ints
    groups: tuple[Group, ...]
    lines: Floats
    labels: tuple[Vector, ...]


def picture(skin: SurfaceMap, covering: Covering, dry: tuple[DryShare, ...] = ()) -> Picture:
    """The skin with the state of every piece; a triangle that is half dry or more is drawn dry."""
    parent = covering.pieces.parent
    state = covering.state.astype(np.int64)
    wet = state == STATES.index(State.WET)
    for share in dry:
        state[wet & (share.value[parent] >= 0.5)] = STATES.index(share.state)
    feature = skin.feature_of[parent].astype(np.int64)
    shown = np.nonzero(feature >= 0)[0]
    key = feature[shown] * len(STATES) + state[shown]
    order = shown[np.argsort(key, kind="stable")]
    keys, starts, counts = np.unique(np.sort(key), return_index=True, return_counts=True)
    groups = tuple(
        Group(int(k) // len(STATES), STATES[int(k) % len(STATES)], int(start), int(count))
        for k, start, count in zip(keys, starts, counts, strict=True)
    )
    uncut = len(parent) == len(skin.body.triangles)
    if uncut:
        points, corners = skin.body.vertices, skin.body.triangles[parent[order]]
    else:
        points = covering.pieces.corners[order].reshape(-1, 3)
        corners = np.arange(len(points), dtype=np.int32).reshape(-1, 3)
    return Picture(points, corners, groups, _lines(skin), _labels(skin))


def _lines(skin: SurfaceMap) -> Floats:
    """Edges where one patch meets another at an angle, or one feature another, or nothing."""
    mesh = skin.body.topology
    corners, across = mesh.corners, mesh.across
    patch, feature = skin.patch_of[mesh.triangle_of], skin.feature_of[mesh.triangle_of]
    own, edge = np.nonzero(across < np.arange(len(corners))[:, None])  # each pair once, open edges too
    other = across[own, edge]
    border = (other < 0) | (patch[own] != patch[other])
    own, edge, other = own[border], edge[border], other[border]
    normal, _ = normals(mesh.points, corners)
    turn = np.abs(np.einsum("ij,ij->i", normal[own], normal[other]))
    kept = (other < 0) | (turn < _CREASE_COS) | (feature[own] != feature[other])
    own, edge = own[kept], edge[kept]
    ends = np.stack([corners[own, edge], corners[own, (edge + 1) % 3]], axis=1)
    return np.asarray(mesh.points[ends])


def _labels(skin: SurfaceMap) -> tuple[Vector, ...]:
    """A bore's name stands at the mouth that the first look shows; any other at its corner furthest from the middle."""
    vertices, triangles = skin.body.vertices, skin.body.triangles
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    middle = 0.5 * (low + high)
    eye = _EYE_OF_STANDING if high[2] - low[2] >= np.max(high - low) else _EYE
    out: list[Vector] = []
    for index, feature in enumerate(skin.features):
        if feature.mouths:
            out.append(max(feature.mouths, key=lambda mouth: float(np.dot(mouth, eye))))
            continue
        own = vertices[triangles[skin.feature_of == index]].reshape(-1, 3)
        if not len(own):
            own = vertices
        far = own[np.argmax(np.abs(own - middle).sum(axis=1))]
        out.append((float(far[0]), float(far[1]), float(far[2])))
    return tuple(out)
