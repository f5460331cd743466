"""Cathodes for an area: how much must face the part, and how many strips that is."""

import math
from dataclasses import dataclass
from enum import Enum

from areacalc.errors import BadInput, Field, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, given, worked
from areacalc.quantity import Dimension, parse
from areacalc.sources import Kind, Source


@dataclass(frozen=True, slots=True)
class Ratio:
    """Cathode face over wetted area, and who says so."""

    name: str
    cathode_per_area: float
    source: Source


RATIOS: dict[str, Ratio] = {r.name: r for r in (
    Ratio("small-tank", 2.0, Source(Kind.COMMON_PRACTICE, "at least twice the part's area in a small tank")),
    Ratio("one-third", 1 / 3, Source(Kind.PUBLISHED, "C. A. Grubbs, Metal Finishing, 'Anode to cathode distance': "
                                     "anode to cathode about 3 : 1, Types II and III")),
    Ratio("equal", 1.0, Source(Kind.COMMON_PRACTICE, "as much cathode as part")),
)}  # fmt: skip
"""Published figures differ widely; a ratio changes the voltage by tenths of a volt, evenness by more."""

FACE = Source(Kind.COMMON_PRACTICE, "the face that looks at the part counts, the back against the wall does not")


@dataclass(frozen=True, slots=True)
class Strips:
    """Cathode strips in two rows, one either side of the part."""

    width_mm: float
    immersed_mm: float
    count: int  # all told, the same number in each row

    @property
    def per_side(self) -> int:
        return self.count // 2


@dataclass(frozen=True, slots=True)
class Cathode:
    """The cathode face for an area. `figure.estimate` is in mm2; strips where a width and a depth were given."""

    figure: Figure
    ratio: Ratio
    counted: str
    strips: Strips | None = None

    @property
    def area_mm2(self) -> Estimate:
        """The cathode area facing the part [mm2]."""
        return self.figure.estimate


def ratio(words: str = "small-tank", where: str = Field.RATIO) -> Ratio:
    """The ratio of that name, or a number of the person's own. Raises UnknownName, BadInput.

    >>> ratio("2.5").source.kind.value
    'entered by you'
    """
    if words in RATIOS:
        return RATIOS[words]
    if not words[:1].isdigit() and words[:1] not in ("-", "+", ".", ","):
        raise UnknownName.among(where, words, (*RATIOS, "or a number"))
    number = parse(words, Dimension.FRACTION, where)
    if not 0.05 <= number <= 30.0:
        raise BadInput(where, f"a ratio of {words} must be above zero", "give cathode area over part area, such as 2")
    return Ratio("own", number, Source(Kind.ENTERED, f"your own ratio, {number:g}"))


class RatioFact(Enum):
    """How a ratio of the person's own stands to practice and to what is published."""

    BELOW_PRACTICE = "below the practice of small tanks"
    BELOW_PUBLISHED = "below every ratio that was found"
    BESIDE_PUBLISHED = "ratio beside the published one"


def beside_published(chosen: Ratio) -> Fact | None:
    """The published ratio beside one that is not published; None for the published one itself.

    >>> beside_published(RATIOS["small-tank"]).kind.name, beside_published(RATIOS["one-third"])
    ('BESIDE_PUBLISHED', None)
    """
    if chosen.source.kind is Kind.PUBLISHED:
        return None
    published = quantity(RATIOS["one-third"].cathode_per_area, "")
    ratio = quantity(chosen.cathode_per_area, "")
    return fact(RatioFact.BESIDE_PUBLISHED, ratio=ratio, published=published, source=chosen.source)


def ratio_fact(chosen: Ratio) -> Fact | None:
    """What there is to say of a ratio; None where it is no smaller than small tanks have.

    >>> ratio_fact(ratio("0.5")).kind.name, ratio_fact(ratio("0.2")).kind.name, ratio_fact(ratio("2"))
    ('BELOW_PRACTICE', 'BELOW_PUBLISHED', None)
    """
    small, third = RATIOS["small-tank"], RATIOS["one-third"]
    if chosen.cathode_per_area >= small.cathode_per_area:
        return None
    held = {"ratio": quantity(chosen.cathode_per_area, ""), "practice": quantity(small.cathode_per_area, "")}
    below = chosen.cathode_per_area < third.cathode_per_area
    kind = RatioFact.BELOW_PUBLISHED if below else RatioFact.BELOW_PRACTICE
    return fact(kind, **held, published=quantity(third.cathode_per_area, ""), source=third.source)


def cathode_for(
    area: Estimate | Figure, chosen: Ratio = RATIOS["small-tank"], strip_width_mm: float | None = None,
    liquid_depth_mm: float | None = None, faces_that_look: int = 1,
) -> Cathode:  # fmt: skip
    """The cathode face for a wetted area [mm2]; with a strip width and a liquid depth, the number of strips.

    faces_that_look: 1 counts the face toward the part, 2 both faces (strips hung clear of the wall).
    The strips are reckoned for the most the area can be. Raises BadInput for sizes that are none.

    >>> cathode_for(Estimate.exact(50_000.0), strip_width_mm=50.0, liquid_depth_mm=250.0).strips
    Strips(width_mm=50.0, immersed_mm=250.0, count=8)
    """
    if isinstance(area, Estimate):
        area = given("wetted area", area, "mm2", Source(Kind.DERIVED, "; ".join(area.because) or "the area given"))
    if area.estimate.value <= 0.0:
        raise BadInput("wetted area", f"{area.estimate.value:g} mm2 needs no cathode", "give an area above zero")
    if faces_that_look not in (1, 2):
        what = f"{faces_that_look} is neither 1 nor 2"
        raise BadInput(Field.FACES, what, "give 1 (strip at the wall) or 2 (strip hung clear of it)")
    times = given("cathode area over part area", Estimate.exact(chosen.cathode_per_area), "", chosen.source)
    figure = worked("cathode face wanted", "mm2", "area x ratio", FACE, lambda a, r: a * r, area, times)
    counted = (
        "both faces of strips that hang clear of the wall" if faces_that_look == 2
        else "only the face toward the part"
    )  # fmt: skip
    return Cathode(figure, chosen, counted, _strips(figure, strip_width_mm, liquid_depth_mm, faces_that_look))


def _strips(figure: Figure, width_mm: float | None, depth_mm: float | None, faces: int) -> Strips | None:
    if width_mm is None or depth_mm is None:
        return None
    for where, size in ((Field.STRIP, width_mm), (Field.DEPTH, depth_mm)):
        if size <= 0.0:
            raise BadInput(where, f"{size:g} mm is not a size", "give a length above zero")
    pairs = math.ceil(figure.estimate.high / (2 * faces * width_mm * depth_mm) - 1e-9)
    return Strips(width_mm, depth_mm, 2 * max(pairs, 1))
