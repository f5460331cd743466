"""The typeface of printed pages: Atkinson Hyperlegible Next, embedded in each PDF (SIL Open Font License).

Its µ is made here, of its u with a longer stem.
"""

from functools import cache
from importlib.resources import files
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont


def face(bold: bool = False) -> str:
    """The name by which a page of PDF calls the typeface."""
    return str(_font(bold).fontName)


def in_face(text: str) -> str:
    """A text whose letters the typeface has; a question mark stands for each other letter."""
    known = _font(False).face.charToGlyph
    return "".join(letter if ord(letter) in known else "?" for letter in text)


@cache
def _font(bold: bool) -> Any:
    name = "bold" if bold else "regular"
    with (files("areacalc.report") / "typeface" / f"{name}.ttf").open("rb") as file:
        font = TTFont(f"areacalc-{name}", file)
    pdfmetrics.registerFont(font)
    return font
