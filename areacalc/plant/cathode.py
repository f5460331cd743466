"""Cathodes for an area: how much must face the part, and what those that hang count for, carry, weigh and last."""

import math
from dataclasses import dataclass
from enum import Enum

from areacalc.digits import three
from areacalc.errors import BadInput, Field, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, given, worked
from areacalc.plant.metal import CATHODE_METALS, Metal, metal
from areacalc.plant.rule import Judged, Reason, Rule
from areacalc.quantity import Dimension, parse
from areacalc.sources import Constant, Kind, Source


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

FACE = Source(Kind.COMMON_PRACTICE, "the face toward the part counts, the back against the wall does not")


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
    figure = worked("cathode area wanted", "mm2", "area x ratio", FACE, lambda a, r: a * r, area, times)
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


DISTANCE = Rule(
    "part-to-cathode distance", Constant(75.0, "mm", Source(
        Kind.REPORTED, "reader answer in Metal Finishing, 'Anode to cathode distance', for nickel: 6 to 7 in, 3 in "
        "also works; small parts come out even within 1.2 % at 20 mm by finite volumes of whole tanks"
    )), at_least=True, decides=False, reason=Reason.HABIT,
    why="acid, heat and gas pass less freely; keep the same distance on both faces",
    least=Constant(20.0, "mm", Source(
        Kind.COMMON_PRACTICE, "a part that swings must never touch a cathode: a dead short, with sparks in hydrogen")),
)  # fmt: skip
TOO_MUCH = Rule(
    "cathode area over part area, at most", Constant(30.0, "", Source(
        Kind.REPORTED, "platers' forum answers advise against cathodes some 30 times the part"
    )), at_least=False, why="take strips out",
)  # fmt: skip
_LIFE_AL = Constant(
    3.0, "years", Source(Kind.PUBLISHED, "articles of the finishing trade press on aluminium cathodes"), 2.0, 4.0,
)  # fmt: skip
_SHARED = Source(Kind.DERIVED, "equal strips at equal distance share the current")
_RATIO = Source(Kind.DERIVED, "one area over the other")
_MASS = Source(Kind.DERIVED, "volume times density")


@dataclass(frozen=True, slots=True)
class CathodeSet:
    """Equal strips in two rows. immersed_mm is under the liquid, length_mm all of it (None: 80 mm more).

    faces_that_look: 1, or 2 where the strips hang clear of the wall. Raises BadInput.
    """

    metal: str
    count: int
    width_mm: float
    immersed_mm: float
    thickness_mm: float = 3.0
    length_mm: float | None = None
    faces_that_look: int = 1
    distance_mm: float | None = None

    def __post_init__(self) -> None:
        metal(self.metal, CATHODE_METALS, "cathodes")
        sizes = (self.count, self.width_mm, self.immersed_mm, self.thickness_mm)
        if not all(0 < size < math.inf for size in sizes) or self.faces_that_look not in (1, 2):
            what = f"{self.count} strips of {self.width_mm:g} x {self.immersed_mm:g} mm cannot be"
            raise BadInput("cathodes", what, "give a number, a width and an immersed depth above zero")

    @property
    def strip_metal(self) -> Metal:
        return metal(self.metal, CATHODE_METALS, "cathodes")

    @property
    def face_mm2(self) -> float:
        """The face that counts, all strips [mm2]."""
        return self.count * self.faces_that_look * self.width_mm * self.immersed_mm

    @property
    def whole_length_mm(self) -> float:
        """One strip with what stands above the liquid [mm]."""
        return self.length_mm if self.length_mm is not None else self.immersed_mm + 80.0


@dataclass(frozen=True, slots=True)
class CathodeCheck:
    """What a set of cathodes comes to for a part's area and current."""

    wanted: Figure  # mm2
    face: Figure  # mm2
    over_part: Figure
    a_strip: Figure  # A
    density: Figure  # A/dm2 on the face that counts
    mass: Figure  # g, all strips
    life: Fact
    judged: tuple[Judged, ...]


def check_cathodes(
    cathodes: CathodeSet, area_mm2: Estimate | Figure, current_a: Estimate | Figure,
    chosen: Ratio = RATIOS["small-tank"], apart: Rule = DISTANCE, tank_mm: float | None = None,
) -> CathodeCheck:  # fmt: skip
    """The cathodes against a part's area [mm2] and current [A]; `apart` is the rule of their distance.

    tank_mm: how long the tank is, where it is known.

    >>> found = check_cathodes(CathodeSet("6063", 4, 50.0, 200.0), Estimate.exact(16e3), Estimate.exact(4.0))
    >>> found.over_part.estimate.value, found.a_strip.estimate.value, found.judged[0].kept
    (2.5, 1.0, True)
    """
    area = area_mm2 if isinstance(area_mm2, Figure) else given("wetted area", area_mm2, "mm2")
    current = current_a if isinstance(current_a, Figure) else given("current", current_a, "A")
    wanted = cathode_for(area, chosen).figure
    strips = f"{cathodes.count} x {cathodes.width_mm:g} x {cathodes.immersed_mm:g} mm, {cathodes.faces_that_look} face"
    face = given("cathode area hung", cathodes.face_mm2, "mm2", Source(FACE.kind, f"{strips}; {FACE.text}"))
    number = given("strips", float(cathodes.count), "")
    over = worked(
        "cathode area over part area",
        "",
        "cathode area hung / wetted area",
        _RATIO,
        lambda c, a: c / a,
        face,
        area,
    )
    each = worked("current per strip", "A", "current / strips", _SHARED, lambda i, n: i / n, current, number)
    density = worked("density at the cathode", "A/dm2", "current / cathode area hung", _SHARED,
                     lambda i, c: i / (c * 1e-4), current, face)  # fmt: skip
    one_mm3 = cathodes.width_mm * cathodes.thickness_mm * cathodes.whole_length_mm
    dense = cathodes.strip_metal.density
    heavy = given("density of the metal", dense.value, "g/cm3", dense.source)
    volume = given("metal of all strips", one_mm3 * cathodes.count, "mm3", _MASS)
    mass = worked("mass of the cathodes", "kg", "volume x density", _MASS, lambda v, d: v * d * 1e-6, volume, heavy)
    near = three(over.estimate.low) == three(over.estimate.value)
    at_most = "" if near else f"at the most area ({three(over.estimate.value)} at the likely one); "
    enough = Rule(
        "cathode area over part area", Constant(chosen.cathode_per_area, "", chosen.source), at_least=True,
        why=at_most + _more(cathodes, wanted, tank_mm or math.inf),
    )  # fmt: skip
    judged = [enough.judge(over.estimate.low), TOO_MUCH.judge(over.estimate.high)]
    if cathodes.distance_mm is not None:
        judged.append(apart.judge_room(cathodes.distance_mm))
    return CathodeCheck(wanted, face, over, each, density, mass, life(cathodes.metal), tuple(judged))


def _more(cathodes: CathodeSet, wanted: Figure, tank_mm: float) -> str:
    """What brings the face wanted: such strips, a sheet a side, or both faces, as far as the tank's length has room."""
    strip_mm2, side_mm2 = cathodes.face_mm2 / cathodes.count, 0.5 * wanted.estimate.high
    pairs = max(math.ceil(side_mm2 / strip_mm2 - 1e-9), 1)
    sheet_mm = cathodes.width_mm * side_mm2 / strip_mm2
    if pairs * cathodes.width_mm <= tank_mm:
        return f"hang {pairs} such strips a side"
    if sheet_mm <= tank_mm:
        return "hang one wider sheet a side"
    if cathodes.faces_that_look == 1 and 0.5 * sheet_mm <= tank_mm:
        return "hang them clear of the wall, so that both faces work, as wide as there is room"
    return "the tank is too short for more: hang fewer parts"


class CathodeLife(Enum):
    ALUMINIUM = "years of aluminium"
    LEAD = "no published life of lead"


def life(metal_name: str) -> Fact:
    """What is known of how long cathodes of a metal last."""
    if metal(metal_name, CATHODE_METALS, "cathodes").name == "lead":
        return fact(CathodeLife.LEAD)
    years = Estimate(_LIFE_AL.value, _LIFE_AL.low, _LIFE_AL.high)
    return fact(CathodeLife.ALUMINIUM, years=quantity(years, "years"), source=_LIFE_AL.source)
