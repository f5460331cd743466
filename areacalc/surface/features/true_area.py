"""The true area of patches whose surface is known, from triangles that only touch it at their corners.

Every triangle is unrolled into its surface's own parameters (angle and height, angle and slant, solid angle ...), and
where two surfaces meet the straight edge is replaced by the curve they share: what lies between goes to one patch and
comes off the other, so a disk gets the circular segments that its polygon cut off.
"""

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from areacalc.estimate import Estimate
from areacalc.shape.body import cross, summed
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.shape.mesh.topology_loops import by_label
from areacalc.surface.features.axes import AXIAL
from areacalc.surface.features.chords import hidden_chords, two_chords
from areacalc.surface.features.fit import AXIS, distances, gradients, numbers, square_to
from areacalc.surface.features.fit_loops import unrolled
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.smooth import CREASE_RAD, crumbs, free_areas
from areacalc.surface.features.strips import Arcs, arcs

PIECES = 8
BECAUSE = "the file's flats against the true curves"
UNSURE = 0.04
"""Of its facets: a fit that is not believed, and what it makes of the patches beside it, may still be right to here."""
SQUARE = 1e-9
"""One less the cosine of the angle between a plane's normal and the axis of a round surface that meets it in a rim."""
COARSE = "surfaces read as cones that may be curved"


def true_areas(cut: PatchCut) -> tuple[list[Estimate], Truths, Arcs]:
    """The true area of each patch with its bounds [mm2], and whether it lies on its surface, (p,) each."""
    facet, inner = cut.facet_mm2, _unrolled(cut)
    turn, bend = bends(cut)
    room = _room(cut)
    known = ~cut.are(SurfaceKind.FREE_FORM)
    gain, doubt = _gains(cut, known)
    as_fitted = value = np.abs(inner + gain)
    while (wrong := known & ~_credible(value, turn, room, cut)).any():
        known &= ~wrong  # nor is the curve where it met its neighbours
        gain, doubt = _gains(cut, known)
        value = np.abs(inner + gain)
    arc = arcs(cut, value)
    free, left_out = free_areas(cut, ~known, bend)
    smooth = np.array([p in free and free[p].value != facet[p] for p in range(len(facet))])
    loose, folded = crumbs(cut, smooth)
    short, long = (one + two for one, two in zip(hidden_chords(cut, turn), two_chords(cut), strict=True))
    slack = _rounding_mm2(cut) + doubt + 1e-12 * facet
    middle = value + arc.likely + left_out
    low = np.minimum(np.minimum(facet, value) - slack + arc.least - 0.5 * np.abs(left_out), middle)
    high = np.maximum(np.maximum(facet, value + slack) + arc.most + np.maximum(1.5 * left_out, 0.0), middle)
    why: list[tuple[str, ...]] = [
        (BECAUSE,) if more or s.kind is not SurfaceKind.PLANE else ()
        for s, more in zip(cut.surfaces, gain, strict=True)
    ]
    for p in np.nonzero(arc.most > arc.least)[0].tolist():
        why[p] = (BECAUSE, COARSE)
    for p, own in free.items():
        middle[p], low[p], high[p], why[p] = own.value, own.low, own.high, own.because
    may = np.abs(as_fitted - facet) <= UNSURE * facet
    low = np.where(may, np.minimum(low, as_fitted - slack), low)
    high = np.where(may, np.maximum(high, as_fitted + slack), high)
    low -= np.maximum(loose, folded) + short
    bounds = zip(middle.tolist(), low.tolist(), (high + loose + long).tolist(), why, high.tolist(), strict=True)
    areas = [Estimate(m, a, b, because or ((BECAUSE,) if b > top else ())) for m, a, b, because, top in bounds]
    return areas, known, arc


def piece_areas(cut: PatchCut, known: Truths) -> tuple[Floats, Floats]:
    """The true area of pieces of patches that are known to lie on their surfaces, and how far it may be off [mm2]."""
    gain, doubt = _gains(cut, known)
    return np.abs(_unrolled(cut) + gain), doubt + _rounding_mm2(cut)


def _rounding_mm2(cut: PatchCut) -> Floats:
    """How far rounding of the corners may put off the area of each patch (p,), inside and along its borders."""
    sizes = ((s.radius_mm, s.minor_radius_mm) for s in cut.surfaces)
    least = np.array([min((r for r in own if r > 0.0), default=math.inf) for own in sizes])
    around = summed(cut.edge.length_mm, cut.edge.patch, len(least))
    return np.asarray(cut.mesh.noise_mm * (cut.facet_mm2 / least + around))


def _credible(value: Floats, turn: Floats, room: Floats, cut: PatchCut) -> Truths:
    """A correction beyond what facets turning by that much can hide is a wrong fit (p,).

    room (p,): the radius of a torus's tube over its mean distance from the axis, 0 for others. Chords of its half
    section lie off the arc by a twelfth of turn2 times that radius, inward or outward of the axis.
    """
    facet = cut.facet_mm2
    ratio = np.divide(value, facet, out=np.ones_like(value), where=facet > 0)
    # the facets of a shallow cone turn about its axis by more than they bend
    turn = np.minimum(turn / np.maximum([math.cos(s.half_angle_rad) for s in cut.surfaces], 1e-9), 1.0)
    off = turn * turn * room / 6.0
    bent = (ratio - 1.0 >= -2e-2 * turn - off - 1e-6) & (ratio - 1.0 <= 0.6 * turn * turn + off + 1e-6) & (facet > 0)
    return np.asarray(np.where(cut.are(SurfaceKind.PLANE), (ratio > 0.5) & (ratio < 2.0), bent))


def _room(cut: PatchCut) -> Floats:
    """The radius of each torus's tube over the mean distance of its corners from the axis (p,), else 0."""
    found = np.zeros(len(cut.surfaces))
    for p, surface in enumerate(cut.surfaces):
        if surface.kind is SurfaceKind.TORUS:
            w = cut.corners(p).reshape(-1, 3) - np.array(surface.point)
            away = np.linalg.norm(cross(w, np.broadcast_to(surface.direction, w.shape)), axis=1).mean()
            found[p] = surface.minor_radius_mm / max(float(away), 1e-9)
    return found


def bends(cut: PatchCut) -> tuple[Floats, Floats]:
    """For each patch the greatest bend inside it [rad], and the sum of facet area times bend squared [mm2].

    Creases count for nothing: what lies on either side of one may hang together elsewhere.
    """
    skin, count = cut.mesh, len(cut.surfaces)
    same = (skin.across >= 0) & (cut.patch_of[np.maximum(skin.across, 0)] == cut.patch_of[:, None])
    most = np.where(same & (np.abs(skin.angle) <= CREASE_RAD), np.abs(skin.angle), 0.0).max(axis=1)
    turn = np.zeros(count)
    np.maximum.at(turn, cut.patch_of, most)
    return turn, summed(skin.area * most**2, cut.patch_of, count)


def _unrolled(cut: PatchCut) -> Floats:
    """The area of each patch's triangles in its own parameters; planes and free-form patches keep the facet sum."""
    area = cut.facet_mm2.copy()
    for p, surface in enumerate(cut.surfaces):
        if surface.kind not in (SurfaceKind.PLANE, SurfaceKind.FREE_FORM):
            area[p] = spread(surface, cut.corners(p)).sum()
    return area


def spread(surface: Surface, triangles: Floats) -> Floats:
    """Signed area on the surface of triangles (t, 3, 3) with corners on it, edges straight in its parameters [mm2].

    Positive where the corners run anticlockwise seen from where the distance grows (outside a cylinder).
    """
    if surface.kind in (SurfaceKind.PLANE, SurfaceKind.FREE_FORM):
        a, b, c = (triangles[:, j] for j in range(3))
        return np.asarray(0.5 * cross(b - a, c - a) @ np.array(surface.direction))
    if surface.kind is SurfaceKind.SPHERE:
        return _on_sphere(surface, triangles)
    kind, shape = numbers(surface)
    u, v = square_to(shape[3:6])
    return unrolled(kind, shape, u, v, AXIS * max(abs(surface.radius_mm), 1e-9), np.ascontiguousarray(triangles))


def _on_sphere(surface: Surface, triangles: Floats) -> Floats:
    """Solid angle times radius squared: A. van Oosterom, J. Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125."""
    w = triangles - np.array(surface.point)
    a, b, c = (w[:, j] / np.maximum(np.linalg.norm(w[:, j], axis=1), 1e-300)[:, None] for j in range(3))
    top = np.einsum("ij,ij->i", a, cross(b - a, c - a))
    low = 1.0 + np.einsum("ij,ij->i", a, b) + np.einsum("ij,ij->i", b, c) + np.einsum("ij,ij->i", c, a)
    return np.asarray(2.0 * surface.radius_mm**2 * np.arctan2(top, low))


def _gains(cut: PatchCut, known: Truths) -> tuple[Floats, Floats]:
    """What each patch gains at its borders over the straight edges [mm2], and how far that may be off.

    known (p,) bool: whether the patch lies on its surface; where a neighbour does not, the border's curve is in doubt.
    """
    edge, count = cut.edge, len(cut.surfaces)
    gain, doubt = np.zeros(count), _strayed(cut, known)
    bent = ~cut.are(SurfaceKind.PLANE)
    once = (edge.patch < edge.other) & known[edge.patch]
    once &= known[edge.other] & (bent[edge.patch] | bent[edge.other])
    rows = _rims(cut, np.nonzero(once)[0], gain)
    if len(rows) == 0:
        return gain, doubt
    key = edge.patch[rows].astype(np.int64) * count + edge.other[rows]
    order = np.argsort(key, kind="stable")
    rows, key = rows[order], key[order]
    first = np.r_[np.nonzero(np.r_[True, key[1:] != key[:-1]])[0], len(rows)]
    tolerance = 16.0 * cut.mesh.noise_mm
    for begin, end in itertools.pairwise(first):
        own = rows[begin:end]
        one, two = int(edge.patch[own[0]]), int(edge.other[own[0]])
        a, b = edge.places[own].swapaxes(0, 1)
        surfaces = cut.surfaces[one], cut.surfaces[two]
        ends = onto(surfaces, edge.places[own], tolerance)
        path, straight = shared_curve(surfaces, ends[:, 0], ends[:, 1], tolerance)
        off = sum(_off(s, a[straight], b[straight]) for s in surfaces)
        moved = (ends[:, 0] != a).any(axis=1) | (ends[:, 1] != b).any(axis=1)
        a, b, c, d = (x[moved] for x in (a, ends[:, 0], ends[:, 1], b))
        strips = np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
        for p, surface, sign in ((one, surfaces[0], 1.0), (two, surfaces[1], -1.0)):
            value, error = _fan(surface, path)
            strip = spread(surface, strips)
            gain[p] += sign * (value + float(strip.sum()))
            doubt[p] += error + float(np.abs(strip).sum())  # corners off the curve leave in doubt where it runs
            doubt[p] += off
    return gain, doubt


def _rims(cut: PatchCut, rows: Ints, gain: Floats) -> Ints:
    """Give the planes their circular segments at rims, in place; the rows of the borders that are left."""
    edge, flat = cut.edge, cut.are(SurfaceKind.PLANE)
    own, other = edge.patch[rows], edge.other[rows]
    a, b = edge.places[rows].swapaxes(0, 1)
    plane, round_ = np.where(flat[own], own, other), np.where(flat[own], other, own)
    segment, rim = _rim_gains(cut.surfaces, plane, round_, a, b, 16.0 * cut.mesh.noise_mm)
    gain += summed(np.where(flat[own], segment, -segment), plane, len(gain))
    return rows[~rim]


def _rim_gains(
    surfaces: Sequence[Surface], plane: Ints, round_: Ints, a: Floats, b: Floats, tolerance_mm: float
) -> tuple[Floats, Truths]:
    """The circular segments that the straight edges a to b (e, 3) cut off the planes [mm2], and which edges are rims.

    plane, round_ (e,): the rows of the surfaces on either side; where they are something else it is no rim. A segment
    is positive where the arc lies outside the plane's patch; on the round surface itself the arc is straight in its own
    parameters, and nothing comes on.
    """
    kinds = np.array([s.kind.value for s in surfaces])
    kind, flat = kinds[round_], kinds[plane] == SurfaceKind.PLANE.value
    directions = np.array([s.direction for s in surfaces])
    axis, normal = directions[round_], directions[plane]
    point = np.array([s.point for s in surfaces])[round_]
    sizes = np.array([(s.radius_mm, s.minor_radius_mm, s.half_angle_rad) for s in surfaces])[round_]
    square = np.abs(np.einsum("ij,ij->i", normal, axis)) >= 1.0 - SQUARE
    rim = square & flat & np.isin(kind, [k.value for k in (SurfaceKind.CYLINDER, SurfaceKind.CONE, SurfaceKind.TORUS)])
    arms = []
    for end in (a, b):
        w = end - point
        z = np.einsum("ij,ij->i", w, axis)
        arm = w - z[:, None] * axis
        r = np.sqrt(np.einsum("ij,ij->i", arm, arm))
        rim &= np.abs(_off_each(kind, sizes, r, z)) <= tolerance_mm
        arms.append((arm, r))
    (one, r1), (two, r2) = arms
    rim &= np.abs(r1 - r2) <= tolerance_mm
    turn = np.arctan2(
        np.einsum("ij,ij->i", cross(one, two), normal), np.einsum("ij,ij->i", one, two)
    )  # the patch lies to the left of its edges, so an arc run anticlockwise about the axis bulges out of it
    return np.where(rim, 0.5 * r1 * r2 * (turn - np.sin(turn)), 0.0), rim


def _off_each(kind: NDArray[np.str_], sizes: Floats, r: Floats, z: Floats) -> Floats:
    """As fit.distances, each point with a surface of its own."""
    big, small, angle = sizes.T
    return np.select(
        [kind == SurfaceKind.CYLINDER.value, kind == SurfaceKind.CONE.value],
        [r - big, (r - big) * np.cos(angle) - z * np.sin(angle)],
        np.hypot(r - big, z) - small,
    )


def _strayed(cut: PatchCut, known: Truths) -> Floats:
    """How far each known patch (p,) may be off [mm2] at borders with unknown ones, if the curve bends as it does."""
    edge = cut.edge
    rows = np.nonzero(edge.inner & known[edge.patch] & ~known[edge.other])[0]
    start, end = edge.places[rows].swapaxes(0, 1)
    order, first = by_label(edge.patch[rows], len(cut.surfaces))
    doubt = _off_planes(cut, edge.patch[rows], start, end)
    for p in np.nonzero((np.diff(first) > 0) & ~cut.are(SurfaceKind.PLANE))[0]:
        own = order[first[p] : first[p + 1]]
        doubt[p] = _off(cut.surfaces[p], start[own], end[own])
    return doubt


def _off(surface: Surface, a: Floats, b: Floats) -> float:
    """Area that straight edges from a to b (e, 3) may hide [mm2]: as far from the curve as they are off the surface."""
    return float((np.linalg.norm(b - a, axis=1) * np.abs(distances(surface, 0.5 * (a + b)))).sum())


def _off_planes(cut: PatchCut, patch: Ints, a: Floats, b: Floats) -> Floats:
    """As _off, of all planes at once (p,): each edge (e, 3) with the patch that it is of (e,)."""
    point, way = (np.array([getattr(s, name) for s in cut.surfaces])[patch] for name in ("point", "direction"))
    off = np.abs(np.einsum("ij,ij->i", 0.5 * (a + b) - point, way)) * np.sqrt(np.einsum("ij,ij->i", b - a, b - a))
    return summed(off, patch, len(cut.surfaces))


def _fan(surface: Surface, path: Floats) -> tuple[float, float]:
    """Area between the paths (e, PIECES + 1, 3) and their chords, by Romberg's rule, and how far it may be off."""
    results = []
    for step in (1, 2, 4):
        p = path[:, ::step]
        triangles = np.stack([np.broadcast_to(p[:, :1], p[:, 1:].shape), p[:, :-1], p[:, 1:]], axis=2)
        results.append(float(spread(surface, triangles.reshape(-1, 3, 3)).sum()))
    fine, middle = (4 * results[0] - results[1]) / 3, (4 * results[1] - results[2]) / 3
    best = (16 * fine - middle) / 15
    return best, abs(best - fine)


def onto(surfaces: tuple[Surface, Surface], ends: Floats, tolerance_mm: float) -> Floats:
    """The ends (e, 2, 3) of straight borders moved onto the curve that two surfaces share, where they lie off it.

    A cut through flats leaves corners on the flats, not on the surfaces; so does a corner put on an edge by a mesher.
    """
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    off = np.maximum(*(np.abs(distances(s, ends.reshape(-1, 3))) for s in surfaces)).reshape(-1, 2) > tolerance_mm
    if not off.any():
        return ends
    start = ends[off]
    points = start.copy()
    steep = np.ones(len(points), bool)
    for _ in range(5):
        f = [distances(s, points) for s in surfaces]
        g = [gradients(s, points) for s in surfaces]
        ab = np.einsum("ij,ij->i", g[0], g[1])
        det = 1.0 - ab * ab
        steep &= det > 1e-2
        safe = np.where(steep, det, 1.0)
        step = ((f[1] * ab - f[0]) / safe)[:, None] * g[0] + ((f[0] * ab - f[1]) / safe)[:, None] * g[1]
        points += np.where(steep[:, None], step, 0.0)
    far = np.linalg.norm(points - start, axis=1)
    left = np.maximum(*(np.abs(distances(s, points)) for s in surfaces))
    good = steep & (left <= tolerance_mm) & (far <= 0.5 * np.broadcast_to(length[:, None], off.shape)[off])
    out = ends.copy()
    out[off] = np.where(good[:, None], points, start)
    return out


def shared_curve(surfaces: tuple[Surface, Surface], a: Floats, b: Floats, tolerance_mm: float) -> tuple[Floats, Truths]:
    """Points (e, PIECES + 1, 3) from a to b (e, 3) along the curve that two surfaces share.

    The second array (e,) tells where no such curve was found and the points lie on the straight edge.
    """
    t = np.linspace(0.0, 1.0, PIECES + 1)[None, :, None]
    path = a[:, None] * (1 - t) + b[:, None] * t
    left = np.ones(len(a), bool)
    for surface in surfaces:
        if surface.kind in AXIAL and left.any():
            arc, found = _arcs(surface, a[left], b[left], surfaces, tolerance_mm)
            where = np.nonzero(left)[0][found]
            path[where] = arc[found]
            left[where] = False
    if left.any():
        curve, found = _crossing(surfaces, path[left], tolerance_mm)
        where = np.nonzero(left)[0][found]
        path[where] = curve[found]
        left[where] = False
    return path, left


def _arcs(
    axis: Surface, a: Floats, b: Floats, surfaces: tuple[Surface, Surface], tolerance_mm: float
) -> tuple[Floats, Floats]:
    """Arcs about the axis from a to b, and where they lie on both surfaces."""
    d, p = np.array(axis.direction), np.array(axis.point)
    u, v = square_to(d)
    xa, ya, za = (a - p) @ u, (a - p) @ v, (a - p) @ d
    xb, yb, zb = (b - p) @ u, (b - p) @ v, (b - p) @ d
    turn = np.arctan2(xa * yb - ya * xb, xa * xb + ya * yb)
    t = np.linspace(0.0, 1.0, PIECES + 1)
    angle = np.arctan2(ya, xa)[:, None] + turn[:, None] * t
    r = np.hypot(xa, ya)[:, None] * (1 - t) + np.hypot(xb, yb)[:, None] * t
    z = za[:, None] * (1 - t) + zb[:, None] * t
    arc = p + (r * np.cos(angle))[..., None] * u + (r * np.sin(angle))[..., None] * v + z[..., None] * d
    middle = arc[:, PIECES // 2]
    found = np.ones(len(a), bool)
    for surface in surfaces:
        found &= np.abs(distances(surface, middle)) <= tolerance_mm
    return arc, found


def _crossing(surfaces: tuple[Surface, Surface], path: Floats, tolerance_mm: float) -> tuple[Floats, Floats]:
    """Newton's way from points on the chords to the curve where the surfaces cross, square to the chord."""
    chord = path[:, -1] - path[:, 0]
    length = np.maximum(np.linalg.norm(chord, axis=1), 1e-300)
    along = (chord / length[:, None])[:, None]
    points = path[:, 1:-1].copy()
    shape = points.shape
    steep = np.ones(shape[:2], bool)
    for _ in range(5):
        flat = points.reshape(-1, 3)
        f = [distances(s, flat).reshape(shape[:2]) for s in surfaces]
        g = [gradients(s, flat).reshape(shape) for s in surfaces]
        g = [x - (x * along).sum(axis=2, keepdims=True) * along for x in g]
        aa, bb, ab = (g[0] ** 2).sum(axis=2), (g[1] ** 2).sum(axis=2), (g[0] * g[1]).sum(axis=2)
        det = aa * bb - ab * ab
        steep = det > 1e-4
        safe = np.where(steep, det, 1.0)
        ka = (-f[0] * bb + f[1] * ab) / safe
        kb = (-f[1] * aa + f[0] * ab) / safe
        points += np.where(steep[..., None], ka[..., None] * g[0] + kb[..., None] * g[1], 0.0)
    moved = np.linalg.norm(points - path[:, 1:-1], axis=2).max(axis=1)
    off = np.maximum(*(np.abs(distances(s, points.reshape(-1, 3)).reshape(shape[:2])) for s in surfaces)).max(axis=1)
    found = steep.all(axis=1) & (moved <= 0.5 * length) & (off <= tolerance_mm)
    out = path.copy()
    out[:, 1:-1] = points
    return out, found
