"""STEP files made on the spot with the CAD kernel itself."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


class StepFiles:
    """Solids, and the files they are written to."""

    def __init__(self, folder: Path) -> None:
        from OCP.STEPCAFControl import STEPCAFControl_Controller

        STEPCAFControl_Controller.Init_s()
        self.folder = folder

    def write(self, name: str, *shapes: Any, unit: str = "MM", schema: str = "AP214IS") -> Path:
        """One file with a root for each shape."""
        from OCP.Interface import Interface_Static
        from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

        Interface_Static.SetCVal_s("write.step.unit", unit)
        Interface_Static.SetCVal_s("write.step.schema", schema)
        writer = STEPControl_Writer()
        for shape in shapes:
            writer.Transfer(shape, STEPControl_AsIs)
        path = self.folder / name
        writer.Write(str(path))
        Interface_Static.SetCVal_s("write.step.unit", "MM")
        return path

    def box(self, x: float = 10.0, y: float = 20.0, z: float = 30.0, at: tuple[float, float, float] = (0, 0, 0)) -> Any:
        from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
        from OCP.gp import gp_Pnt

        return BRepPrimAPI_MakeBox(gp_Pnt(*at), x, y, z).Shape()

    def rod(self, radius: float, height: float, at: tuple[float, float, float] = (0, 0, 0),
            along: tuple[float, float, float] = (0, 0, 1)) -> Any:  # fmt: skip
        from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
        from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

        return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*at), gp_Dir(*along)), radius, height).Shape()

    def cut(self, body: Any, *tools: Any) -> Any:
        from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

        for tool in tools:
            body = BRepAlgoAPI_Cut(body, tool).Shape()
        return body

    def together(self, *shapes: Any) -> Any:
        """One compound, which becomes one root."""
        from OCP.BRep import BRep_Builder
        from OCP.TopoDS import TopoDS_Compound

        whole, builder = TopoDS_Compound(), BRep_Builder()
        builder.MakeCompound(whole)
        for shape in shapes:
            builder.Add(whole, shape)
        return whole

    def plane(self, side: float, z: float) -> Any:
        """A square sheet with no thickness."""
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
        from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

        return BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(0, 0, z), gp_Dir(0, 0, 1)), 0.0, side, 0.0, side).Face()

    def ellipsoid(self, a: float, b: float, c: float) -> Any:
        from OCP.BRepBuilderAPI import BRepBuilderAPI_GTransform
        from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
        from OCP.gp import gp_GTrsf

        stretch = gp_GTrsf()
        for row, size in enumerate((a, b, c), 1):
            stretch.SetValue(row, row, size)
        return BRepBuilderAPI_GTransform(BRepPrimAPI_MakeSphere(1.0).Shape(), stretch, True).Shape()

    def triangles_of(self, shape: Any) -> Any:
        """A shell of faces that are triangles only."""
        from OCP.BRep import BRep_Builder, BRep_Tool
        from OCP.BRepMesh import BRepMesh_IncrementalMesh
        from OCP.TopAbs import TopAbs_FACE, TopAbs_REVERSED
        from OCP.TopExp import TopExp_Explorer
        from OCP.TopLoc import TopLoc_Location
        from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shell

        BRepMesh_IncrementalMesh(shape, 0.1, False, 0.3, False)
        builder, shell = BRep_Builder(), TopoDS_Shell()
        builder.MakeShell(shell)
        explorer = TopExp_Explorer(shape, TopAbs_FACE)
        while explorer.More():
            old = TopoDS.Face(explorer.Current())
            face = TopoDS_Face()
            builder.MakeFace(face, BRep_Tool.Triangulation_s(old, TopLoc_Location()))
            builder.Add(shell, face.Reversed() if old.Orientation() == TopAbs_REVERSED else face)
            explorer.Next()
        return shell

    def rack(self, name: str = "rack.step") -> Path:
        """An assembly: one knob, a red seat on it and the rest green, placed twice, one of them turned."""
        from OCP.gp import gp_Ax1, gp_Trsf, gp_Vec
        from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
        from OCP.STEPCAFControl import STEPCAFControl_Writer
        from OCP.STEPControl import STEPControl_AsIs
        from OCP.TCollection import TCollection_ExtendedString as Words
        from OCP.TDataStd import TDataStd_Name
        from OCP.TDocStd import TDocStd_Document
        from OCP.TopAbs import TopAbs_FACE
        from OCP.TopExp import TopExp_Explorer
        from OCP.TopLoc import TopLoc_Location
        from OCP.XCAFDoc import XCAFDoc_ColorGen, XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

        document = TDocStd_Document(Words("XmlXCAF"))
        tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
        colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
        knob = self.box()
        part = tool.AddShape(knob, False)
        TDataStd_Name.Set_s(part, Words("knob"))
        whole = tool.NewShape()
        TDataStd_Name.Set_s(whole, Words("rack"))
        turned = gp_Trsf()
        turned.SetRotation(gp_Ax1(), 1.0)
        moved = gp_Trsf()
        moved.SetTranslation(gp_Vec(100.0, 0.0, 0.0))
        for place, word in ((gp_Trsf(), "left knob"), (moved * turned, "rechter Knopf Ø")):
            TDataStd_Name.Set_s(tool.AddComponent(whole, part, TopLoc_Location(place)), Words(word, True))
        tool.UpdateAssemblies()
        seat = tool.AddSubShape(part, TopExp_Explorer(knob, TopAbs_FACE).Current())
        colours.SetColor(seat, Quantity_Color(1.0, 0.0, 0.0, Quantity_TOC_sRGB), XCAFDoc_ColorSurf)
        colours.SetColor(part, Quantity_Color(0.0, 0.5, 0.0, Quantity_TOC_sRGB), XCAFDoc_ColorGen)
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        writer.Transfer(document, STEPControl_AsIs)
        path = self.folder / name
        writer.Write(str(path))
        return path


@pytest.fixture(scope="session")
def step_files(tmp_path_factory: pytest.TempPathFactory) -> StepFiles:
    return StepFiles(tmp_path_factory.mktemp("step"))


@pytest.fixture
def put(tmp_path: Path) -> Callable[[str, str | bytes], Path]:
    """Write a file of that name and content."""

    def write(name: str, content: str | bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write
