"""One exact face of the kernel: its surface, its true area and how far that can be trusted."""

import math
from typing import Any

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.GeomAbs import GeomAbs_Cone, GeomAbs_Cylinder, GeomAbs_Plane, GeomAbs_Sphere, GeomAbs_Torus
from OCP.gp import gp_Cone, gp_Cylinder, gp_Pln, gp_Sphere
from OCP.GProp import GProp_GProps
from OCP.ShapeAnalysis import ShapeAnalysis_CanonicalRecognition
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopoDS import TopoDS

from areacalc.shape.kinds import Face, Surface, SurfaceKind
from areacalc.shape.step.step_parts import pieces

# Each setting is far finer than the one before, since the kernel's own figure for its error can be a thousand times too
# small on a surface with a pole; the difference of two settings is what is trusted.
_SETTINGS = (1e-5, 1e-8, 1e-11, 1e-15)
# The measure of these is the same all over: the kernel's plain sum serves as the first, a rough setting as the second.
_EVEN = (GeomAbs_Plane, GeomAbs_Cylinder)
_ROUGH = 1e-2
_AGREE = 1e-9  # relative
_FITS_MM = 1e-5  # the kernel widens an edge that lies farther than this off its face
_ALIKE_MM = 1e-6  # a free-form surface this near to an analytic one is that one
_ANALYTIC = {GeomAbs_Plane: "Plane", GeomAbs_Cylinder: "Cylinder", GeomAbs_Cone: "Cone", GeomAbs_Sphere: "Sphere",
             GeomAbs_Torus: "Torus"}  # fmt: skip
_RECOGNISED = {gp_Pln: "IsPlane", gp_Cylinder: "IsCylinder", gp_Cone: "IsCone", gp_Sphere: "IsSphere"}


def exact_face(face: Any) -> Face:
    """A TopoDS_Face in its part's own coordinates."""
    area, error = exact_area_mm2(face)
    return Face(surface_of(face, face.Orientation() == TopAbs_REVERSED), area, error + _misfit_mm2(face))


def exact_area_mm2(face: Any) -> tuple[float, float]:
    """The area of a face and the difference of the last two settings, tightened until they agree.

    A face whose boundary runs the wrong way round comes out negative, so the size alone is taken.
    """
    before, error = math.nan, math.nan
    settings: tuple[float, ...] = _SETTINGS
    if BRepAdaptor_Surface(face, False).GetType() in _EVEN:
        plain = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, plain)
        before, settings = abs(plain.Mass()), (_ROUGH, *_SETTINGS)
    for setting in settings:
        found = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, found, setting, False)
        area = abs(found.Mass())
        error = abs(area - before)
        before = area
        if error <= _AGREE * area:
            break
    return before, error


def _misfit_mm2(face: Any) -> float:
    """What edges that miss the face they bound may add to it or take off."""
    edges = [TopoDS.Edge(each) for each in pieces(face, TopAbs_EDGE)]
    loose = [(BRep_Tool.Tolerance_s(edge), BRepAdaptor_Curve(edge)) for edge in edges if _misses(edge)]
    return math.fsum(off_mm * GCPnts_AbscissaPoint.Length_s(curve) for off_mm, curve in loose)


def _misses(edge: Any) -> bool:
    return BRep_Tool.Tolerance_s(edge) > _FITS_MM and not BRep_Tool.Degenerated_s(edge)


def surface_of(face: Any, turned: bool) -> Surface:
    """The analytic surface of a face, also where the file writes it as a free form."""
    sheet = BRepAdaptor_Surface(face, True)
    if (kind := sheet.GetType()) in _ANALYTIC:
        return _surface(getattr(sheet, _ANALYTIC[kind])(), turned)
    test = ShapeAnalysis_CanonicalRecognition(face)
    # the fitted plane's own side is not the face's: leave the normal to the triangles
    for alike in (gp_Pln(), gp_Cylinder(), gp_Cone(), gp_Sphere()):
        if getattr(test, _RECOGNISED[type(alike)])(_ALIKE_MM, alike):
            return _surface(alike, turned)
    return Surface(SurfaceKind.FREE_FORM)


def _surface(shape: Any, turned: bool) -> Surface:
    """The kernel's plane, cylinder, cone, sphere or torus as ours."""
    place = _xyz(shape.Location())
    if isinstance(shape, gp_Sphere):
        return Surface(SurfaceKind.SPHERE, place, radius_mm=shape.Radius())
    way = shape.Axis().Direction()
    if isinstance(shape, gp_Pln):
        flip = turned != (not shape.Direct())  # a left-handed plane's normal is x cross y, against its axis
        return Surface(SurfaceKind.PLANE, place, _xyz(way.Reversed() if flip else way))
    if isinstance(shape, gp_Cylinder):
        return Surface(SurfaceKind.CYLINDER, place, _xyz(way), shape.Radius())
    if isinstance(shape, gp_Cone):
        angle = shape.SemiAngle()
        along = _xyz(way if angle >= 0.0 else way.Reversed())
        return Surface(SurfaceKind.CONE, place, along, shape.RefRadius(), half_angle_rad=abs(angle))
    return Surface(SurfaceKind.TORUS, place, _xyz(way), shape.MajorRadius(), shape.MinorRadius())


def _xyz(point: Any) -> tuple[float, float, float]:
    return float(point.X()), float(point.Y()), float(point.Z())
