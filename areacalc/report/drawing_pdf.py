"""A drawing as a figure on a page of PDF, to the scale it names."""

from reportlab.graphics.shapes import Circle, Group, Polygon, PolyLine, Shape, String
from reportlab.graphics.shapes import Drawing as Figure
from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm

from areacalc.plant.paper import LOOKS, Dot, Drawing, Lettering, Mark
from areacalc.report.pdf_letters import face, in_face

_LINE_MM = 0.25


def drawing_pdf(drawing: Drawing) -> Figure:
    """The drawing as reportlab places it."""
    figure = Figure(drawing.wide_mm * mm, drawing.high_mm * mm, initialFontName=face())
    marks = Group(*(_shape(mark) for mark in drawing.marks))
    marks.transform = (mm, 0, 0, -mm, 0, drawing.high_mm * mm)  # mm downward, as on paper
    figure.add(marks)
    return figure


def _shape(mark: Mark | Dot | Lettering) -> Shape:
    if isinstance(mark, Lettering):
        text = String(0, 0, in_face(mark.text), fontName=face(mark.title), fontSize=mark.size_mm,
                      textAnchor="middle" if mark.middle else "start")  # fmt: skip
        placed = Group(text)
        placed.transform = (0, -1, -1, 0, mark.x, mark.y) if mark.turned else (1, 0, 0, -1, mark.x, mark.y)
        return placed
    fill, line = (HexColor(colour) if colour else None for colour in LOOKS[mark.kind])
    if isinstance(mark, Dot):
        return Circle(mark.x, mark.y, mark.radius_mm, fillColor=fill, strokeColor=line)
    flat = [number for point in mark.points for number in point]
    if mark.closed:
        return Polygon(flat, fillColor=fill, strokeColor=line, strokeWidth=_LINE_MM)
    dashes = [3, 1.5] if mark.kind == "level" else None
    return PolyLine(flat, strokeColor=line, strokeWidth=_LINE_MM, strokeDashArray=dashes)
