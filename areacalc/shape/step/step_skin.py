"""Which pieces of a part are its skin: solids, closed shells and triangles; what stands beside them is left out."""

from dataclasses import dataclass
from typing import Any

from OCP.BRep import BRep_Tool
from OCP.TopAbs import (
    TopAbs_EDGE,
    TopAbs_EXTERNAL,
    TopAbs_FACE,
    TopAbs_INTERNAL,
    TopAbs_SHELL,
    TopAbs_SOLID,
    TopAbs_VERTEX,
)
from OCP.TopoDS import TopoDS

from areacalc.shape.step.step_parts import pieces


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
