"""Size limits as people write them: 11.95 to 12.00, 12 +-0.02, 12 +0.02/-0.01, 12 h7.

Tolerance grades and deviations are those of ISO 286, from memory; no limit but those written in numbers is certain.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass

from areacalc.errors import BadInput, OutOfRange
from areacalc.quantity import Dimension, parse
from areacalc.sources import Kind, Source

ISO_286 = Source(Kind.FROM_MEMORY, "ISO 286 tolerance grades and deviations; check them in a table before you turn")
_UP_TO_MM = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0)
_GRADES_UM: dict[int, tuple[float, ...]] = {
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18, 20),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25, 29),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40, 46),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63, 72),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100, 115),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160, 185),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250, 290),
}
_CLEARANCE_UM: dict[str, tuple[float, ...]] = {
    "h": (0.0,) * 10,
    "g": (2, 4, 5, 6, 7, 9, 10, 12, 14, 15),
    "f": (6, 10, 13, 16, 20, 25, 30, 36, 43, 50),
    "e": (14, 20, 25, 32, 40, 50, 60, 72, 85, 100),
}
_ISO = re.compile(r"^(?P<size>\d+(?:[.,]\d+)?)\s*(?:mm)?\s*(?P<letter>js|[efgh])\s*(?P<grade>\d{1,2})$", re.IGNORECASE)
_BOTH = re.compile(r"^(?P<size>.+?)\s*(?:\+/?-|±)\s*(?P<half>.+)$")
_EACH = re.compile(r"^(?P<size>.+?)\s*(?P<upper>[+-][\d.,]+[^/]*)/\s*(?P<lower>[+-]?[\d.,]+.*)$")
_ENDS = re.compile(r"^(?P<least>.+?)\s*(?:\bto\b|\.\.|–)\s*(?P<most>.+)$")


_YOURS = Source(Kind.ENTERED, "limits you gave")


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most a size may end at [mm], and who says so. Raises BadInput unless 0 < least <= most."""

    least_mm: float
    most_mm: float
    source: Source = _YOURS

    def __post_init__(self) -> None:
        if not 0.0 < self.least_mm <= self.most_mm < float("inf"):
            what = f"{self.least_mm:g} to {self.most_mm:g} mm are not limits"
            raise BadInput("size", what, "give two sizes, the smaller first")

    @property
    def middle_mm(self) -> float:
        return 0.5 * (self.least_mm + self.most_mm)


def limits(words: str, where: str = "size") -> Limits:
    """The limits in words; a bare number is in mm. Raises BadInput, OutOfRange for a grade not held.

    >>> [(x.least_mm, x.most_mm) for x in (limits("11.95 to 12"), limits("12 +-0.02"), limits("12 +0.02/-0.01 mm"))]
    [(11.95, 12.0), (11.98, 12.02), (11.99, 12.02)]
    >>> shaft = limits("12 h7"); (shaft.least_mm, shaft.most_mm), shaft.source.kind.value
    ((11.982, 12.0), 'from memory')
    """
    text = " ".join(words.split())
    if found := _ISO.match(text):
        size_mm = parse(found["size"], Dimension.LENGTH, where, "mm")
        return iso_286(size_mm, found["letter"], int(found["grade"]), where)
    for pattern in (_EACH, _BOTH, _ENDS):
        if found := pattern.match(text):
            parts = [part.strip() for part in found.groups()]
            unit = next((u for u in map(_unit, reversed(parts)) if u), "mm")
            sizes = [parse(f"{part.removesuffix(_unit(part))} {unit}", Dimension.LENGTH, where) for part in parts]
            return Limits(*_ends(pattern, sizes))
    raise BadInput(where, f"'{words}' holds no limits", "write '11.95 to 12.00 mm', '12 +-0.02 mm' or '12 h7'")


def _unit(part: str) -> str:
    """The unit that ends a piece of text, or nothing."""
    return re.sub(r"^[\d.,/+\-\s]+", "", part)


def _ends(pattern: re.Pattern[str], sizes: list[float]) -> tuple[float, float]:
    """Least and most [mm], rounded to a nanometre: sums of decimals are not exact."""
    if pattern is _ENDS:
        return sizes[0], sizes[1]
    off = sizes[1:] if pattern is _EACH else [-abs(sizes[1]), abs(sizes[1])]
    return round(sizes[0] + min(off), 6), round(sizes[0] + max(off), 6)


def iso_286(size_mm: float, letter: str, grade: int, where: str = "size") -> Limits:
    """Limits of a nominal size [mm] with e, f, g, h (shafts), E, F, G, H (bores), js or JS and a grade from 5 to 11.

    From memory. Raises OutOfRange for a size over 250 mm or a grade that is not held.

    >>> iso_286(20.0, "H", 7).most_mm, iso_286(20.0, "f", 7).most_mm
    (20.021, 19.98)
    """
    if not 0.0 < size_mm <= _UP_TO_MM[-1] or grade not in _GRADES_UM:
        raise OutOfRange(
            where, f"{size_mm:g} {letter}{grade} is not held: over 0 to 250 mm, grades 5 to 11 ({ISO_286})",
            "give the limits in numbers",
        )  # fmt: skip
    step = bisect_left(_UP_TO_MM, size_mm)
    width = _GRADES_UM[grade][step] * 1e-3
    if letter.lower() == "js":
        ends = (size_mm - 0.5 * width, size_mm + 0.5 * width)
    else:
        off = _CLEARANCE_UM[letter.lower()][step] * 1e-3
        ends = (size_mm - off - width, size_mm - off) if letter.islower() else (size_mm + off, size_mm + off + width)
    return Limits(round(ends[0], 6), round(ends[1], 6), ISO_286)
