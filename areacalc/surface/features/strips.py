"""Cones and cylinders that may be strips of a curved wall drawn coarsely: a barrel, an ogive, a rounding in few strips.

All corners lie on the true wall, so its half section runs through the ends of the strips. Either it is the strips
themselves, or the arcs that bend through their ends: through two neighbouring strips goes one circle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from areacalc.fact import fact, quantity
from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Note, SurfaceKind, Truths
from areacalc.surface.features.border import Borders
from areacalc.surface.features.fit import turns
from areacalc.surface.features.flats import COARSER, SMOOTH_RAD, as_chords, off_arc, rings_round
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.notes import SurfaceNote

LEAST_BEND_RAD = 1e-3
STEEPEST_RAD, PENTAGON_RAD = math.radians(50.0), math.radians(73.0)
"""How far bands bend into each other at most, and how far as the sides of an even polygon, five to a turn."""
LEAN_RAD = 0.25  # how far a coarse ring's facets turn off the bend of its half section
PARALLEL = 1e-5
SIZES = 4.0  # bands of one curve differ in length and in area by less than this many times
SAME, ALIKE = 1.05, 2.5
"""Bends that differ by less are those of one arc; of one smooth curve, where three or more follow each other."""
DIAGONAL = 1.6
"""Of an edge: a mesh of edges of one length has none longer, with room for those that cut its squares."""
SPREAD = 0.1
"""Of what the arc adds: how far another smooth curve through the same ends may be off it."""
FEW, TANGENT = 3, 0.75
"""So many chords of an arc may be drawn as cones, unless the wall bends by less than this share of their turn at an
end."""
NOTED = 2e-3  # of the area: what the other reading must make for a note


@dataclass(frozen=True)
class Arcs:
    """What patches (p,) gain if the wall bends through the ends of the strips [mm2]: likely, least and most.

    likely is 0 where the strips themselves are the likelier reading; least and most hold both readings. curved, drawn:
    how many bands were read so or so, and what the other reading would add [mm2].
    """

    likely: Floats
    least: Floats
    most: Floats
    curved: tuple[int, float]
    drawn: tuple[int, float]

    def notes(self) -> tuple[Note, ...]:
        """Which reading was taken, where the corners allow two."""
        read = (SurfaceNote.READ_AS_CURVE, *self.curved), (SurfaceNote.READ_AS_CONES, *self.drawn)
        return tuple(
            Note(fact(kind, bands=bands, apart=quantity(abs(more_mm2), "mm2"), more=int(more_mm2 > 0.0)))
            for kind, bands, more_mm2 in read
            if bands
        )


def arcs(cut: PatchCut, area: Floats) -> Arcs:
    """Which patches may be strips of a curved wall, and what that would add; area (p,) is that of the strips."""
    strips = Bands.of(cut, area)
    bend, beyond, steep = strips.bends(cut.edge)
    even = strips.as_long(beyond, 8.0 * cut.mesh.noise_mm)
    with np.errstate(invalid="ignore"):
        same = np.abs(bend[:, 0] - bend[:, 1]) <= (SAME - 1.0) * np.abs(bend[:, 0])
    regular = even.all(axis=1) & same
    regular = regular[:, None] | (regular[beyond] & (beyond >= 0))
    steep &= ~regular
    bend[steep], beyond[steep] = np.nan, -1
    coarse, pair = strips.as_coarse(cut.edge, bend, beyond)
    turned = np.fmax(*np.abs(_turn(strips.length_mm[:, None], bend)).T)
    polygon = regular.any(axis=1) & (turned > SMOOTH_RAD)
    smooth = _smooth(bend, beyond, coarse & even, polygon)
    gain = strips.gain(bend)
    known = smooth.any(axis=1)
    with np.errstate(invalid="ignore"):
        one, two = (np.where(smooth[:, i], gain[:, i], gain[:, 1 - i]) for i in (0, 1))
        one, two = (np.where(known, x, 0.0) for x in (one, two))
        # an S through the ends crosses its chord; of two unlike bends the lesser tells more
        likely = np.where(one * two > 0, np.sign(one) * np.sqrt(np.abs(one * two)), 0.0)
    most, least = np.fmax(np.fmax(*gain.T), 0.0), np.fmin(np.fmin(*gain.T), 0.0)
    both = np.isfinite(bend[:, 0]) & np.isfinite(bend[:, 1])
    alone = ((coarse & even) | pair) & np.isfinite(bend)
    follows = both | np.any(alone | (both[beyond] & (beyond >= 0)), axis=1)
    doubtful = _doubtful(cut, strips.strip, area)
    inside = known | follows | (doubtful > 0)
    margin = SPREAD * np.abs(likely)
    least = np.where(inside, np.minimum(least, likely - margin), 0.0)
    most = np.where(inside, np.maximum(most, likely + margin), 0.0)
    other = np.where(~known & follows & (polygon | (turned <= SMOOTH_RAD)), np.where(most > -least, most, least), 0.0)
    other *= np.abs(other).sum() > NOTED * float(area.sum())
    chords, straight = _of_few_chords(cut, area)
    curved = int((likely != 0).sum() + chords.sum()), float(straight.sum() - likely.sum())
    most = np.maximum(np.maximum(most, straight), np.where(known, 0.0, doubtful))
    return Arcs(likely, least, most, curved, (int((other != 0).sum()), float(other.sum())))


def _of_few_chords(cut: PatchCut, area: Floats) -> tuple[Ints, Floats]:
    """The chords of tori (p,) that may as well be so many cones, and what those have more of [mm2].

    A rounding runs gently into what lies beside it; a barrel in two or three chords need not.
    """
    chords, more = np.zeros(len(area), np.int32), np.zeros(len(area))
    bend = np.abs(cut.edge.bend)
    for p, surface in enumerate(cut.surfaces):
        if surface.kind is not SurfaceKind.TORUS:
            continue
        big, small = surface.radius_mm, surface.minor_radius_mm
        tube = turns(surface, cut.points(p))[1]
        rings = rings_round(tube, 32.0 * cut.mesh.noise_mm / small)
        half, middle = 0.5 * np.diff(rings), 0.5 * (rings[1:] + rings[:-1])
        if len(half) > FEW or (bend[cut.edge.patch == p] <= TANGENT * 2.0 * half.max(initial=0.0)).any():
            continue
        arcs_mm2 = half * big + small * np.sin(half) * np.cos(middle)  # Pappus and Guldinus, both over 4 pi small
        cones_mm2 = np.sin(half) * (big + small * np.cos(half) * np.cos(middle))
        chords[p], more[p] = len(half), area[p] * (cones_mm2.sum() / arcs_mm2.sum() - 1.0)
    return chords, more


@dataclass(frozen=True)
class Bands:
    """The cones and cylinders among patches (p,): slant length and mean radius [mm], half angle [rad], area [mm2]; and
    the flat rings (flat) that lie square to the axis of those beside them, as cones of -90 degrees.

    outward (p,): +1 where the wall faces away from its axis, -1 in a bore. point, axis (p, 3): where the axis runs.
    """

    strip: Truths
    flat: Truths
    point: Floats
    axis: Floats
    length_mm: Floats
    radius_mm: Floats
    half_angle_rad: Floats
    outward: Floats
    area_mm2: Floats
    middle_mm: Floats

    @classmethod
    def of(cls, cut: PatchCut, area: Floats) -> Bands:
        edge, count = cut.edge, len(cut.surfaces)
        strip, flat = cut.are(SurfaceKind.CONE, SurfaceKind.CYLINDER), cut.are(SurfaceKind.PLANE)
        axis, point = np.array([s.direction for s in cut.surfaces]), np.array([s.point for s in cut.surfaces])
        angle = np.array([s.half_angle_rad if s.kind is SurfaceKind.CONE else 0.0 for s in cut.surfaces])
        own, other = edge.patch, edge.beside
        square = np.abs(np.einsum("bk,bk->b", axis[own], axis[other])) > 1.0 - PARALLEL
        square &= edge.inner & strip[other]
        flat &= np.bincount(own[~square], minlength=count) == 0
        on = flat[own]
        foot = point[other[on]] - point[own[on]]
        point[own[on]] += foot - np.einsum("bk,bk->b", foot, axis[own[on]])[:, None] * axis[own[on]]
        ends = edge.places - point[own][:, None]
        height = np.einsum("bik,bk->bi", ends, axis[own])
        off = ends - height[:, :, None] * axis[own][:, None]
        reach = np.where(on[:, None], np.linalg.norm(off, axis=2), height)
        low, high = np.full(count, np.inf), np.full(count, -np.inf)
        np.minimum.at(low, own, reach.min(axis=1))
        np.maximum.at(high, own, reach.max(axis=1))
        strip, flat = strip & (high > low), flat & (high > low)
        low, high = np.where(strip | flat, low, 0.0), np.where(strip | flat, high, 1.0)
        middle = 0.5 * (low + high)
        radius = np.array([s.radius_mm for s in cut.surfaces]) + np.where(flat, 1.0, np.tan(angle)) * middle
        facing = summed(np.einsum("bk,bk->b", off[:, 0], cut.mesh.normal[edge.triangle]), own, count)
        return cls(
            strip, flat, point, axis, (high - low) / np.cos(angle), np.maximum(radius, 1e-9),
            np.where(flat, -0.5 * math.pi, angle), np.where(flat, 1.0, np.sign(facing)), area,
            np.where(flat, 0.0, middle),
        )  # fmt: skip

    def bends(self, edge: Borders) -> tuple[Floats, Ints, Truths]:
        """One over the radius of the circle through a strip and its neighbour at either end [1/mm], the patch that
        follows there, and whether they are an arc only as sides of an even polygon, (p, 2) each.

        Positive where the wall is convex there, NaN and -1 where no strip of the same axis follows with a gentle bend.
        """
        count = len(self.strip)
        found, beyond = np.full((count, 2), np.nan), np.full((count, 2), -1, np.int32)
        sharp, band = np.zeros((count, 2), bool), self.strip | self.flat
        rows = np.nonzero(edge.inner & band[edge.patch] & band[edge.beside])[0]
        rows = rows[self.strip[edge.patch[rows]] | self.strip[edge.other[rows]]]
        if len(rows) == 0:
            return found, beyond, sharp
        axis, point = self.axis, self.point
        own, other = edge.patch[rows], edge.other[rows]
        ends = edge.places[rows] - point[own][:, None]
        height = np.einsum("bik,bk->bi", ends, axis[own])
        length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
        along = np.einsum("bk,bk->b", axis[own], axis[other])
        apart = point[other] - point[own]
        apart -= np.einsum("bk,bk->b", apart, axis[own])[:, None] * axis[own]
        close = 16.0 * edge.mesh.noise_mm + 1e-3 * np.minimum(self.radius_mm[own], self.radius_mm[other])
        ring = (np.abs(along) > 1.0 - PARALLEL) & (np.linalg.norm(apart, axis=1) <= close)
        ring &= np.abs(height[:, 1] - height[:, 0]) <= 0.1 * length
        turn = np.abs(self.half_angle_rad[own] - np.sign(along) * self.half_angle_rad[other])
        back = self.flat[own] | self.flat[other] | (turn > 0.5 * math.pi)  # the half section turns back along the axis
        turn = np.where(back, np.minimum(turn, math.pi - turn), turn)
        ring &= (turn > np.where(back, SMOOTH_RAD, LEAST_BEND_RAD / 4.0)) & (turn <= PENTAGON_RAD)
        steep = back | (turn > STEEPEST_RAD)
        ring &= ~steep | (np.abs(np.abs(edge.bend[rows]) - turn) <= LEAN_RAD)
        one, two = self.length_mm[own], self.length_mm[other]
        ring &= (one <= SIZES * two) & (two <= SIZES * one)  # else a rounding runs out into a straight wall
        bend = 2.0 * np.sin(turn) / np.sqrt(one * one + two * two + 2.0 * one * two * np.cos(turn))
        # by the half section: facets of staggered rings bend inward even where the wall is convex
        up = np.einsum("bk,bk->b", point[other] - point[own], axis[own]) + along * self.middle_mm[other]
        lean = self.half_angle_rad[own]
        proud = (self.radius_mm[other] - self.radius_mm[own]) * np.cos(lean) - (up - self.middle_mm[own]) * np.sin(lean)
        bend *= -np.sign(proud) * self.outward[own]
        off = np.linalg.norm(ends[:, 0] - height[:, :1] * axis[own], axis=1) > self.radius_mm[own]
        side = np.where(self.flat[own], off, height.mean(axis=1) > self.middle_mm[own]).astype(int)
        for row in np.nonzero(ring)[0][np.argsort(length[ring], kind="stable")]:
            found[own[row], side[row]] = bend[row]
            beyond[own[row], side[row]] = other[row]
            sharp[own[row], side[row]] = steep[row]
        return found, beyond, sharp

    def as_coarse(self, edge: Borders, bend: Floats, beyond: Ints) -> tuple[Truths, Truths]:
        """Whether the part's circles are cut as coarsely as an arc through the ends of a strip would be (p, 2), and as
        that arc in two unlike chords, this strip and the one beyond, where one chord would have been too coarse.

        An exporter keeps one limit: how far a chord lies off its arc, how far it turns, or how long any edge is.
        Chamfers at both ends of a short bore lie on a circle too, but on one cut far more coarsely than the rims.
        """
        if not np.isfinite(bend).any():
            return np.zeros(bend.shape, bool), np.zeros(bend.shape, bool)
        rim = self.strip[edge.patch]
        chord = edge.length_mm[rim]
        radius = np.maximum(self.radius_mm[edge.patch[rim]], 0.5 * chord)
        larger = 1.0 / np.maximum(np.abs(bend) * radius.max(), 1e-12)  # the turn alone is limited
        limit = off_arc(chord, _turn(chord, 1.0 / radius)).max() * np.maximum(1.0, larger)
        one, two = self.length_mm[:, None], self.length_mm[beyond]
        own, longer, whole = (off_arc(x, _turn(x, bend)) for x in (one, np.maximum(one, two), one + two))
        found = np.asarray(own <= COARSER * limit, bool)
        asked = np.isfinite(bend) & ~found & (one <= DIAGONAL * chord.max())
        if asked.any():
            three = edge.mesh.points[edge.mesh.corners]
            longest = float(np.linalg.norm(three - three[:, [1, 2, 0]], axis=2).max())
            found |= asked & (one <= longest) & (longest <= DIAGONAL * chord.max())
        return found, np.asarray((longer <= COARSER * limit) & (whole > limit))

    def as_long(self, beyond: Ints, rounding_mm: float) -> Truths:
        """Whether a strip and the one beyond either end are as long as chords of one arc would be (p, 2)."""
        length, along = self.length_mm, self.length_mm * np.cos(self.half_angle_rad)
        return as_chords(length[:, None], length[beyond], along[:, None], along[beyond], rounding_mm)

    def gain(self, bend: Floats) -> Floats:
        """What a strip gains as the arc of that bend [1/mm] through its ends, turned about the axis [mm2].

        Pappus and Guldinus: the length of the arc times the way of its centroid.
        """
        chord, radius = self.length_mm[:, None], self.radius_mm[:, None]
        size = np.maximum(np.abs(bend), 1e-12)
        half = np.arcsin(np.minimum(size * chord / 2.0, 1.0))
        tiny = half < 1e-4
        safe = np.where(tiny, 1.0, half)
        longer = np.where(tiny, 1.0 + half * half / 6.0, safe / np.sin(safe))
        rise = np.where(tiny, size * chord * chord / 12.0, (np.sin(safe) / safe - np.cos(safe)) / size)
        out = np.sign(bend) * (self.outward * np.cos(self.half_angle_rad))[:, None] * rise
        return np.asarray(self.area_mm2[:, None] * (longer * (1.0 + out / radius) - 1.0))


def _turn(chord_mm: Floats, bend: Floats) -> Floats:
    """How far the arc of a chord turns [rad] that bends by so much [1/mm]."""
    return np.asarray(2.0 * np.arcsin(np.minimum(0.5 * chord_mm * np.abs(bend), 1.0)))


def _smooth(bend: Floats, beyond: Ints, as_coarse: Truths, polygon: Truths) -> Truths:
    """The ends of strips (p, 2) whose bend tells how the strip bends, where a smooth curve is likelier than cones.

    Two bends alike within a few hundredths are one arc. Where some are roughly alike they are a curve: a strip of it
    bends as its two ends do in the mean. Three strips alone, and sides of an even
    polygon (p,), are one only where circles are cut as coarsely.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = bend[:, 0] / bend[:, 1]
        unlike = np.where(ratio < 1.0, 1.0 / ratio, ratio)
    land = _land(bend, beyond)
    coarse = as_coarse.all(axis=1)
    follows = np.asarray((unlike > 0) & (unlike <= ALIKE) & ~land, bool)
    follows &= coarse | ((follows[beyond] & (beyond >= 0)).any(axis=1) & ~polygon)
    fits = follows & (unlike <= SAME)
    exact = _across(np.stack([fits, fits], axis=1), beyond)
    arc = exact.any(axis=1)
    alike = follows & ~arc
    curve = _across(np.stack([alike, alike], axis=1), beyond).any(axis=1) & ~arc
    return exact | (np.stack([curve, curve], axis=1) & np.isfinite(bend))


def _land(bend: Floats, beyond: Ints) -> Truths:
    """Straight strips (p,) between two roundings: both neighbours bend much more at their far ends."""
    more = np.ones(len(bend), bool)
    for side in (0, 1):
        other = beyond[:, side]
        far = np.where(beyond[other, 0] == np.arange(len(bend)), bend[other, 1], bend[other, 0])
        with np.errstate(invalid="ignore"):
            more &= (other >= 0) & (np.abs(far) > ALIKE * np.abs(bend[:, side]))
    return more


def _across(ends: Truths, beyond: Ints) -> Truths:
    """Ends that are marked, or whose strip beyond is marked at the border they share."""
    found = ends.copy()
    for side in (0, 1):
        there = np.nonzero(beyond[:, side] >= 0)[0]
        other = beyond[there, side]
        for way in (0, 1):
            back = beyond[other, way] == there
            found[there[back], side] |= ends[other[back], way]
    return found


def _doubtful(cut: PatchCut, strip: Truths, area: Floats) -> Floats:
    """How much larger the area may be where a cone or cylinder is one of few strips of a rounding (p,) [mm2].

    Such a strip bends the same way into a neighbour of about its own size on either side, gently on one side at least
    (a rounding drawn in two strips turns by a quarter, a half and a quarter of itself). Its arc is longer than the
    chord by turn2 / 24 and lies further out by at most turn2 / 12 (radius of the rounding no more than its distance
    from the axis); a sixth of the greater turn squared holds both.
    """
    edge, count = cut.edge, len(cut.surfaces)
    free, angle = cut.are(SurfaceKind.TORUS, SurfaceKind.SPHERE), edge.bend
    axis, other = np.array([s.direction for s in cut.surfaces]), edge.beside
    along = np.abs(np.einsum("bk,bk->b", axis[edge.patch], axis[other])) > 1.0 - 1e-3
    inner = edge.inner & strip[edge.patch] & ~free[other] & (along | ~strip[other])  # bores may meet askew
    bends = inner & (np.abs(angle) > LEAST_BEND_RAD) & (np.abs(angle) <= STEEPEST_RAD)
    most, sides, gentle, beside = np.zeros(count), np.zeros((2, count), int), np.zeros(count, bool), np.zeros(count)
    np.maximum.at(most, edge.patch[bends], np.abs(angle[bends]))
    np.maximum.at(beside, edge.patch[bends], area[edge.other[bends]])
    gentle[edge.patch[bends & (np.abs(angle) <= SMOOTH_RAD)]] = True
    for row, way in enumerate((bends & (angle > 0), bends & (angle < 0))):
        pairs, _ = edge.pairs(np.nonzero(way)[0])
        np.add.at(sides[row], pairs[:, 0], 1)
    found = strip & (sides.max(axis=0, initial=0) >= 2) & gentle & (area <= SIZES * beside)
    return np.where(found, area * most**2 / 6.0, 0.0)
