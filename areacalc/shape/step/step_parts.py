"""The tree of a STEP file: every part at every place it is used, with names and colours, and the pieces that are its
skin: solids, closed shells and triangles; what stands beside them is left out."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from OCP.BRep import BRep_Tool
from OCP.collections import Sequence_TDF_Label
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TopAbs import (
    TopAbs_EDGE,
    TopAbs_EXTERNAL,
    TopAbs_FACE,
    TopAbs_INTERNAL,
    TopAbs_SHELL,
    TopAbs_SOLID,
    TopAbs_VERTEX,
)
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import XCAFDoc_ColorGen, XCAFDoc_ColorSurf, XCAFDoc_ColorTool, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from areacalc.errors import BadInput

Colour = tuple[int, int, int]
_NO_NAMES = ("SOLID", "COMPOUND", "COMPSOLID", "SHELL", "FACE")  # the kernel's words for what the file leaves nameless
_DEEPEST = 200  # levels of assembly: a file that refers to itself must end


@dataclass(frozen=True, eq=False)
class PlacedShape:
    """A part at one place: its shape without the place, the place, its label's key, and its name and colour there."""

    shape: Any
    place: Any
    key: str
    name: str
    colour: Colour | None
    label: Any


def parts(source: str, document: Any) -> Iterator[PlacedShape]:
    """Every part of the document at every place, in the file's order. Raises BadInput: a part that is not there."""
    for label in free_shapes(document):
        yield from _walk(source, label, TopLoc_Location(), "", None, 0)


def free_shapes(document: Any) -> Iterator[Any]:
    """The labels of the shapes that no other shape holds."""
    labels = Sequence_TDF_Label()
    XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).GetFreeShapes(labels)
    yield from _each(labels)


def _walk(source: str, label: Any, place: Any, above: str, colour: Colour | None, depth: int) -> Iterator[PlacedShape]:
    here, name = place, _name(label)
    if XCAFDoc_ShapeTool.IsReference_s(label):
        colour = _colour(label) or colour
        here = place * XCAFDoc_ShapeTool.GetLocation_s(label)
        target = TDF_Label()
        if not XCAFDoc_ShapeTool.GetReferredShape_s(label, target):
            raise BadInput(source, f"uses a part '{name}' that is not in it", "export the assembly again")
        label = target
    name = name or _name(label) or above
    colour = colour or _colour(label)
    if XCAFDoc_ShapeTool.IsAssembly_s(label):
        if depth > _DEEPEST:
            raise BadInput(source, f"nests '{name}' over {_DEEPEST} levels deep", "export the assembly again")
        pieces = Sequence_TDF_Label()
        XCAFDoc_ShapeTool.GetComponents_s(label, pieces, False)
        for piece in _each(pieces):
            yield from _walk(source, piece, here, name, colour, depth + 1)
        return
    if XCAFDoc_ShapeTool.IsExternRef_s(label):
        raise BadInput(source, f"keeps the part '{name}' in another file", "export it all as one file")
    shape = XCAFDoc_ShapeTool.GetShape_s(label)
    yield PlacedShape(shape, here, _key(label), name, colour, label)


def marks_of(label: Any) -> tuple[dict[Any, str], dict[Any, Colour]]:
    """The names and the colours of a part's solids, shells and faces, by key_of."""
    names, colours = {}, {}
    pieces = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetSubShapes_s(label, pieces)
    for piece in _each(pieces):
        shape = XCAFDoc_ShapeTool.GetShape_s(piece).Located(TopLoc_Location())
        if name := _name(piece):
            names[key_of(shape)] = name
        if colour := _colour(piece):
            colours[key_of(shape)] = colour
    return names, colours


def key_of(shape: Any) -> Any:
    """The same for the same piece of the kernel's, whichever way round it is used."""
    return shape.TShape()


def pieces(shape: Any, kind: Any, not_in: Any = None) -> list[Any]:
    """The sub-shapes of a kind, in order; not those inside a `not_in`."""
    explorer = TopExp_Explorer(shape, kind) if not_in is None else TopExp_Explorer(shape, kind, not_in)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _each(labels: Any) -> Iterator[Any]:
    for index in range(1, labels.Length() + 1):
        yield labels.Value(index)


def _name(label: Any) -> str:
    if not label.IsAttribute(TDataStd_Name.GetID_s()):  # to look for one that is not there has crashed the kernel
        return ""
    attribute = TDataStd_Name()
    label.FindAttribute(TDataStd_Name.GetID_s(), attribute)
    name = str(attribute.Get().ToExtString()).strip()
    return "" if name in _NO_NAMES or name.startswith(("NAUO", "=>[")) else name


def _colour(label: Any) -> Colour | None:
    colour = Quantity_Color()
    for kind in (XCAFDoc_ColorSurf, XCAFDoc_ColorGen):
        if XCAFDoc_ColorTool.GetColor_s(label, kind, colour):
            red, green, blue = colour.Values(Quantity_TOC_sRGB)
            return round(255 * red), round(255 * green), round(255 * blue)
    return None


def _key(label: Any) -> str:
    from OCP.TCollection import TCollection_AsciiString
    from OCP.TDF import TDF_Tool

    entry = TCollection_AsciiString()
    TDF_Tool.Entry_s(label, entry)
    return str(entry.ToCString())


@dataclass(frozen=True, eq=False)
class FaceGroup:
    """Faces that belong together (a solid, a shell, a loose face) and the kernel's shape they come from."""

    shape: Any
    faces: list[Any]


@dataclass(frozen=True, eq=False)
class PartSkin:
    """The pieces of one part, sorted. `bare` groups are triangles without an exact surface."""

    solids: list[FaceGroup]
    open: list[FaceGroup]
    bare: list[FaceGroup]
    wires: int


def sort_pieces(shape: Any) -> PartSkin:
    """Sort a part's shape: closed shells that belong to no solid count as solids."""
    solids, opened, bare = [], [], []
    shells = [*pieces(shape, TopAbs_SOLID), *pieces(shape, TopAbs_SHELL, TopAbs_SOLID)]
    for each in [*shells, *pieces(shape, TopAbs_FACE, TopAbs_SHELL)]:
        faces = [TopoDS.Face(f) for f in pieces(each, TopAbs_FACE)]
        inside = (TopAbs_INTERNAL, TopAbs_EXTERNAL)  # a partition within, not skin
        faces = [f for f in faces if f.Orientation() not in inside]
        if not faces:
            continue
        group = FaceGroup(each, faces)
        if all(is_bare(f) for f in faces):
            bare.append(group)
        elif each.ShapeType() == TopAbs_SOLID or (each.ShapeType() == TopAbs_SHELL and BRep_Tool.IsClosed_s(each)):
            solids.append(group)
        else:
            opened.append(group)
    wires = len(pieces(shape, TopAbs_EDGE, TopAbs_FACE)) + len(pieces(shape, TopAbs_VERTEX, TopAbs_EDGE))
    return PartSkin(solids, opened, bare, wires)


def is_bare(face: Any) -> bool:
    """Whether a face is triangles and has no surface of its own."""
    return BRep_Tool.Surface_s(face) is None
