"""The largest load that a tank is built for: its parts and their surface, from sizes or from words."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate, total
from areacalc.plant.hung import RackPart, box_part
from areacalc.quantity import MOST_COUNT, Dimension, parse


@dataclass(frozen=True, slots=True)
class Largest:
    """The most that is to hang at once: every kind of part with the ways it may hang, and all the surface on it.

    each_mm2 is the surface of one part of each kind. bare_mm2: what the most of area_mm2 holds of bare aluminium wire
    in the liquid. Raises BadInput for no parts and for an area not above zero.
    """

    parts: tuple[RackPart, ...]
    area_mm2: Estimate
    each_mm2: tuple[float, ...]
    words: str = ""
    bare_mm2: float = 0.0

    def __post_init__(self) -> None:
        if not self.parts or not 0.0 < self.area_mm2.low < math.inf:
            raise BadInput("largest load", f"'{self.words}' has no size", "give sizes above zero")

    @property
    def count(self) -> int:
        return sum(part.count for part in self.parts)

    def on_bare_wires(self, bare_mm2: float) -> Largest:
        """The same load, whose most holds the surface of the wires that it hangs by."""
        if not bare_mm2:
            return self
        area = self.area_mm2
        most = replace(area, high=area.high + bare_mm2, because=(*area.because, "bare wires"))
        return replace(self, area_mm2=most, bare_mm2=bare_mm2)

    def joined(self, other: Largest) -> Largest:
        return Largest((*self.parts, *other.parts), total((self.area_mm2, other.area_mm2)),
                       (*self.each_mm2, *other.each_mm2), f"{self.words} and {other.words}")  # fmt: skip


def boxes(
    name: str, size_mm: tuple[float, float, float], area_mm2: Estimate, count: int = 1, upright: bool = False
) -> Largest:
    """`count` equal parts of a box's size, free to hang any way, or with the longest side down."""
    if count < 1:
        raise BadInput("largest load", f"{count} parts", "give at least one")
    part = box_part(name, size_mm, count)
    if upright:
        part = replace(part, ways=tuple(way for way in part.ways if way.high_mm == max(size_mm) and not way.tilt_deg))
    return Largest((part,), area_mm2.scaled(count), (area_mm2.value,), name)


_WORDS = re.compile(
    r"^\s*(?:(?P<count>\d{1,9}|an?|one)\s+)?(?P<kind>plate|block|rod|bar|cylinder|tube|pipe)s?\s*(?:of|,|:)?\s*(?P<sizes>\S.*)$",
    re.I,
)
_AND = re.compile(r"\s+and\s+(?=(?:\d{1,9}|an?|one)\s+[a-z])", re.I)
_UNIT_OF = re.compile(r"^[\d.,/\s+-]*")
_SIDES = {"plate": 3, "block": 3, "rod": 2, "bar": 2, "cylinder": 2, "tube": 3, "pipe": 3}


def largest(words: str, upright: bool = False) -> Largest:
    """The largest load from words, free to hang any way or, upright, with each longest side down.

    "a plate of 300 x 200 x 6 mm", "2 plates of 12 x 8 x 1/4 in", "a rod of 400 x 30 mm" (length x diameter),
    "a tube of 400 x 30 x 26 mm" (length x outside x bore); several are joined by `and`. A size with no unit takes that
    of the last, and `words` says so: "a rod of 400 mm x 1/2 in" has both. Raises BadInput.

    >>> largest("a plate of 300 x 200 x 6 mm").area_mm2.value
    126000.0
    >>> largest("a rod of 16 x 1/2 in and 20 cylinders of 25 x 18 mm").words
    'a rod of 16 x 1/2 in and 20 cylinders of 25 x 18 mm'
    """
    first, *more = (_one(each, upright) for each in _AND.split(words))
    for other in more:
        first = first.joined(other)
    return first


def _one(words: str, upright: bool) -> Largest:
    found = _WORDS.match(words)
    example = "write it like 'a plate of 300 x 200 x 6 mm', 'a rod of 400 x 30 mm' or 'a tube of 400 x 30 x 26 mm'"
    if found is None:
        raise BadInput(Field.LARGEST, f"'{words}' is not a shape that is known", example)
    kind = found["kind"].lower()
    sizes = [each.strip() for each in re.split(r"\s*[x×*]\s*|\s+by\s+", found["sizes"].strip())]
    if len(sizes) != _SIDES[kind]:
        raise BadInput(
            Field.LARGEST, f"a {kind} has {_SIDES[kind]} sizes, '{found['sizes']}' has {len(sizes)}", example
        )
    unit = _UNIT_OF.sub("", sizes[-1])
    sizes_mm = [parse(each, Dimension.LENGTH, Field.LARGEST, unit or None) for each in sizes]
    if min(sizes_mm) <= 0.0:
        raise BadInput(Field.LARGEST, f"'{words}' has a size that is not above zero", example)
    count = int(found["count"]) if (found["count"] or "a").isdigit() else 1
    if count > MOST_COUNT:
        raise BadInput(
            Field.LARGEST, f"{count} are more than {MOST_COUNT}, the most taken", "give how many hang at once"
        )
    envelope, area_mm2 = _shape(kind, sizes_mm, words)
    mixed = any(_UNIT_OF.sub("", each) for each in sizes[:-1])
    read_as = " x ".join(f"{each} {unit}" if mixed and not _UNIT_OF.sub("", each) else each for each in sizes)
    said = f"{found['count'] or 'a'} {kind}{'s' * (count > 1)} of {read_as}"
    return boxes(said, envelope, Estimate.exact(area_mm2), count, upright)


def _shape(kind: str, mm: list[float], words: str) -> tuple[tuple[float, float, float], float]:
    if _SIDES[kind] == 3 and kind not in ("tube", "pipe"):
        a, b, c = mm
        return (a, b, c), 2.0 * (a * b + b * c + c * a)
    length, outside, bore = mm[0], mm[1], mm[2] if len(mm) == 3 else 0.0
    if bore >= outside:
        raise BadInput(Field.LARGEST, f"'{words}' has a bore as wide as the tube", "give length x outside x bore")
    ends = 0.5 * math.pi * (outside**2 - bore**2)
    return (length, outside, outside), math.pi * (outside + bore) * length + ends
