"""The run sheet as one HTML file that needs nothing else: one side to work from, then the sources."""

from importlib.resources import files

from markupsafe import Markup

from areacalc.plant.paper import svg
from areacalc.report.html import filled
from areacalc.report.sheet import Sheet


def sheet_html(sheet: Sheet, letter: bool = False) -> str:
    """The sheet as a whole HTML document, to print on A4 or Letter."""
    template = (files(__package__) / "sheet.html").read_text("utf-8")
    drawing, glance, closeup = (
        Markup(svg(each)) if each is not None else None for each in (sheet.drawing, sheet.glance, sheet.closeup)
    )
    return filled(
        template, sheet=sheet, drawing=drawing, glance=glance, closeup=closeup, paper="letter" if letter else "A4"
    )
