"""What plugs shut in: skin that hangs together with the outside no more, whichever bores it is made of."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.fact import fact, quantity
from areacalc.shape.body import cross, extents_mm, summed
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.shape.mesh.boxes import near, within
from areacalc.shape.mesh.measure_loops import winding_number
from areacalc.shape.mesh.openings import lids
from areacalc.shape.mesh.topology import connected
from areacalc.shape.mesh.topology_loops import weld_rows
from areacalc.surface.arrangement import arranged
from areacalc.surface.bodies import bodies
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.regions import Truths
from areacalc.surface.skin import Arrangement, State, SurfaceMap
from areacalc.surface.split import Pieces, Plane, split

_SAME = 1e-9  # of the size: ends of cuts nearer than this are one point
_LEVEL = 1e-6  # of the size: rims nearer than this to one plane lie in it
_WHOLE = 1e-9  # shares this near to all or nothing are rounding
_DOUBTS = (SurfaceNote.GAP_CLOSED,)
_HOLLOW = 1e-9  # of the size cubed: less is flat


@dataclass(frozen=True, eq=False)
class ShutIn:
    """Pieces of the body's triangles (k,), cut where what plugs shut in ends; was (k,): the piece given that each is.

    shut (k,) bool: the bath does not reach it past the plugs. bare: of the skin that all bodies make up together, what
    plugs neither touch nor shut in.
    """

    pieces: Pieces
    was: Ints
    shut: Truths
    bare: Pieces
    notes: tuple[Note, ...]


def shut_in(skin: SurfaceMap, pieces: Pieces, planes: Sequence[Plane], touched: Callable[[Pieces], Truths]) -> ShutIn:
    """What plugs shut in of a skin cut along these planes. touched: which pieces of any skin they touch."""
    made = skin.arrangement or arranged(skin.body, bodies(skin.body.topology))
    every = split(Pieces(made.points[made.corners], made.parent), planes)
    plugged = touched(every)
    shut = _shut(every, plugged)
    share = _share(made, pieces, every, shut, planes)
    left = np.nonzero((share > _WHOLE) & (share < 1.0 - _WHOLE))[0]
    a, b, c = (pieces.corners[left, j] for j in range(3))
    middle = b + share[left, None] * (c - b)
    corners = np.concatenate([pieces.corners, np.stack([a, middle, c], axis=1)])
    corners[left] = np.stack([a, b, middle], axis=1)
    was = np.r_[np.arange(len(share)), left]
    found = Pieces(corners, pieces.parent[was])
    sealed = np.r_[share > _WHOLE, np.zeros(len(left), bool)]
    notes: tuple[Note, ...] = ()
    if sealed.any() and any(note.fact.kind in _DOUBTS for note in made.notes):
        alone = _shut(pieces, touched(pieces))  # by the plugs and each body's own walls
        notes = _by_contact(skin, found.only(sealed & ~alone[was]))
    return ShutIn(found, was, sealed, every.only(~plugged & ~shut), notes)


def _by_contact(skin: SurfaceMap, pieces: Pieces) -> tuple[Note, ...]:
    most = np.array([patch.area_mm2.high / max(patch.facet_area_mm2, 1e-300) for patch in skin.patches])
    more = float(pieces.area_mm2 @ most[skin.patch_of[pieces.parent]])
    told = fact(SurfaceNote.SHUT_BY_CONTACT, area=quantity(more, "mm2"))
    return (Note(told, True, more_mm2=more, cause="bodies that may not seal"),) if more else ()


def _share(made: Arrangement, pieces: Pieces, every: Pieces, shut: Truths, planes: Sequence[Plane]) -> Floats:
    """The share of each piece (k,) that is shut in; every: of what all bodies show, cut along the same planes."""
    out, rows = np.zeros(len(pieces.parent)), np.nonzero(np.isin(pieces.parent, every.parent[shut]))[0]
    if not len(rows):
        return out
    of = np.nonzero(np.isin(every.parent, pieces.parent[rows]))[0]
    mine, shown = pieces.only(rows), every.only(of)
    cells = [np.column_stack([p.parent, *(p.centre @ n > at for n, at in planes)]) for p in (mine, shown)]
    _, cell = np.unique(np.concatenate(cells), axis=0, return_inverse=True)
    own, other = np.split(cell, [len(rows)])
    count, triangles = int(cell.max()) + 1, int(mine.parent.max()) + 1
    open_mm2 = summed(mine.area_mm2, mine.parent, triangles)
    for dry in made.dry:
        open_mm2 *= 1.0 - dry.value[:triangles] if dry.state is State.HIDDEN else 1.0
    drawn_mm2 = summed(shown.area_mm2, shown.parent, triangles)  # facets that touch were moved a little
    scale = np.divide(open_mm2, drawn_mm2, out=np.zeros(triangles), where=drawn_mm2 > 0)
    sealed_mm2 = summed(shown.area_mm2 * scale[shown.parent] * shut[of], other, count)
    whole_mm2 = summed(mine.area_mm2, own, count)
    share = np.divide(sealed_mm2, whole_mm2, out=np.zeros(count), where=whole_mm2 > 0)
    out[rows] = share.clip(max=1.0)[own]
    return out


def _shut(pieces: Pieces, plugged: Truths) -> Truths:
    """Which pieces (k,) the bath does not reach past those that plugs touch.

    Of each shell the piece that reaches farthest stays outside. What plugs part from it is shut in where it lies round
    a hollow, or is a flat floor under a plug; a land in a plugged groove, level with its rim, is not.
    """
    found = np.zeros(len(plugged), bool)
    points, corners, sound = merged(pieces)
    rest = ~plugged[sound]
    left = sound[rest]
    if rest.all() or not rest.any():
        return found
    shell = _groups(corners, len(points))[corners[rest, 0]]
    corners = corners[rest]
    more, lid = lids(points, corners)
    label = _groups(np.concatenate([corners, _level(points, lid)]), len(points))
    part, count = label[corners[:, 0]], int(label.max()) + 1
    faces = more[np.concatenate([corners, lid])] - points.mean(axis=0)
    six_mm3 = np.einsum("ij,ij->i", faces[:, 0], cross(faces[:, 1], faces[:, 2]))
    part_of = np.r_[part, label[lid[:, 0]]]
    size = max(extents_mm(points))
    volume = summed(six_mm3, part_of, count) / 6.0 / size**3
    farthest = points[corners, 0].max(axis=1)
    order = np.argsort(farthest, kind="stable")  # the last of a shell is what is kept of it
    outer = np.zeros(int(shell.max()) + 1, np.int64)
    outer[shell[order]] = part[order]
    outside = outer[shell]
    turned, parted = np.sign(volume[outside]), part != outside
    shut = parted & (volume[part] * turned < -_HOLLOW)
    for flat in np.unique(part[parted & (np.abs(volume[part]) <= _HOLLOW)]).tolist():
        first = np.nonzero(part == flat)[0][0]
        a, b, c = faces[first]
        normal = np.cross(b - a, c - a) * turned[first]
        place = (a + b + c) / 3.0 + normal * (_LEVEL * size / max(float(np.linalg.norm(normal)), 1e-300))
        shut[part == flat] = abs(winding_number(faces[part_of == outside[first]], place)) > 0.5
    found[left] = shut
    return found


def lidded(bare: Pieces) -> tuple[Floats, Ints, Ints]:
    """The skin that plugs leave: points, corners, parents, with a lid over every mouth (parent -1)."""
    points, corners, kept = merged(bare)
    more, lid = lids(points, corners)
    parent = np.r_[bare.parent[kept], np.full(len(lid), -1)].astype(np.int32)
    return more, np.concatenate([corners, lid]), parent


def merged(pieces: Pieces) -> tuple[Floats, Ints, Ints]:
    """Points (n, 3), those nearer than rounding to one another as one, and the corners (s, 3) of the pieces that keep
    three of them, whose rows (s,) come with them."""
    points = np.ascontiguousarray(pieces.corners.reshape(-1, 3))
    index, first = weld_rows(points)
    unique = points[first]
    count, label = connected(len(unique), *near(unique, _SAME * max(extents_mm(unique))).T)
    made = np.empty((count, 3))
    made[label] = unique
    corners = label[index].reshape(-1, 3).astype(np.int32)
    a, b, c = corners.T
    sound = np.nonzero((a != b) & (b != c) & (c != a))[0]
    return made, corners[sound], sound


def _groups(corners: Ints, count: int) -> Ints:
    """The group of points that triangles hold together, for each of so many points."""
    return connected(count, corners[:, :2].ravel(), corners[:, 1:].ravel())[1]


def _level(points: Floats, lid: Ints) -> Ints:
    """A triangle (l, 3) from rim to rim wherever one lies in the plane of another and within its bounds."""
    loops = [np.unique(lid[lid[:, 2] == loop, :2]) for loop in np.unique(lid[:, 2])]
    slack = _LEVEL * max(extents_mm(points))
    low, high = (np.array([pick(points[loop], axis=0) for loop in loops]).reshape(-1, 3) for pick in (np.min, np.max))
    found = []
    for inner, outer in within(low, high, slack).tolist():
        rim = points[np.r_[loops[inner], loops[outer]]]
        if np.linalg.svd(rim - rim.mean(axis=0), compute_uv=False)[2] <= slack * np.sqrt(len(rim)):
            found.append([loops[inner][0], loops[outer][0], loops[outer][0]])
    return np.array(found, np.int32).reshape(-1, 3)
