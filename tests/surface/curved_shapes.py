"""Curved shapes with exact faces, and their meshes as exporters make them: by chord, by angle, by length of edge."""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from OCP.BRepTools import BRepTools
from random_solids import Random, Shape, exact_area_mm2, write_stl

import areacalc
from areacalc.estimate import Estimate

Curve = Any
Mesh = tuple[np.ndarray, np.ndarray]

STEPS = ((0.1, 0.5), (0.05, 0.3), (0.02, 0.2), (0.01, 0.1), (0.005, 0.05))
"""From coarse to fine: chord [mm] and angle [rad]."""
EDGES_MM = (3.0, 2.0, 1.2, 0.8, 0.4)
WAYS = ("chord and angle", "chord", "angle", "edge length")


def _point(z: float, r: float):
    from OCP.gp import gp_Pnt

    return gp_Pnt(float(r), 0.0, float(z))


def line(a, b) -> Curve:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge

    return BRepBuilderAPI_MakeEdge(_point(*a), _point(*b)).Edge()


def arc(a, middle, b) -> Curve:
    """The arc from a through the middle to b, each (z, r)."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.GC import GC_MakeArcOfCircle

    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(_point(*a), _point(*middle), _point(*b)).Value()).Edge()


def spline(points) -> Curve:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.collections import Array1_gp_Pnt
    from OCP.GeomAPI import GeomAPI_PointsToBSpline

    row = Array1_gp_Pnt(1, len(points))
    for i, p in enumerate(points):
        row.SetValue(i + 1, _point(*p))
    return BRepBuilderAPI_MakeEdge(GeomAPI_PointsToBSpline(row).Curve()).Edge()


def torus(random: Random) -> list[Curve]:
    """A ring of round section."""
    big = random.uniform(4, 20)
    small = big * random.uniform(0.2, 0.8)
    return [arc((-small, big), (0, big + small), (small, big)), arc((small, big), (0, big - small), (-small, big))]


def dome(random: Random) -> list[Curve]:
    """A rod with a round end, a half ball or less of one."""
    radius, length = random.uniform(4, 15), random.uniform(2, 20)
    half = random.uniform(0.5, 1.0) * math.pi / 2
    ball = radius / math.sin(half)
    back = length - ball * math.cos(half)
    cap = [(back + ball * math.cos(t), ball * math.sin(t)) for t in (half, half / 2, 0.0)]
    return [line((0, 0), (0, radius)), line((0, radius), (length, radius)), arc(*cap)]


def barrel(random: Random) -> list[Curve]:
    """A body that bulges between two flat ends."""
    end, length = random.uniform(5, 12), random.uniform(15, 50)
    bulge = random.uniform(0.02, 0.25) * length
    side = arc((0, end), (length / 2, end + bulge), (length, end))
    return [line((0, 0), (0, end)), side, line((length, end), (length, 0))]


def waist(random: Random) -> list[Curve]:
    """A body that narrows between two flat ends."""
    length = random.uniform(15, 50)
    bulge = random.uniform(0.02, 0.2) * length
    end = bulge + random.uniform(3, 10)
    side = arc((0, end), (length / 2, end - bulge), (length, end))
    return [line((0, 0), (0, end)), side, line((length, end), (length, 0))]


def ogive(random: Random) -> list[Curve]:
    """A pointed nose whose side is an arc."""
    radius = random.uniform(4, 12)
    ball = radius * random.uniform(1.5, 6.0)  # radius of the arc, its centre abreast of the foot
    tip = math.sqrt(ball**2 - (ball - radius) ** 2)
    half = 0.5 * math.asin(tip / ball)
    middle = (ball * math.sin(half), ball * math.cos(half) - (ball - radius))
    return [line((0, 0), (0, radius)), arc((0, radius), middle, (tip, 0))]


def fillet(random: Random) -> list[Curve]:
    """A shaft that runs out into a shoulder, and a rounded rim."""
    shaft, round_ = random.uniform(3, 8), random.uniform(0.3, 3.0)
    wide, long = shaft + round_ * random.uniform(1.2, 3.0), round_ + random.uniform(2, 15)
    rim, end = round_ * random.uniform(0.3, 0.9), long + 2.0 * round_
    s = math.sqrt(0.5)
    return [
        line((0, 0), (0, shaft)),
        line((0, shaft), (long - round_, shaft)),
        arc((long - round_, shaft), (long - round_ * (1 - s), shaft + round_ * (1 - s)), (long, shaft + round_)),
        line((long, shaft + round_), (long, wide)),
        line((long, wide), (end - rim, wide)),
        arc((end - rim, wide), (end - rim * (1 - s), wide - rim * (1 - s)), (end, wide - rim)),
        line((end, wide - rim), (end, 0)),
    ]  # fmt: skip


def curved(random: Random) -> list[Curve]:
    """A handle whose side is a spline."""
    count, length = int(random.integers(4, 8)), random.uniform(20, 70)
    z = np.linspace(0, length, count)
    r = random.uniform(3, 12, count)
    return [line((0, 0), (0, r[0])), spline(list(zip(z, r, strict=True))), line((length, r[-1]), (length, 0))]


PROFILES = {
    "torus": torus, "dome": dome, "barrel": barrel, "waist": waist, "ogive": ogive, "fillet": fillet, "spline": curved,
}  # fmt: skip
SHAPES = (*PROFILES, "lofted")


def turned(edges: list[Curve]) -> Shape:
    """The solid that a half section sweeps about the z axis; what is missing at the axis is closed."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

    ends = _samples(edges[0], 1)[0], _samples(edges[-1], 1)[-1]
    if np.linalg.norm(ends[0] - ends[1]) > 1e-9:
        edges = [*edges, line(ends[1], ends[0])]
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        wire.Add(edge)
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape()


def lofted(random: Random) -> Shape:
    """A smooth skin through ellipses of several sizes, closed by flat ends."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
    from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
    from OCP.gp import gp_Ax2, gp_Dir, gp_Elips, gp_Pnt

    made, z = BRepOffsetAPI_ThruSections(True, False), 0.0
    for _ in range(int(random.integers(3, 5))):
        small = random.uniform(4, 10)
        at = gp_Ax2(gp_Pnt(0, 0, z), gp_Dir(0, 0, 1))
        ellipse = gp_Elips(at, small * random.uniform(1.0, 1.8), small)
        made.AddWire(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(ellipse).Edge()).Wire())
        z += random.uniform(6, 15)
    made.Build()
    return made.Shape()


def _samples(edge: Curve, pieces: int) -> np.ndarray:
    """Points (pieces + 1, 2) along a curve as (z, r), even in length."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GCPnts import GCPnts_UniformAbscissa
    from OCP.TopAbs import TopAbs_REVERSED

    curve = BRepAdaptor_Curve(edge)
    cut = GCPnts_UniformAbscissa(curve, pieces + 1, 1e-9)
    points = [curve.Value(cut.Parameter(i + 1)) for i in range(pieces + 1)]
    found = np.array([(p.Z(), p.X()) for p in points])
    return found[::-1] if edge.Orientation() == TopAbs_REVERSED else found


def _length(edge: Curve) -> float:
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    found = GProp_GProps()
    BRepGProp.LinearProperties_s(edge, found)
    return float(found.Mass())


def by_edge_length(edges: list[Curve], most_mm: float, staggered: bool = False) -> Mesh:
    """The turned solid with no edge of its curves much longer than that, and no curve in a single piece."""
    rows = [_samples(edges[0], 1)[:1]]
    for edge in edges:
        rows.append(_samples(edge, 1 if _straight(edge) else max(3, math.ceil(_length(edge) / most_mm)))[1:])
    profile = np.concatenate(rows)
    return rings(profile, max(8, math.ceil(2 * math.pi * profile[:, 1].max() / most_mm)), staggered)


def by_angle(edges: list[Curve], most_rad: float) -> Mesh:
    """The turned solid in facets that turn by no more than that, round the axis and along the half section."""
    rows = [_samples(edges[0], 1)[:1]]
    for edge in edges:
        if _straight(edge):
            rows.append(_samples(edge, 1)[1:])
            continue
        fine = _samples(edge, 2000)
        way = np.unwrap(np.arctan2(*np.diff(fine, axis=0).T))
        turned = np.r_[0.0, np.cumsum(np.abs(np.diff(way))), 0.0]
        turned[-1] = turned[-2]
        pieces = max(2, math.ceil(turned[-1] / most_rad))
        rows.append(fine[np.searchsorted(turned, turned[-1] * np.arange(1, pieces) / pieces)])
        rows.append(fine[-1:])
    return rings(np.concatenate(rows), max(8, math.ceil(2 * math.pi / most_rad)), False)


def _straight(edge: Curve) -> bool:
    ends = _samples(edge, 1)
    return abs(_length(edge) - float(np.linalg.norm(ends[1] - ends[0]))) < 1e-9


def rings(profile: np.ndarray, around: int, staggered: bool) -> Mesh:
    """Rings of alike triangles on a half section (n, 2) of z and r; every other ring half a step on, or none."""
    points: list[np.ndarray] = []
    row = []
    for k, (z, r) in enumerate(profile):
        turn = 2 * math.pi * (np.arange(around) + (0.5 * (k % 2) if staggered else 0.0)) / around
        if r < 1e-9:
            turn = turn[:1]
        row.append(np.arange(len(turn)) + sum(map(len, points)))
        points.append(np.stack([r * np.cos(turn), r * np.sin(turn), np.full(len(turn), z)], axis=1))
    if np.linalg.norm(profile[0] - profile[-1]) < 1e-9 and profile[0, 1] > 1e-9:
        row[-1] = row[0]
        points.pop()
    triangles = []
    for k, (one, two) in enumerate(itertools.pairwise(row)):
        a, b = np.broadcast_to(one, around), np.broadcast_to(two, around)
        a1, b1 = np.roll(a, -1), np.roll(b, -1)
        early = staggered and k % 2 == 0
        quads = [(a, b, a1), (a1, b, b1)] if early else [(a, b, b1), (a, b1, a1)]
        if len(one) == 1:
            quads = [(a, b, b1)]
        if len(two) == 1:
            quads = [(a, b, a1)]
        if not (len(one) == 1 and len(two) == 1):
            triangles += [np.stack(q, axis=1) for q in quads]
    return np.concatenate(points), np.concatenate(triangles)


@dataclass(frozen=True)
class Drawn:
    """One mesh of a curved shape: how it was cut, its exact area, that of its facets, and what was found [mm2]."""

    way: str
    step: int
    exact_mm2: float
    facets_mm2: float
    found: Estimate

    @property
    def inside(self) -> bool:
        """Whether the bounds hold the exact area, to what single precision leaves."""
        slack = 2e-6 * self.exact_mm2
        return self.found.low - slack <= self.exact_mm2 <= self.found.high + slack

    @property
    def error(self) -> float:
        """How far the value is off, of the exact area."""
        return abs(self.found.value - self.exact_mm2) / self.exact_mm2

    @property
    def facets_error(self) -> float:
        """How far the facets are off."""
        return abs(self.facets_mm2 - self.exact_mm2) / self.exact_mm2

    @property
    def width(self) -> float:
        """How far the bounds lie apart."""
        return self.found.width / self.exact_mm2


def drawn(name: str, seed: int, folder: Path, steps: Sequence[int] = range(len(STEPS))) -> Iterator[Drawn]:
    """A random shape of this name, cut in every way at these steps and read back."""
    random = np.random.default_rng([seed, SHAPES.index(name)])
    edges = PROFILES[name](random) if name in PROFILES else []
    solid = turned(edges) if edges else lofted(random)
    exact, path = exact_area_mm2(solid), folder / "curved.stl"
    for step in steps:
        chord_mm, angle_rad = STEPS[step]
        for way in WAYS if edges else WAYS[:2]:
            BRepTools.Clean_s(solid)
            if way == "chord and angle":
                write_stl(solid, path, chord_mm, angle_rad)
            elif way == "chord":
                write_stl(solid, path, chord_mm, 1.5)
            elif way == "angle":
                write_mesh(by_angle(edges, angle_rad), path)
            else:
                write_mesh(by_edge_length(edges, EDGES_MM[step], (seed + step) % 2 == 0), path)
            part = areacalc.open(path, unit="mm")
            yield Drawn(way, step, exact, part.skin.body.facet_area_mm2, part.wetted().value)


def write_mesh(mesh: Mesh, path: Path) -> None:
    """A binary STL of points and triangles."""
    points, triangles = mesh
    record = np.zeros(len(triangles), np.dtype([("n", "<f4", 3), ("p", "<f4", (3, 3)), ("a", "<u2")]))
    record["p"] = points[triangles]
    path.write_bytes(b" " * 80 + np.uint32(len(triangles)).tobytes() + record.tobytes())
