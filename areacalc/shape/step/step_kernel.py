"""The one door to the CAD kernel: a STEP file in, and a check that all of it came through. Runs in the child process.

The kernel answers "done" for files it has read in part, so its word is not taken: every message of its load and of its
transfer is looked at, and every face and solid that the file holds must have become one of the kernel's.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Sphere, GeomAbs_Torus
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Reader
from OCP.STEPConstruct import STEPConstruct
from OCP.StepShape import StepShape_ConnectedFaceSet, StepShape_ManifoldSolidBrep
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_FACE
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.shape.body import Body
from areacalc.shape.fenced import tell
from areacalc.shape.kinds import FileNote, Note
from areacalc.shape.step.step_collect import collect
from areacalc.shape.step.step_parts import free_shapes, pieces
from areacalc.shape.step.step_text import USED, records

_GEOMETRY = ("StepGeom_", "StepShape_", "StepRepr_Shape", "StepRepr_RepresentationRelationship", "StepRepr_Mapped",
             "StepRepr_ItemDefined")  # fmt: skip
_NOTES = re.compile(  # kinds of notes on a drawing that the kernel files among the shapes
    r"StepRepr_ShapeAspect|StepShape_(Angular|Dimension|Limits|Measure|PlusMinus|Precision|Qualified|Tolerance|Type|Value"
    r"|ShapeDimension|DirectedDimension)"
)
_LABEL = "not a quoted String"  # what the kernel says of a name or a description that is `$`
_DRAWN = re.compile(rb"TEXT|CALLOUT|ANNOTATION|DRAUGHTING|DIMENSION|SYMBOL|DESCRIPTIVE|MEASURE_REPRESENTATION_ITEM")
_EDGES, _AS_GIVEN, _IN_SPACE = "read.surfacecurve.mode", 0, 3
_TURN = 1e-4  # of a turn: what more is no rounding
_DRAWN_AGAIN = 1e-4  # of an area: edges drawn again on their surfaces lie within less
_REMEDY = "export the part again, as AP214 or AP242"


def read_part(path: Path) -> Body:
    """The body in a file, in mm of the units it declares. Raises BadInput if not read whole."""
    document, damaged, unread = _load(path)
    more, misread = 0.0, _misread(document)
    if any(misread):  # the file's own flat copies of the edges lead astray: the edges in space are taken instead
        Interface_Static.SetIVal_s(_EDGES, _IN_SPACE)
        try:
            again, *counts = _load(path)
        finally:
            Interface_Static.SetIVal_s(_EDGES, _AS_GIVEN)
        if _misread(again) < misread:
            document, (damaged, unread), more = again, counts, _DRAWN_AGAIN
        if _misread(document)[0]:
            raise BadInput(path.name, "has a face that goes round its ball or ring more than once", _REMEDY)
    body = collect(path.name, document)
    faces = (replace(f, area_error_mm2=f.area_error_mm2 + more * f.area_mm2) for f in body.faces)
    notes = list(body.notes)
    if damaged:
        notes.append(Note(fact(FileNote.ANNOTATION_DAMAGED, count=damaged)))
    if unread:
        notes.append(Note(fact(FileNote.SURFACES_UNUSED, count=unread), warns=True))
    return replace(body, faces=tuple(faces), notes=tuple(notes))


def _misread(document: TDocStd_Document) -> tuple[int, int]:
    """How many faces go round their ball or ring more than once; of how many the kernel finds the boundary false."""
    twice, false = 0, 0
    for label in free_shapes(document):
        for face in map(TopoDS.Face, pieces(XCAFDoc_ShapeTool.GetShape_s(label), TopAbs_FACE)):
            if BRepAdaptor_Surface(face, False).GetType() in (GeomAbs_Sphere, GeomAbs_Torus):
                begin, end, *_ = BRepTools.UVBounds_s(face)
                twice += end - begin > 2.0 * math.pi * (1.0 + _TURN)
                false += not BRepCheck_Analyzer(face).IsValid()
    return twice, false


def _load(path: Path) -> tuple[TDocStd_Document, int, int]:
    """The kernel's document; damaged entities of no account; shells that belong to no part."""
    STEPCAFControl_Controller.Init_s()
    Interface_Static.SetIVal_s("read.stepcaf.subshapes.name", 1)
    Interface_Static.SetCVal_s("read.step.tessellated", "OnNoBRep")  # a part stored both ways counts once
    Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
    reader = STEPCAFControl_Reader()
    for switch in (reader.SetColorMode, reader.SetNameMode):
        switch(True)
    for switch in (reader.SetGDTMode, reader.SetMatMode, reader.SetViewMode, reader.SetLayerMode, reader.SetPropsMode):
        switch(False)
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise BadInput(path.name, "is not a readable STEP file", _REMEDY)
    basic = reader.ChangeReader()
    basic.SetSystemLengthUnit(1.0)
    session = basic.WS()
    model = session.Model()
    damaged = _check_records(path, session.ModelCheckList(True), model)
    tell("building the part")
    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
    if basic.NbRootsForTransfer() == 0:
        raise BadInput(path.name, "holds no part", "export the part itself as a solid")
    if not reader.Transfer(document):
        raise BadInput(path.name, "was not read: the CAD kernel made no part of it", _REMEDY)
    return document, damaged, _check_whole(path.name, session, model)


def _check_records(path: Path, checks: Any, model: Any) -> int:
    """How many records of no account for the geometry are damaged; raise BadInput for one that is."""
    failed = []
    for check, entity in _failures(checks):
        faults = [str(check.CFail(number, True)) for number in range(1, check.NbFails() + 1)]
        if not all(_LABEL in each for each in faults):  # no shape hangs on a text that is not there
            failed.append((check, entity))
    told = records(path.read_bytes()) if failed else []
    for check, entity in failed:
        kind = "" if entity is None else entity.DynamicType().Name()
        if not kind.startswith(_GEOMETRY) or _NOTES.match(kind):
            continue
        number, words = _record_of(entity, model, told)
        if kind == "StepShape_ShapeRepresentation":
            # it may list drawing text beside the solid that the kernel does not know; solids are counted later on
            defined = dict(told)
            drawn = [item for item in USED.findall(words.split(b")")[0]) if _DRAWN.search(defined.get(int(item), b""))]
            if len(drawn) >= check.NbFails():
                continue
        where = f"{path.name}, #{number}" if number else path.name
        said = " ".join((check.CFail(1, True) or "no reason given").split())
        raise BadInput(where, f"cannot be read ({said})", _REMEDY)
    return len(failed)


def _record_of(entity: Any, model: Any, told: list[tuple[int, bytes]]) -> tuple[int, bytes]:
    """The number and words of the record a damaged entity comes from: the kernel keeps only their order."""
    for row in range(1, min(model.NbEntities(), len(told)) + 1):
        if model.IsReportEntity(row, False) and model.ReportEntity(row).Concerned() is entity:
            return told[row - 1]
    return 0, b""


def _failures(checks: Any) -> Iterator[tuple[Any, Any]]:
    checks.Start()
    while checks.More():
        check = checks.Value()
        if check.HasFailed():
            yield check, check.Entity() if check.HasEntity() else None
        checks.Next()


def _check_whole(name: str, session: Any, model: Any) -> int:
    """Raise BadInput unless every solid and every face of each shell that was read came through."""
    process = session.TransferReader().TransientProcess()
    unread = 0
    for number in range(1, model.NbEntities() + 1):
        entity = model.Entity(number)
        if isinstance(entity, StepShape_ManifoldSolidBrep):
            if STEPConstruct.FindShape_s(process, entity).IsNull():
                where = f"{name}, #{model.IdentLabel(entity)}"
                raise BadInput(where, "is a solid that was not read, so the part is not whole", _REMEDY)
        elif isinstance(entity, StepShape_ConnectedFaceSet):
            faces = [entity.CfsFacesValue(i) for i in range(1, entity.NbCfsFaces() + 1)]
            lost = [f for f in faces if STEPConstruct.FindShape_s(process, f).IsNull()]
            if lost and len(lost) == len(faces):
                unread += 1
            elif lost:
                where = f"{name}, #{model.IdentLabel(lost[0])}"
                what = (
                    f"is a face that was not read ({len(lost)} of {len(faces)} in its shell), so the part is not whole"
                )
                raise BadInput(where, what, _REMEDY)
    return unread
