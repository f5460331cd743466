"""Random turned and milled solids with exact faces, made by the STEP kernel: cuts, fillets, chamfers, drilled holes."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np

Shape = Any
Random = np.random.Generator
Z = (0.0, 0.0, 1.0)


def _frame(at, way):
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    return gp_Ax2(gp_Pnt(*map(float, at)), gp_Dir(*map(float, way)))


def rod(radius, length, at=(0.0, 0.0, 0.0), way=Z) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder

    return BRepPrimAPI_MakeCylinder(_frame(at, way), float(radius), float(length)).Shape()


def cone(one, two, height, at, way=Z) -> Shape:
    """A frustum from one radius to another."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone

    return BRepPrimAPI_MakeCone(_frame(at, way), float(one), float(two), float(height)).Shape()


def point(radius, height, at, way) -> Shape:
    """A cone from a radius to nothing."""
    return cone(radius, 0.0, height, at, way)


def ball(radius, at) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
    from OCP.gp import gp_Pnt

    return BRepPrimAPI_MakeSphere(gp_Pnt(*map(float, at)), float(radius)).Shape()


def ring(radius, minor, at, way=Z) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeTorus

    return BRepPrimAPI_MakeTorus(_frame(at, way), float(radius), float(minor)).Shape()


def block(size, at=(0.0, 0.0, 0.0)) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Pnt

    return BRepPrimAPI_MakeBox(gp_Pnt(*map(float, at)), *map(float, size)).Shape()


def about_z(solid, angle_rad) -> Shape:
    """The solid turned about the z axis."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf

    turn = gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(*Z)), float(angle_rad))
    return BRepBuilderAPI_Transform(solid, turn, True).Shape()


def cut(solid, *tools) -> Shape:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    for tool in tools:
        solid = BRepAlgoAPI_Cut(solid, tool).Shape()
    return solid


def fuse(solid, *others) -> Shape:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse

    for other in others:
        solid = BRepAlgoAPI_Fuse(solid, other).Shape()
    return solid


def together(*solids) -> Shape:
    """Several solids as one shape, each a body of its own."""
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for solid in solids:
        builder.Add(whole, solid)
    return whole


def edged(solid, size, round_: bool) -> Shape:
    """Every edge rounded or chamfered."""
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer, BRepFilletAPI_MakeFillet
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    made = (BRepFilletAPI_MakeFillet if round_ else BRepFilletAPI_MakeChamfer)(solid)
    edges = TopExp_Explorer(solid, TopAbs_EDGE)
    while edges.More():
        made.Add(float(size), TopoDS.Edge(edges.Current()))
        edges.Next()
    made.Build()
    return made.Shape()


def turned(random: Random) -> Shape:
    """A stepped rod with a groove, an axial bore of some sort, and a cross-hole."""
    length, radius = random.uniform(20, 90), random.uniform(5, 15)
    solid, top, least = rod(radius, length), length, radius
    if random.random() < 0.6:
        least, more = radius * random.uniform(0.5, 0.9), length * random.uniform(0.15, 0.4)
        solid, top = fuse(solid, rod(least, more, (0, 0, length))), length + more
    if random.random() < 0.5:
        z, width, deep = length * random.uniform(0.3, 0.7), random.uniform(1, 4), radius * random.uniform(0.05, 0.2)
        solid = cut(solid, cut(rod(radius + 1, width, (0, 0, z)), rod(radius - deep, width, (0, 0, z))))
    bore = least * random.uniform(0.3, 0.7)
    way = random.integers(0, 4)
    if way == 1:
        solid = cut(solid, rod(bore, top + 2, (0, 0, -1)))
    if way == 2:
        deep = top * random.uniform(0.2, 0.7)
        tip = point(bore, bore / math.tan(math.radians(59)), (0, 0, top - deep), (0, 0, -1))
        solid = cut(solid, rod(bore, deep + 1, (0, 0, top - deep)), tip)
    if way == 3:
        deep = top * random.uniform(0.2, 0.4)
        solid = cut(solid, rod(bore, deep + 1, (0, 0, top - deep)), rod(bore / 2, top + 2, (0, 0, -1)))
    if random.random() < 0.5:
        across = min(radius * random.uniform(0.1, 0.35), bore * 0.8)
        at = (-radius - 5, 0, length * random.uniform(0.1, 0.25))
        solid = cut(solid, rod(across, 2 * radius + 10, at, (1, 0, 0)))
    return solid


def handle(random: Random) -> Shape:
    """A rod with a dome, rounded or chamfered rims, a round groove, a blind bore from below, tilted radial holes."""
    length, radius = random.uniform(20, 60), random.uniform(5, 14)
    solid, end = rod(radius, length), random.integers(0, 3)
    if end == 0:
        solid = fuse(solid, ball(radius, (0, 0, length)))
    else:
        solid = edged(solid, radius * random.uniform(0.1, 0.4 if end == 1 else 0.3), bool(end == 1))
    if random.random() < 0.5:
        solid = cut(solid, ring(radius, radius * random.uniform(0.1, 0.3), (0, 0, length * random.uniform(0.4, 0.6))))
    if random.random() < 0.7:
        bore, deep = radius * random.uniform(0.2, 0.45), length * random.uniform(0.3, 0.8)
        solid = cut(solid, rod(bore, deep + 1, (0, 0, -1)))
        if random.random() < 0.4:
            solid = cut(solid, ball(bore, (0, 0, deep)))
    holes = int(random.integers(0, 4))
    for j in range(holes):
        turn = 2 * math.pi * j / holes + 0.3
        way = (math.cos(turn), math.sin(turn), random.uniform(-0.5, 0.5))
        solid = cut(solid, rod(radius * random.uniform(0.08, 0.2), 3 * radius, (0, 0, length * 0.2 + 2 * j), way))
    return solid


def milled(random: Random) -> Shape:
    """A block, its edges rounded or not, with through, blind, counterbored and countersunk holes and a pocket."""
    a, b, c = random.uniform(20, 80), random.uniform(15, 50), random.uniform(6, 20)
    solid = block((a, b, c))
    if random.random() < 0.6:
        solid = edged(solid, min(a, b, c) * random.uniform(0.05, 0.3), True)
    holes = int(random.integers(0, 4))
    for i in range(holes):
        r, x, y = random.uniform(1, min(a / 10, b / 4, 5)), a * (i + 1) / (holes + 1), b * random.uniform(0.35, 0.65)
        sort, deep = random.integers(0, 4), c * random.uniform(0.2, 0.45)
        if sort == 0:
            solid = cut(solid, rod(r, c + 2, (x, y, -1)))
        if sort == 1:
            solid = cut(solid, rod(r, deep + 1, (x, y, c - deep)))
        if sort == 2:
            solid = cut(solid, rod(r, deep + 1, (x, y, c - deep)), rod(r * 0.55, c + 2, (x, y, -1)))
        if sort == 3:
            solid = cut(solid, rod(r * 0.6, c + 2, (x, y, -1)), point(r, r, (x, y, c), (0, 0, -1)))
    if random.random() < 0.3:
        solid = cut(solid, rod(min(c, b) * random.uniform(0.1, 0.25), a + 2, (-1, b / 2, c / 2), (1, 0, 0)))
    if random.random() < 0.3:
        solid = cut(solid, block((a * 0.3, b * 0.15, c), (a * 0.3, b * 0.1, c * 0.6)))
    return solid


def slotted(random: Random) -> Shape:
    """A block with a slot, a tilted hole, a hole from the side and a drilled boss."""
    a, b, c = random.uniform(30, 60), random.uniform(25, 50), random.uniform(10, 25)
    solid = block((a, b, c))
    if random.random() < 0.7:
        half, deep = random.uniform(2, 5), c * random.uniform(0.2, 1.2)
        ends = [rod(half, deep + 1, (x, b * 0.3, c - deep)) for x in (a * 0.3, a * 0.6)]
        solid = cut(solid, fuse(block((a * 0.3, 2 * half, deep + 1), (a * 0.3, b * 0.3 - half, c - deep)), *ends))
    if random.random() < 0.5:
        lean = random.uniform(-0.4, 0.4)
        solid = cut(solid, rod(random.uniform(1, 3), c + 12, (a * 0.8, b * 0.7, -5), (lean / 2, lean, 1)))
    if random.random() < 0.4:
        solid = cut(solid, rod(min(c * 0.3, b * 0.1), a * 0.5, (-1, b * 0.8, c * 0.5), (1, 0, 0)))
    if random.random() < 0.4:
        solid = fuse(solid, rod(min(a * 0.1, 4), c, (a * 0.15, b * 0.75, c)))
        if random.random() < 0.6:
            solid = cut(solid, rod(min(a * 0.05, 2), c, (a * 0.15, b * 0.75, c * 1.2)))
    return solid


def heap(random: Random) -> Shape:
    """Two to four balls, rods, cones and rings, lying any way, each added to the rest or cut out of it."""

    def one() -> Shape:
        at, way, sort = random.uniform(-6, 6, 3), random.normal(size=3), random.integers(4)
        if sort == 0:
            return ball(random.uniform(3, 7), at)
        if sort == 1:
            return rod(random.uniform(2, 6), random.uniform(6, 16), at, way)
        if sort == 2:
            return point(random.uniform(3, 7), random.uniform(5, 12), at, way)
        return ring(random.uniform(5, 8), random.uniform(1.5, 3), at, way)

    solid = one()
    for _ in range(random.integers(1, 4)):
        other = one()
        solid = fuse(solid, other) if random.random() < 0.5 else cut(solid, other)
    return solid


def moved(solid: Shape, random: Random) -> Shape:
    """The solid turned and shifted any way."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec

    turn, shift = gp_Trsf(), gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(*random.normal(size=3))), random.uniform(0, 2 * math.pi))
    shift.SetTranslation(gp_Vec(*random.uniform(-50, 50, 3)))
    return BRepBuilderAPI_Transform(solid, shift.Multiplied(turn), True).Shape()


def exact_area_mm2(solid: Shape) -> float:
    """The kernel's own surface properties."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    found = GProp_GProps()
    BRepGProp.SurfaceProperties_s(solid, found, 1e-7)
    return float(found.Mass())


def write_stl(solid: Shape, path: Path, chord_mm: float, angle_rad: float) -> None:
    """A binary STL, so in single precision."""
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.StlAPI import StlAPI_Writer

    BRepMesh_IncrementalMesh(solid, chord_mm, False, angle_rad, False)
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    assert writer.Write(solid, str(path))


def write_step(solid: Shape, path: Path) -> None:
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    writer = STEPControl_Writer()
    writer.Transfer(solid, STEPControl_AsIs)
    writer.Write(str(path))


def some_edges(solid, size, round_: bool, random: Random, share: float) -> Shape:
    """Some edges rounded or chamfered, one after another; those that the kernel cannot round are left sharp."""
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer, BRepFilletAPI_MakeFillet
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS, TopoDS_Edge

    edges = TopExp_Explorer(solid, TopAbs_EDGE)
    found: list[TopoDS_Edge] = []
    while edges.More():
        edge = TopoDS.Edge(edges.Current())
        if not any(edge.IsSame(other) for other in found):
            found.append(edge)
        edges.Next()
    chosen = [edge for edge in found if random.random() < share]
    for some in [chosen, *([edge] for edge in chosen[:3])]:  # all at once, else one that goes
        if not some:
            continue
        made = (BRepFilletAPI_MakeFillet if round_ else BRepFilletAPI_MakeChamfer)(solid)
        for edge in some:
            made.Add(float(size), edge)
        try:
            made.Build()
            if made.IsDone() and BRepCheck_Analyzer(made.Shape()).IsValid():
                return made.Shape()
        except Exception:  # the kernel raises its own kinds for roundings that do not fit
            continue
    return solid


def ribbed(random: Random) -> tuple[Shape, list[tuple[float, tuple, tuple, bool]]]:
    """A plate with ribs and bosses, edges rounded and chamfered, and holes drilled through all of these.

    With the holes: radius, a point of the axis, the axis from the mouth inward, and whether it goes through.
    """
    a, b, c = random.uniform(50, 90), random.uniform(40, 60), random.uniform(5, 9)
    solid, holes = block((a, b, c)), []
    thick, high = random.uniform(5, 8), random.uniform(12, 20)
    rib_y = b * random.uniform(0.35, 0.6)
    solid = fuse(solid, block((a, thick, high), (0, rib_y, c - 0.5)))
    if random.random() < 0.5:
        solid = fuse(solid, block((thick, b, high * 0.8), (a * 0.45, 0, c - 0.5)))
    boss = random.uniform(5, 7)
    at = (a * 0.2, rib_y - boss * random.uniform(0.3, 0.9))
    tall = high + random.uniform(-4, 4)
    solid = fuse(solid, rod(boss, tall, (*at, c - 0.5)))
    solid = some_edges(solid, random.uniform(0.6, 1.6), True, random, 0.5)
    if random.random() < 0.5:
        solid = some_edges(solid, random.uniform(0.3, 0.6), False, random, 0.15)
    top = c - 0.5 + tall
    tools = []
    r = boss * random.uniform(0.3, 0.5)
    if random.random() < 0.5:
        tools.append(rod(r, top + 3, (*at, -1)))
        holes.append((r, (*at, top), (0, 0, -1), True))
    else:
        deep = tall * random.uniform(0.4, 0.8)
        tools.append(rod(r, deep + 3, (*at, top - deep)))
        holes.append((r, (*at, top), (0, 0, -1), False))
    for x in (0.6, 0.75, 0.9)[: int(random.integers(1, 4))]:  # through the rib from the side
        r, z = random.uniform(1.2, 2.4), c + high * random.uniform(0.4, 0.6)
        tools.append(rod(r, b + 10, (a * x, -5, z), (0, 1, 0)))
        holes.append((r, (a * x, rib_y, z), (0, 1, 0), True))
    r, x = random.uniform(1.2, 2.2), a * random.uniform(0.63, 0.67)  # down through the foot of the rib
    y = rib_y - random.uniform(0.2, 1.2)
    tools.append(rod(r, c + high + 6, (x, y, -2)))
    holes.append((r, (x, y, c), (0, 0, -1), True))
    r, y = random.uniform(1.5, 2.5), b * random.uniform(0.08, 0.14)  # near a rounded edge of the plate, blind
    deep = c * random.uniform(0.4, 0.6)
    tools.append(rod(r, 30, (a * 0.85, y, c - deep)))
    holes.append((r, (a * 0.85, y, c), (0, 0, -1), False))
    return cut(solid, *tools), holes
