"""Where bodies touch: facets that look at each other, the gap between their true surfaces, and how to close it.

Facets of round mates cross each other though the mates touch all over, and stand clear of each other though a pin fills
its bore. So the gap is taken between the surfaces that the facets lie on, and only then are the facets moved, as little
as makes them overlap where bodies touch and leaves them apart where there is play.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np

from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.measure_loops import normals
from areacalc.sources import Constant, Kind, Source
from areacalc.surface.contact_loops import overlaps
from areacalc.surface.features.fit import distances, gradients

CONTACT_GAP = Constant(1e-5, "mm", Source(Kind.DERIVED, "far thinner than any coating: no bath flows in it"))
REACH = Constant(0.02, "mm", Source(Kind.DERIVED, "two coatings of 25 um face to face, each growing a third of itself "
                                    "outward (21 to 40 %), shut it"))  # fmt: skip
_FACING = -0.5  # cosine between the normals of facets that look at each other
_MARGIN = 1.1  # on the distance between facets, since each is measured along its own normal
_ROUNDING = 1e-12  # of the smaller facet: no more than this, shared, is none
_TELLING = 1e-3  # of the smaller facet: less of it, shared, does not tell how the surfaces lie
_BLUNTEST = 0.1  # a corner sharper than this is not stretched further, so that no spike grows


@dataclass(frozen=True, eq=False)
class Facets:
    """Triangles of several bodies and what they lie on.

    points (p, 3) mm, each of one body; corners (k, 3); body_of (k,); patch_of (k,) into surfaces. sag_mm (k,): how far
    the true skin may lie off each facet; noise_mm: how far corners may be off; reach_mm: the widest gap that touches.
    """

    points: Floats
    corners: Ints
    body_of: Ints
    patch_of: Ints
    surfaces: Sequence[Surface]
    sag_mm: Floats
    noise_mm: float
    reach_mm: float

    @property
    def sure_mm(self) -> float:
        """Gaps no wider than this are none: CONTACT_GAP, or what rounding of the file's numbers leaves open."""
        return max(CONTACT_GAP.value, 4.0 * self.noise_mm)

    @cached_property
    def beside_mm(self) -> Floats:
        """The most of a facet's sag and of those that share a corner with it (k,): how far a rim of chords is off."""
        most = np.zeros(len(self.points))
        np.maximum.at(most, self.corners.ravel(), np.repeat(self.sag_mm, 3))
        return np.asarray(most[self.corners].max(axis=1))


class Seats(Enum):
    """What is made of bodies that meet along a line or in a point alone, such as a ball on the rim of a bore."""

    AS_DRAWN = 0
    CLOSED = 1
    OPENED = -1


@dataclass(frozen=True, eq=False)
class Mates:
    """Pairs of facets (p, 2) of different bodies that lie across from each other.

    area_mm2 (p,): what they share. between_mm (p, 2): the least and the most from facet to facet, negative where they
    have passed through each other. touch (p,): their surfaces lie on each other, or nearer than liquid can follow;
    sure (p,): by no more than the file's rounding, or pressed together; clear (p,): the surfaces stand clear of each
    other. seat (p,): they come so near in one place and part from there.
    """

    pairs: Ints
    area_mm2: Floats
    between_mm: Floats
    touch: Truths
    sure: Truths
    clear: Truths
    seat: Truths

    def doubtful_mm2(self, facets: Facets, facet_mm2: Floats) -> Floats:
        """The area of each facet (k,) that touches by more than rounding, or lies beside facets moved for that."""
        count = len(facet_mm2)
        sure, doubt = (
            summed(np.repeat(np.where(each, self.area_mm2, 0.0), 2), self.pairs.ravel(), count)
            for each in (self.sure, self.touch & ~self.sure)
        )
        moved = np.zeros(len(facets.points), bool)
        moved[facets.corners[doubt > 0]] = True
        beside = moved[facets.corners].any(axis=1)
        ring = facets.points[facets.corners]
        rim_mm2 = facets.reach_mm * np.linalg.norm(ring - np.roll(ring, 1, axis=1), axis=2).sum(axis=1) * beside
        doubt = np.where(beside & (facets.sag_mm > 0), facet_mm2 - sure, doubt + rim_mm2)
        return np.minimum(doubt, facet_mm2).clip(min=0.0)


def mates(facets: Facets, candidates: Ints) -> Mates:
    """Look at candidate pairs of facets (p, 2)."""
    normal, facet_mm2 = normals(facets.points, facets.corners)
    one, two = candidates.T
    facing = np.einsum("ij,ij->i", normal[one], normal[two]) < _FACING
    pairs = candidates[facing]
    pair, corner, area = _shared(facets, normal, pairs)
    one, two = pairs[pair].T
    here = np.zeros(len(pair))
    there = np.einsum("ij,ij->i", corner - facets.points[facets.corners[two, 0]], normal[two])
    between = _ends(there, pair, len(pairs))
    gap = _ends(_outside(facets, normal, one, corner, here) + _outside(facets, normal, two, corner, there), pair,
                len(pairs))  # fmt: skip
    smaller_mm2 = facet_mm2[pairs].min(axis=1)
    met = area > _ROUNDING * smaller_mm2
    free = np.array([s.kind is SurfaceKind.FREE_FORM for s in facets.surfaces], bool)[facets.patch_of]
    slack = facets.sure_mm + np.where(free, facets.sag_mm, 0.0)[pairs].sum(axis=1)
    sag = facets.sag_mm[pairs].sum(axis=1)
    # over a corner of a curved facet any gap is even, so such a corner does not show that surfaces lie on each other
    telling = (sag == 0.0) | (area > _TELLING * smaller_mm2)
    even = np.ptp(gap, axis=1) <= 2.0 * slack
    touch = met & telling & even & (np.abs(gap).max(axis=1) <= facets.reach_mm + slack)
    apart = np.where(free[pairs].any(axis=1), np.abs(gap).max(axis=1), gap[:, 1])  # what is pressed in has no gap
    sure = touch & (apart <= facets.sure_mm)
    clear = met & ~touch & (sag > 0) & (gap[:, 0] >= -facets.sure_mm) & (between[:, 0] >= -facets.sure_mm - sag)
    off = 2.0 * facets.beside_mm[pairs].sum(axis=1)  # facets meet at no more than 60 degrees: its tangent is under 2
    seat = met & ~touch & (gap[:, 0] <= facets.reach_mm + slack) & (gap[:, 0] >= -slack - off)
    kept = touch | clear | seat
    return Mates(pairs[kept], area[kept], between[kept], touch[kept], sure[kept], clear[kept], seat[kept])


def _shared(facets: Facets, normal: Floats, pairs: Ints) -> tuple[Ints, Floats, Floats]:
    """What pairs of facets share, seen along the normal of the first: corners (c, 3) on it, the pair of each corner
    (c,), and the area for each pair (p,)."""
    one, two = (facets.points[facets.corners[pairs[:, j]]] for j in range(2))
    u = one[:, 1] - one[:, 0]
    u = u / np.maximum(np.linalg.norm(u, axis=1, keepdims=True), 1e-300)
    v = np.cross(normal[pairs[:, 0]], u)
    flat = [np.stack([np.einsum("pkc,pc->pk", t - one[:, :1], axis) for axis in (u, v)], axis=2) for t in (one, two)]
    places, counts, area = overlaps(*flat)
    pair, corner = np.nonzero(np.arange(places.shape[1]) < np.where(area > 0.0, counts, 0)[:, None])
    place = places[pair, corner]
    return pair, one[pair, 0] + place[:, :1] * u[pair] + place[:, 1:] * v[pair], area


def _ends(value: Floats, pair: Ints, count: int) -> Floats:
    """The least and the most of the values of each pair (p, 2)."""
    out = np.stack([np.full(count, np.inf), np.full(count, -np.inf)], axis=1)
    np.minimum.at(out[:, 0], pair, value)
    np.maximum.at(out[:, 1], pair, value)
    out[np.bincount(pair, minlength=count) == 0] = 0.0
    return out


def _outside(facets: Facets, normal: Floats, row: Ints, place: Floats, flat_mm: Floats) -> Floats:
    """How far places lie outside the skin that facets `row` belong to: their round surface, or their own plane."""
    out = flat_mm.copy()
    patch = facets.patch_of[row]
    for p in np.unique(patch):
        surface = facets.surfaces[p]
        if surface.kind in (SurfaceKind.PLANE, SurfaceKind.FREE_FORM):
            continue
        mine = np.nonzero(patch == p)[0]
        away = np.einsum("ij,ij->", gradients(surface, place[mine]), normal[row[mine]])
        out[mine] = distances(surface, place[mine]) * (1.0 if away >= 0.0 else -1.0)
    return out


def moved(facets: Facets, met: Mates, least_mm: float, shared: Truths, seats: Seats) -> Floats:
    """The points moved so that facets which touch overlap by least_mm or more, and those clear of each other do not.

    shared (p,): points of edges that bodies share, where they overlap by a tenth of that.
    """
    need = np.full(len(facets.corners), -np.inf)
    spare = np.full(len(facets.corners), np.inf)
    least, most = met.between_mm.T * _MARGIN
    seat = met.seat & (seats is not Seats.AS_DRAWN)
    touch, clear = met.touch & (most > -least_mm), met.clear & ~seat & (least < least_mm)
    for j in range(2):
        np.maximum.at(need, met.pairs[touch, j], 0.5 * (most[touch] + least_mm))
        np.minimum.at(spare, met.pairs[clear, j], 0.5 * (least[clear] - least_mm))
    seated = met.pairs[seat].ravel()
    by_mm = 0.5 * facets.reach_mm + facets.beside_mm[seated]
    if seats is Seats.CLOSED:
        np.maximum.at(need, seated, by_mm)
    else:
        np.minimum.at(spare, seated, -by_mm)
    edge = np.where(shared[facets.corners].any(axis=1), 0.1 * least_mm, -np.inf)
    out = facets.points.copy()
    every = np.ones(len(out), bool)
    for far_mm, most, which in ((spare, np.minimum, every), (edge, np.maximum, shared), (need, np.maximum, every)):
        rows = np.isfinite(far_mm)
        step, used = _outward(facets.points, facets.corners[rows])
        far = np.full(len(out), np.inf if most is np.minimum else -np.inf)
        most.at(far, facets.corners[rows].ravel(), np.repeat(far_mm[rows], 3))
        used &= which
        out[used] = facets.points[used] + far[used, None] * step[used]
    return out


def _outward(points: Floats, corners: Ints) -> tuple[Floats, Truths]:
    """A step for each point (p, 3) that moves all these triangles' planes through it out by one or more; which have."""
    a, b, c = (points[corners[:, j]] for j in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    mean = np.zeros_like(points)
    ring = (a, b, c)
    for j in range(3):
        one, two = ring[(j + 1) % 3] - ring[j], ring[(j + 2) % 3] - ring[j]
        angle = np.arctan2(np.linalg.norm(np.cross(one, two), axis=1), (one * two).sum(axis=1))
        np.add.at(mean, corners[:, j], normal * angle[:, None])
    mean /= np.maximum(np.linalg.norm(mean, axis=1, keepdims=True), 1e-300)
    least = np.ones(len(points))
    for j in range(3):
        np.minimum.at(least, corners[:, j], (normal * mean[corners[:, j]]).sum(axis=1))
    used = np.zeros(len(points), bool)
    used[corners] = True
    return mean / least.clip(min=_BLUNTEST)[:, None], used
