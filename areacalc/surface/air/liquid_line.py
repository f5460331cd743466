"""The liquid line of a part that hangs partly out of the bath, and the skin it leaves dry."""

import re
from dataclasses import dataclass

import numpy as np

from areacalc.errors import BadInput, Field
from areacalc.quantity import Dimension, parse
from areacalc.shape.kinds import Floats
from areacalc.surface.air.level_clip import above
from areacalc.surface.air.trapped_air import Trapped

_LINE = re.compile(r"(?P<depth>.+?)\s+(?:under|below)\s+(?:the\s+)?top$|(?P<height>.+?)(?:\s+up)?$", re.I)


@dataclass(frozen=True, slots=True)
class LiquidLine:
    """How far the liquid stands up the part from its lowest point [mm], or else how far under its highest."""

    from_lowest_mm: float | None = None
    under_top_mm: float | None = None

    def height_mm(self, heights: Floats) -> float:
        """The height of the line along up, for the heights of the part's points."""
        if self.from_lowest_mm is not None:
            return float(heights.min()) + self.from_lowest_mm
        return float(heights.max()) - (self.under_top_mm or 0.0)


def line(words: str, where: str = Field.LIQUID_LINE) -> LiquidLine:
    """A liquid line from its words. Raises BadInput.

    >>> line("40 mm"), line("5 mm below the top")
    (LiquidLine(from_lowest_mm=40.0, under_top_mm=None), LiquidLine(from_lowest_mm=None, under_top_mm=5.0))
    """
    found = _LINE.match(words.strip())
    if found is None:
        raise BadInput(where, "no height is given", "write 40 mm (up from the lowest point) or 5 mm below the top")
    length = parse(found["depth"] or found["height"], Dimension.LENGTH, where)
    if length < 0.0:
        raise BadInput(where, f"{length:g} mm is below zero", "give how far up the part the liquid stands")
    return LiquidLine(under_top_mm=length) if found["depth"] else LiquidLine(from_lowest_mm=length)


def dry_at_line(air: Trapped, held: Trapped, line_mm: float, raised_mm: Floats | float = 0.0) -> tuple[Floats, Floats]:
    """The area of each triangle of the skin (k,) that trapped air keeps dry under a liquid line at this height along
    up, and what the line leaves dry.

    air: what is trapped going down; held: what is carried coming up the same way. Dry are all above the line, and the
    cups under it whose brims stand out of the liquid, into which none runs. raised_mm: each triangle, over where it is
    drawn.
    """
    skin = air.skin
    over = (skin.points @ air.up - line_mm)[skin.corners]
    share, _ = above(over + np.reshape(raised_mm, (-1, 1)), skin.rounding_mm)
    whole = skin.area_mm2
    out = np.array([-pocket.level_mm > line_mm for pocket in held.pockets] + [False])
    above_mm2: Floats = np.where(out[held.pocket_of], whole, share * whole)
    if not air.pockets:
        return air.dry_mm2, above_mm2
    high = np.array([pocket.level_mm >= line_mm for pocket in air.pockets] + [True])[air.pocket_of]
    # both are cut off from the top of a triangle: what the line takes is taken from the pocket's
    under = np.where(high, 0.0, air.dry_mm2 - share * whole)
    return np.minimum(under, whole - above_mm2).clip(min=0.0), above_mm2
