"""Free-form skin drawn in facets: what a smooth skin through the same corners would have more or less of."""

import math

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Floats, Ints, SurfaceKind, Truths
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.flats import SMOOTH_RAD, inner_corner
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.smooth_loops import bulge, corner_normals

BECAUSE = "free-form faces drawn in flats"
FEWEST = 12  # triangles below which a patch tells nothing of how it curves
FINE = 1e-4  # of the area: what lies between facets and skin is too little to look into
SWEEPS = 8
SAMPLE = 20_000  # triangles of a large patch that tell whether it is noise
ROUGH = 0.01
"""Where normals miss their edges by more than this of how far they turn, the skin is noise, or its facets are meant."""
MOST, MOST_BULGE = 0.5, 2.0
"""Of the area times its bend squared: what facets that stand may hide, and what skin between their corners may gain,
whatever normals at long slivers say."""
SPREAD = 0.15  # of the gain: how far the skin between the corners may lie off the one through them
CREASE_RAD = 1.0
"""A bend inside a patch that is larger is a crease: where a leg meets a bar, and skin goes on round the corner."""
LARGEST_RIM = 0.1  # of the area: what a ring of ten chords leaves out is 7 %
SADDLE = 6.0
"""Facets of a saddle stand proud of it by up to this share of their area times bend squared."""
STEEPEST_RAD = 1.2  # what crumbs beside the tip of a round surface bend by at most
SIZES = 4.0
"""Chords of one curve, and flats of one skin, differ in size by less than this many times. Where chords do not, or turn
by more than flats of a round surface do, the border has a corner."""
COARSEST_RAD = math.radians(15.0)
"""Flats that turn by more and lie all round none of their corners are meant: chamfers, and the corners they meet in."""


def free_areas(cut: PatchCut, free: Truths, bend: Floats) -> tuple[dict[int, Estimate], Floats]:
    """The areas of the free-form patches [mm2], and what their borders leave out of flats beside them (p,) [mm2].

    bend (p,): the sum of facet area times bend squared. Smooth skin is measured as such; where facets are noise or very
    fine they stand, and the bounds hold chords that are short by about a twelfth of the turn squared, or, as slivers
    turn less than the skin, by a few times that.
    """
    skin, facet = cut.mesh, cut.facet_mm2
    areas, smooth, gained = {}, np.zeros(len(facet), bool), np.zeros(len(facet))
    inner = (skin.across >= 0) & (cut.patch_of[np.maximum(skin.across, 0)] == cut.patch_of[:, None])
    inner &= np.abs(skin.angle) <= CREASE_RAD
    proud = _saddles(cut, inner) / SADDLE
    for p in np.nonzero(free)[0].tolist():
        areas[p] = Estimate(facet[p], facet[p] - max(bend[p] / 12.0, proud[p]), facet[p] + MOST * bend[p], (BECAUSE,))
        rows = cut.rows(p)
        if len(rows) < FEWEST or bend[p] <= FINE * facet[p]:
            continue
        if bend[p] >= COARSEST_RAD**2 * facet[p] and not inner_corner(skin.corners[rows], skin.flat_of[rows]):
            continue
        if len(rows) > 2 * SAMPLE and _bulge(skin, rows[:SAMPLE], inner) is None:
            continue
        gain = _bulge(skin, rows, inner)
        if gain is not None and abs(gain) <= MOST_BULGE * bend[p]:
            smooth[p], gained[p] = True, gain
    while True:
        curve = _borders(cut, smooth, free & ~smooth)
        wrong = smooth & (np.abs(curve) > LARGEST_RIM * facet)
        if not wrong.any():
            break
        smooth &= ~wrong  # nor does what lies beside it gain by their border
    for p in np.nonzero(smooth)[0].tolist():
        gain = gained[p] + curve[p]
        spread = SPREAD * (abs(gained[p]) + abs(curve[p])) + bend[p] / 24.0
        ends = (-proud[p], gain - spread, gain + spread)
        areas[p] = Estimate(facet[p] + gain, facet[p] + min(ends), facet[p] + max(ends), (BECAUSE,))
    flat = np.array([not s.radius_mm for s in cut.surfaces], bool) & ~free
    return areas, np.where(flat, curve, 0.0)


def _saddles(cut: PatchCut, inner: Truths) -> Floats:
    """The facets' area times their bend squared, of the way that they bend the less, of each patch (p,): all of it
    where skin is a saddle, none where it is a dome [mm2]."""
    bend = np.where(inner, cut.mesh.angle, 0.0)
    ways = [cut.mesh.area * np.maximum(way, 0.0).max(axis=1) ** 2 for way in (bend, -bend)]
    return np.minimum(*(summed(way, cut.patch_of, len(cut.surfaces)) for way in ways))


def _bulge(skin: Creases, rows: Ints, inner: Truths) -> float | None:
    """What smooth skin gains over these facets [mm2]; None where they are noise."""
    used, corners = np.unique(skin.corners[rows], return_inverse=True)
    points = np.ascontiguousarray(skin.points[used])
    corners = np.ascontiguousarray(corners.reshape(-1, 3).astype(np.int32))
    normal = corner_normals(points, corners, SWEEPS)
    gain, miss, turn = bulge(points, corners, normal, skin.angle[rows], inner[rows].view(np.uint8)).tolist()
    return gain if turn > 0.0 and miss <= ROUGH * turn else None


def crumbs(cut: PatchCut, smooth: Truths) -> tuple[Floats, Floats]:
    """How far patches too small to tell a surface may be off (p,) [mm2]: as pieces of curved skin round them, and how
    much too large they may be as folds in it. smooth (p,): free-form skin that is measured as curved.

    Curved skin is a patch that is no plane, or a flat not much smaller that bends gently. A fold is a lone triangle
    that bends sharply into free-form skin.
    """
    edge, facet, count = cut.edge, cut.facet_mm2, len(cut.surfaces)
    plane, free = cut.are(SurfaceKind.PLANE), cut.are(SurfaceKind.FREE_FORM)
    own, other, inner, bend = edge.patch, edge.beside, edge.inner, np.abs(edge.bend)
    most, beside, curved = np.zeros(count), np.zeros(count), np.zeros(count, bool)
    np.maximum.at(most, own, np.where(inner, bend, np.inf))
    round_ = inner & ~(plane | free)[other]
    np.maximum.at(beside, own[round_], facet[other[round_]])
    small = (facet[own] <= SIZES * facet[other]) & (bend <= SMOOTH_RAD)
    curved[own[inner & (~plane[other] | small)]] = True
    limit = np.where(4.0 * facet <= beside, STEEPEST_RAD, SMOOTH_RAD)  # near a tip facets turn by more
    gentle = np.where((cut.size < FEWEST) & curved & (plane | free) & (most <= limit), most, 0.0)
    folded, band = np.zeros(count), np.zeros(count)
    sharp = inner & plane[own] & (cut.size[own] == 1) & free[other] & (bend > SMOOTH_RAD)
    np.maximum.at(folded, own[sharp], bend[sharp])
    sharp &= smooth[other]  # or a piece of a band drawn so coarsely
    np.maximum.at(band, own[sharp], bend[sharp])
    return facet * np.maximum(gentle**2 / 2.0, 1.0 - np.cos(band / 2.0)), facet * (1.0 - np.cos(folded / 2.0))


def _borders(cut: PatchCut, smooth: Truths, rough: Truths) -> Floats:
    """What patches gain where the border of smooth skin, drawn in chords, bulges out of them (p,) [mm2]; none at rough
    skin, whose facets stand.

    The curvature at a corner is that of its two chords; a curve stands off its chord by a twelfth of curvature times
    length squared in the mean.
    """
    skin, edge, count = cut.mesh, cut.edge, len(cut.surfaces)
    some = (smooth[edge.patch] | smooth[edge.beside]) & ~(rough[edge.patch] | rough[edge.beside])
    rows = np.nonzero(edge.inner & some)[0]
    if len(rows) == 0:
        return np.zeros(count)
    ends = edge.ends[rows].astype(np.int64)
    pair = edge.patch[rows].astype(np.int64) * count + edge.other[rows]
    _, pair = np.unique(pair, return_inverse=True)
    points = len(skin.points)
    starts = pair * points + ends[:, 0]
    order = np.argsort(starts, kind="stable")
    wanted = pair * points + ends[:, 1]
    at = np.minimum(np.searchsorted(starts[order], wanted), len(order) - 1)
    after = np.where(starts[order][at] == wanted, order[at], -1)
    chord = skin.points[ends[:, 1]] - skin.points[ends[:, 0]]
    length = np.maximum(edge.length_mm[rows], 1e-300)
    way = chord / length[:, None]
    has = after >= 0
    turn = np.where(has[:, None], way[after] - way, 0.0)
    has &= np.linalg.norm(turn, axis=1) < 2.0 * math.sin(SMOOTH_RAD / 2.0)
    has &= (length <= SIZES * length[after]) & (length[after] <= SIZES * length)
    bend = np.where(has[:, None], 2.0 * turn / (length + length[after])[:, None], 0.0)  # at the far end of each chord
    sums, known = bend.copy(), has.astype(float)
    np.add.at(sums, after[has], bend[has])
    np.add.at(known, after[has], 1.0)
    mean = sums / np.maximum(known, 1.0)[:, None]
    out = cross(way, skin.normal[edge.triangle[rows]])
    off = -np.einsum("ij,ij->i", mean, out) * length**3 / 12.0
    return summed(off, edge.patch[rows], count)
