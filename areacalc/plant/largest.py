"""The largest load that a tank is built for: its envelope and its skin, from sizes or from words."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate
from areacalc.quantity import MOST_COUNT, Dimension, parse
from areacalc.sources import Constant, Kind, Source

BETWEEN_PARTS = Constant(
    50.0, "mm", Source(Kind.COMMON_PRACTICE, "parts hang at least 50 mm apart, so that they do not shade each other")
)


@dataclass(frozen=True, slots=True)
class Largest:
    """The rack's envelope as it hangs, and all the skin on it.

    length_mm runs along the tank, height_mm down, thickness_mm across, toward the cathodes. Raises BadInput for sizes
    or an area not above zero.
    """

    length_mm: float
    height_mm: float
    thickness_mm: float
    area_mm2: Estimate
    words: str = ""
    count: int = 1

    def __post_init__(self) -> None:
        sizes = (self.length_mm, self.height_mm, self.thickness_mm, self.area_mm2.low)
        if self.count < 1 or not all(0.0 < size < math.inf for size in sizes):
            raise BadInput("largest load", f"'{self.words or sizes}' has no size", "give sizes above zero")


def row_of(
    size_mm: tuple[float, float, float], area_mm2: Estimate, count: int = 1, words: str = "", upright: bool = False
) -> Largest:
    """`count` equal parts in one row: the longest side along the tank, or down, and the shortest toward the cathodes.

    >>> row_of((300.0, 200.0, 6.0), Estimate.exact(126_000.0), 2).length_mm
    650.0
    """
    if count < 1:
        raise BadInput("largest load", f"{count} parts", "give at least one")
    thick, middle, longest = sorted(size_mm)
    wide, high = (middle, longest) if upright else (longest, middle)
    length_mm = count * wide + (count - 1) * BETWEEN_PARTS.value
    return Largest(length_mm, high, thick, area_mm2.scaled(count), words, count)


_WORDS = re.compile(
    r"^\s*(?:(?P<count>\d{1,9}|an?|one)\s+)?(?P<kind>plate|block|rod|bar|cylinder|tube|pipe)s?\s*(?:of|,|:)?\s*(?P<sizes>\S.*)$",
    re.I,
)
_UNIT_OF = re.compile(r"^[\d.,/\s+-]*")
_SIDES = {"plate": 3, "block": 3, "rod": 2, "bar": 2, "cylinder": 2, "tube": 3, "pipe": 3}


def largest(words: str, where: str = Field.LARGEST, upright: bool = False) -> Largest:
    """The largest load from words, hung with its longest side along the tank or, upright, down.

    "a plate of 300 x 200 x 6 mm", "2 plates of 12 x 8 x 1/4 in", "a rod of 400 x 30 mm" (length x diameter),
    "a tube of 400 x 30 x 26 mm" (length x outside x bore). A size with no unit takes that of the last, and `words` says
    so: "a rod of 400 mm x 1/2 in" has both. Raises BadInput.

    >>> largest("a plate of 300 x 200 x 6 mm").area_mm2.value
    126000.0
    >>> largest("a rod of 16 x 1/2 in").words
    'a rod of 16 in x 1/2 in'
    """
    found = _WORDS.match(words)
    example = "write it like 'a plate of 300 x 200 x 6 mm', 'a rod of 400 x 30 mm' or 'a tube of 400 x 30 x 26 mm'"
    if found is None:
        raise BadInput(where, f"'{words}' is not a shape that is known", example)
    kind = found["kind"].lower()
    sizes = [each.strip() for each in re.split(r"\s*[x×*]\s*|\s+by\s+", found["sizes"].strip())]
    if len(sizes) != _SIDES[kind]:
        raise BadInput(where, f"a {kind} has {_SIDES[kind]} sizes, '{found['sizes']}' has {len(sizes)}", example)
    unit = _UNIT_OF.sub("", sizes[-1])
    sizes_mm = [parse(each, Dimension.LENGTH, where, unit or None) for each in sizes]
    if min(sizes_mm) <= 0.0:
        raise BadInput(where, f"'{words}' has a size that is not above zero", example)
    count = int(found["count"]) if (found["count"] or "a").isdigit() else 1
    if count > MOST_COUNT:
        raise BadInput(where, f"{count} are more than {MOST_COUNT}, the most taken", "give how many hang at once")
    envelope, area_mm2 = _shape(kind, sizes_mm, words, where)
    read_as = " x ".join(each if _UNIT_OF.sub("", each) else f"{each} {unit}" for each in sizes)
    said = f"{found['count'] or 'a'} {kind}{'s' * (count > 1)} of {read_as}"
    return row_of(envelope, Estimate.exact(area_mm2), count, said, upright)


def _shape(kind: str, mm: list[float], words: str, where: str) -> tuple[tuple[float, float, float], float]:
    if _SIDES[kind] == 3 and kind not in ("tube", "pipe"):
        a, b, c = mm
        return (a, b, c), 2.0 * (a * b + b * c + c * a)
    length, outside, bore = mm[0], mm[1], mm[2] if len(mm) == 3 else 0.0
    if bore >= outside:
        raise BadInput(where, f"'{words}' has a bore as wide as the tube", "give length x outside x bore")
    ends = 0.5 * math.pi * (outside**2 - bore**2)
    return (length, outside, outside), math.pi * (outside + bore) * length + ends
