"""Least-squares fits of the analytic surfaces: plane, cylinder, cone, sphere and torus.

A mesh's corners lie on the true surface and the middles of its facets do not, so corners are what is fitted; facet
normals only give the first guess. The axis comes from the linear line complex that the normals of a surface of
revolution all belong to (H. Pottmann, T. Randrup, "Rotational and helical surface approximation for reverse
engineering", Computing 60 (1998) 307); Gauss-Newton then works on the distance in the half-plane of (radius, height).
"""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from areacalc.shape.body import cross
from areacalc.shape.kinds import Floats, Ints, Surface, SurfaceKind, Truths
from areacalc.surface.features.fit_kinds import CONE, CYLINDER, SPHERE, TORUS
from areacalc.surface.features.fit_loops import refine

MOST_POINTS = 800
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
AXIS = 1e-4
"""Of the radius: a corner this near to the axis has no angle; rounding leaves an apex as far off."""
TIP = 1e-3  # of the size: a corner this near to the apex is the apex
FLATTEST = 1e4  # of the size: a surface that turns by less is a plane


def distances(surface: Surface, points: Floats) -> Floats:
    """Signed distance of points (n, 3) from the surface [mm], positive away from the axis, centre or tube's centre."""
    w = points - np.array(surface.point)
    d = np.array(surface.direction)
    if surface.kind is SurfaceKind.PLANE:
        return np.asarray(w @ d)
    if surface.kind is SurfaceKind.SPHERE:
        return np.asarray(np.sqrt(np.einsum("ij,ij->i", w, w)) - surface.radius_mm)
    z = w @ d
    r = np.sqrt(np.maximum(np.einsum("ij,ij->i", w, w) - z * z, 0.0))
    if surface.kind is SurfaceKind.CYLINDER:
        return np.asarray(r - surface.radius_mm)
    if surface.kind is SurfaceKind.CONE:
        a = surface.half_angle_rad
        return np.asarray((r - surface.radius_mm) * math.cos(a) - z * math.sin(a))
    if surface.kind is SurfaceKind.TORUS:
        return np.asarray(np.hypot(r - surface.radius_mm, z) - surface.minor_radius_mm)
    return np.full(len(points), np.inf)


def gradients(surface: Surface, points: Floats) -> Floats:
    """Unit normals at points (n, 3), pointing the way the distance grows."""
    w = points - np.array(surface.point)
    d = np.array(surface.direction)
    if surface.kind is SurfaceKind.PLANE:
        return np.broadcast_to(d, w.shape).copy()
    if surface.kind is SurfaceKind.SPHERE:
        return _unit(w)
    z = w @ d
    across = w - z[:, None] * d
    radial = _unit(across)
    if surface.kind is SurfaceKind.CYLINDER:
        return radial
    if surface.kind is SurfaceKind.CONE:
        return math.cos(surface.half_angle_rad) * radial - math.sin(surface.half_angle_rad) * d
    r = np.sqrt(np.einsum("ij,ij->i", across, across))
    return _unit((r - surface.radius_mm)[:, None] * radial + z[:, None] * d)


def turns(surface: Surface, points: Floats) -> list[Floats]:
    """The angle of points (n, 3) about the axis [rad], and for a torus also round the tube; none for a sphere.

    NaN on the axis.
    """
    if surface.kind is SurfaceKind.SPHERE:
        return []
    w, d = points - np.array(surface.point), np.array(surface.direction)
    u, v = square_to(d)
    x, y = w @ u, w @ v
    r = np.hypot(x, y)
    about = np.where(r > AXIS * float(r.max(initial=0.0)), np.arctan2(y, x), np.nan)
    if surface.kind is not SurfaceKind.TORUS:
        return [about]
    return [about, np.arctan2(w @ d, r - surface.radius_mm)]


def fit(kind: SurfaceKind, points: Floats, at: Floats, normals: Floats, weights: Floats) -> Surface | None:
    """The surface of that kind nearest to points (n, 3); at, normals (f, 3) and weights (f,) of its flats start it.

    None where there is no such surface.
    """
    if len(points) > MOST_POINTS:
        points = points[sample(len(points), MOST_POINTS)]
    centre = points.mean(axis=0)
    scale = float(np.abs(points - centre).max()) or 1.0
    with np.errstate(all="ignore"):
        try:
            found = _FITS[kind]((points - centre) / scale, (at - centre) / scale, normals, weights / weights.sum())
        except np.linalg.LinAlgError:
            return None
    if found is None or not all(map(math.isfinite, (*found.point, *found.direction, found.radius_mm))):
        return None
    if max(abs(found.radius_mm), found.minor_radius_mm) > FLATTEST:
        return None
    point = triple(centre + scale * np.array(found.point))
    return replace(found, point=point, radius_mm=found.radius_mm * scale, minor_radius_mm=found.minor_radius_mm * scale)


def sample(count: int, most: int) -> Ints:
    """At most `most` of 0 .. count-1, spread evenly but in no step that a mesh repeats in: multiples of the golden mean
    (H. Weyl, 1916: the fractions of multiples of an irrational number are spread evenly)."""
    if count <= most:
        return np.arange(count)
    return np.asarray((np.arange(most) * GOLDEN % 1.0 * count).astype(np.int64))


def _unit(v: Floats) -> Floats:
    length = np.sqrt(np.einsum("ij,ij->i", v, v))
    return v / np.where(length > 0, length, 1.0)[:, None]


def _across(w: Floats, z: Floats) -> Floats:
    """How far from an axis points w (n, 3) from a point on it lie, at heights z along it."""
    return np.asarray(np.sqrt(np.maximum(np.einsum("ij,ij->i", w, w) - z * z, 0.0)))


def triple(v: Floats) -> tuple[float, float, float]:
    """A vector as plain numbers."""
    return float(v[0]), float(v[1]), float(v[2])


def _sphere(points: Floats, at: Floats, normals: Floats, weights: Floats) -> Surface | None:
    rows = np.column_stack([2.0 * points, np.ones(len(points))])
    c = np.linalg.lstsq(rows, np.einsum("ij,ij->i", points, points), rcond=None)[0]
    square = c[3] + c[:3] @ c[:3]
    return Surface(SurfaceKind.SPHERE, triple(c[:3]), radius_mm=math.sqrt(square)) if square > 0 else None


def _cylinder(points: Floats, at: Floats, normals: Floats, weights: Floats) -> Surface | None:
    d = np.linalg.eigh((normals * weights[:, None]).T @ normals)[1][:, 0]
    u, v = square_to(d)
    found = circle(points @ np.column_stack([u, v]))
    if found is None:
        return None
    x, y, radius = found
    return _refined(SurfaceKind.CYLINDER, points, x * u + y * v, d, [radius])


def circle(flat: Floats) -> tuple[float, float, float] | None:
    """The middle and the radius of the circle nearest to points (n, 2), None where no circle fits.

    >>> x, y, radius = circle(np.array([[3.0, 1.0], [-1.0, 1.0], [1.0, 3.0]]))
    >>> round(x, 9), round(y, 9), round(radius, 9)
    (1.0, 1.0, 2.0)
    """
    rows = np.column_stack([2.0 * flat, np.ones(len(flat))])
    x, y, rest = np.linalg.lstsq(rows, np.einsum("ij,ij->i", flat, flat), rcond=None)[0].tolist()
    square = rest + x * x + y * y
    return (x, y, math.sqrt(square)) if square > 0 else None


def _axis(at: Floats, normals: Floats, weights: Floats) -> tuple[Floats, Floats]:
    """Direction and a point of the axis that all normals meet."""
    moment = cross(at, normals)
    aa = (moment * weights[:, None]).T @ moment
    ab = (moment * weights[:, None]).T @ normals
    bb = (normals * weights[:, None]).T @ normals
    inverse = np.linalg.pinv(bb, rcond=1e-4, hermitian=True)
    c = np.linalg.eigh(aa - ab @ inverse @ ab.T)[1][:, 0]
    bar = -inverse @ ab.T @ c
    return c, np.cross(c, bar)


def _cone(points: Floats, at: Floats, normals: Floats, weights: Floats) -> Surface | None:
    # the normals' tips lie on a circle about the axis, and the flats all pass through the apex
    mean = weights @ normals
    spread = ((normals - mean) * weights[:, None]).T @ (normals - mean)
    d = np.linalg.eigh(spread)[1][:, 0]
    apex = np.linalg.lstsq(normals, np.einsum("ij,ij->i", normals, at), rcond=None)[0]
    z = (points - apex) @ d
    if z.mean() < 0:
        d, z = -d, -z
    r = _across(points - apex, z)
    start = float((points.mean(axis=0) - apex) @ d)
    slope = math.atan2(float(r.sum()), float(np.abs(z).sum()))
    if slope >= 1.56:
        return None
    if slope <= 0.01:  # an apex far away is anywhere
        straight = _cylinder(points, at, normals, weights)
        if straight is None:
            return None
        return _refined(SurfaceKind.CONE, points, np.array(straight.point), np.array(straight.direction),
                        [straight.radius_mm, 0.0])  # fmt: skip
    # a circle and a point lie on many cones: a corner at the apex is held on the axis
    tip = np.einsum("ij,ij->i", points - apex, points - apex) < TIP**2
    return _refined(SurfaceKind.CONE, points, apex + start * d, d, [start * math.tan(slope), slope], tip)


def _torus(points: Floats, at: Floats, normals: Floats, weights: Floats) -> Surface | None:
    d, p = _axis(at, normals, weights)
    z = (points - p) @ d
    r = _across(points - p, z)
    found = circle(np.column_stack([r, z]))
    if found is None:
        return None
    away, along, tube = found
    return _refined(SurfaceKind.TORUS, points, p + along * d, d, [away, tube])


def _refined(
    kind: SurfaceKind, points: Floats, p: Floats, d: Floats, shape: list[float], tip: Truths | None = None
) -> Surface | None:
    """Gauss-Newton on the axis and the shape: [radius], [radius, half angle] or [radius, minor radius].

    tip (n,): the points that must lie on the axis.
    """
    tip = np.zeros(len(points), bool) if tip is None else tip
    start = np.array((*p, *d, *shape, 0.0)[:8])
    found, sound = refine(_NUMBER[kind], np.ascontiguousarray(points), tip, start)
    if not sound:
        return None
    p, d, first, second = found[:3], found[3:6], float(found[6]), float(found[7])
    if kind is SurfaceKind.CYLINDER:
        return Surface(kind, triple(p), triple(d), first) if first > 0 else None
    if kind is SurfaceKind.CONE:
        return Surface(kind, triple(p), triple(d if second >= 0 else -d), first, half_angle_rad=abs(second))
    ball = abs(first) <= TIP * second  # whose axis points anywhere
    return Surface(kind, triple(p), triple(d), first, second) if second > 0 and not ball else None


def numbers(surface: Surface) -> tuple[int, Floats]:
    """A curved surface as the compiled loops take it: its kind and (10,), see fit_loops."""
    angle = surface.half_angle_rad
    sizes = (surface.radius_mm, surface.minor_radius_mm, math.cos(angle), math.sin(angle))
    return _NUMBER[surface.kind], np.array((*surface.point, *surface.direction, *sizes))


def square_to(d: Floats) -> tuple[Floats, Floats]:
    """Two unit vectors square to the unit vector d and to each other: u, and d x u."""
    x, y, z = d.tolist()
    least = min((abs(x), 0), (abs(y), 1), (abs(z), 2))[1]
    u = np.array(((0.0, z, -y), (-z, 0.0, x), (y, -x, 0.0))[least])
    u /= math.sqrt(u @ u)
    a, b, c = u.tolist()
    return u, np.array((y * c - z * b, z * a - x * c, x * b - y * a))


_NUMBER = {SurfaceKind.CYLINDER: CYLINDER, SurfaceKind.CONE: CONE, SurfaceKind.SPHERE: SPHERE, SurfaceKind.TORUS: TORUS}
_FITS: dict[SurfaceKind, Callable[[Floats, Floats, Floats, Floats], Surface | None]] = {
    SurfaceKind.CYLINDER: _cylinder,
    SurfaceKind.CONE: _cone,
    SurfaceKind.SPHERE: _sphere,
    SurfaceKind.TORUS: _torus,
}
