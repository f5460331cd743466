"""Random machined blocks of the STEP kernel whose openings are known: what each is, its sizes, and where it lies."""

import math
from typing import Any, NamedTuple

import numpy as np
import random_solids as solids

from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints, SurfaceKind

Shape = Any
CELL_MM = 20.0


class Label(NamedTuple):
    """An opening: its kind, its sizes [mm] (diameter and depth of a bore, else width, length and depth), the cell of
    the block's top that it lies in."""

    kind: str
    sizes_mm: tuple[float, ...]
    cell: tuple[int, int]


def prism(corners: Floats, low: float, high: float) -> Shape:
    """A polygon (n, 2) from one height to another."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec

    outline = BRepBuilderAPI_MakePolygon()
    for x, y in corners.tolist():
        outline.Add(gp_Pnt(x, y, low))
    outline.Close()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(outline.Wire()).Face(), gp_Vec(0, 0, high - low)).Shape()


def regular(sides: int, radius: float, at: tuple[float, float], turn: float) -> Floats:
    """The corners of a regular polygon (sides, 2)."""
    t = turn + 2.0 * math.pi * np.arange(sides) / sides
    return np.stack([at[0] + radius * np.cos(t), at[1] + radius * np.sin(t)], axis=1)


def least_box(corners: Floats) -> tuple[float, float]:
    """The least width of a polygon square to one of its sides, and its length along that side."""
    along = np.roll(corners, -1, axis=0) - corners
    along /= np.linalg.norm(along, axis=1)[:, None]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    both = [(float(np.ptp(corners @ n)), float(np.ptp(corners @ d))) for n, d in zip(across, along, strict=True)]
    width, length = min((min(x), max(x)) for x in both)
    return width, length


def labelled(random: np.random.Generator) -> tuple[Shape, list[Label], Floats]:
    """A block with an opening in every cell of its top, steps and chamfers along its edges; what the openings are; and
    the block's far corner (3,) from the origin."""
    columns, rows, high = int(random.integers(2, 4)), int(random.integers(1, 3)), float(random.uniform(8.0, 20.0))
    solid = solids.block((columns * CELL_MM, rows * CELL_MM, high))
    labels = []
    for column in range(columns):
        for row in range(rows):
            at = ((column + 0.5) * CELL_MM, (row + 0.5) * CELL_MM)
            edge = row == 0
            tools, label = _opening(random, at, high, (column, row), edge)
            solid = solids.cut(solid, *tools)
            labels.append(label)
    if random.random() < 0.5:  # a step along the far edge
        solid = solids.cut(solid, solids.block((100, 3, 5), (-1, rows * CELL_MM - 1.5, high - 3)))
    if random.random() < 0.5:  # a chamfer along an end
        corner = np.array([(-1.0, high - 2.0), (2.0, high + 1.0), (-1.0, high + 1.0)])
        solid = solids.cut(solid, _across(corner, rows * CELL_MM))
    return solid, labels, np.array((columns * CELL_MM, rows * CELL_MM, high))


def _across(profile: Floats, length: float) -> Shape:
    """A profile (n, 2) of x and z along y."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec

    outline = BRepBuilderAPI_MakePolygon()
    for x, z in profile.tolist():
        outline.Add(gp_Pnt(x, -1.0, z))
    outline.Close()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(outline.Wire()).Face(), gp_Vec(0, length + 2.0, 0)).Shape()


def _opening(
    random: np.random.Generator, at: tuple[float, float], high: float, cell: tuple[int, int], edge: bool
) -> tuple[list[Shape], Label]:
    """The tools that cut an opening at a place, and its label; edge: the cell lies on the front of the block."""
    deep, radius = float(random.uniform(0.25, 0.6)) * high, float(random.uniform(1.5, 4.0))
    floor, over = high - deep, high + 1.0
    sort = int(random.integers(0, 9 if edge else 8))
    if sort == 0:
        return [solids.rod(radius, high + 2, (*at, -1))], Label("through-bore", (2 * radius, high), cell)
    if sort == 1:
        tip = radius / math.tan(math.radians(59))
        tools = [solids.rod(radius, deep + 1, (*at, floor)), solids.point(radius, tip, (*at, floor), (0, 0, -1))]
        tip = min(tip, floor)
        return (tools, Label("blind-bore", (2 * radius, deep + tip), cell)) if tip < 0.9 * floor else (
            tools[:1], Label("blind-bore", (2 * radius, deep), cell))  # fmt: skip
    if sort == 2:
        tools = [solids.rod(1.7 * radius, deep + 1, (*at, floor)), solids.rod(radius, high + 2, (*at, -1))]
        return tools, Label("through-bore", (2 * radius, high), cell)
    if sort in (3, 4, 5):
        corners = regular(int(random.integers(3, 7)), 2.0 * radius, at, float(random.uniform(0, 6)))
        through = sort == 3
        kind, depth = ("passage", high) if through else ("pocket", deep)
        tool = prism(corners, -1.0 if through else floor, over)
        return [tool], Label(kind, (*least_box(corners), depth), cell)
    if sort in (6, 7):
        half, long = 0.7 * radius, float(random.uniform(3.0, 8.0))
        low = -1.0 if sort == 6 else floor
        ends = [solids.rod(half, over - low, (at[0] + s * long / 2, at[1], low)) for s in (-1, 1)]
        tool = solids.fuse(solids.block((long, 2 * half, over - low), (at[0] - long / 2, at[1] - half, low)), *ends)
        return [tool], Label("slot", (2 * half, long + 2 * half, high if sort == 6 else deep), cell)
    reach = float(random.uniform(12.5, 15.0))  # runs out over the front
    size, place = (2 * radius, reach + 1.0, deep + 1.0), (at[0] - radius, -1.0, floor)
    return [solids.block(size, place)], Label("slot", (2 * radius, reach, deep), cell)


def finer(body: Body, corners: Ints, points: Floats, face: Ints) -> tuple[Ints, Floats, Ints]:
    """Each triangle of exact faces in four, the new corners on the round walls: corners, points, and whose face."""
    edges = np.sort(np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]]), axis=1)
    unique, which = np.unique(edges, axis=0, return_inverse=True)
    which = which.reshape(-1)
    middle = points[unique].mean(axis=1)
    for f, each in enumerate(body.faces):
        if each.surface.kind in (SurfaceKind.CYLINDER, SurfaceKind.CONE):
            own = np.unique(which[np.tile(face, 3) == f])
            s = each.surface
            axis, off = np.array(s.direction), middle[own] - np.array(s.point)
            z = off @ axis
            off -= z[:, None] * axis
            radius = s.radius_mm + (np.tan(s.half_angle_rad) * z if s.kind is SurfaceKind.CONE else 0.0 * z)
            away = np.maximum(np.linalg.norm(off, axis=1), 1e-12)
            middle[own] = np.array(s.point) + z[:, None] * axis + off * (radius / away)[:, None]
    m = len(points) + which.reshape(3, -1).T
    (a, b, c), (ab, bc, ca) = corners.T, m.T
    four = np.concatenate([np.stack(x, axis=1) for x in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])
    return four, np.concatenate([points, middle]), np.tile(face, 4)
