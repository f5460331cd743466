"""The cathodes that hang in a tank: what they count for, carry, weigh and last."""

import math
from dataclasses import dataclass
from enum import Enum

from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, given, worked
from areacalc.plant.cathode import FACE, RATIOS, Ratio, cathode_for
from areacalc.plant.metal import CATHODE_METALS, Metal, metal
from areacalc.plant.rule import Judged, Reason, Rule
from areacalc.sources import Constant, Kind, Source

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
    face = given("cathode face hung", cathodes.face_mm2, "mm2", Source(FACE.kind, f"{strips}; {FACE.text}"))
    number = given("strips", float(cathodes.count), "")
    over = worked(
        "cathode area over part area", "", "cathode face hung / wetted area", _MASS, lambda c, a: c / a, face, area
    )
    each = worked("current per strip", "A", "current / strips", _SHARED, lambda i, n: i / n, current, number)
    density = worked("density at the cathode", "A/dm2", "current / cathode face hung", _SHARED,
                     lambda i, c: i / (c * 1e-4), current, face)  # fmt: skip
    one_mm3 = cathodes.width_mm * cathodes.thickness_mm * cathodes.whole_length_mm
    dense = cathodes.strip_metal.density
    heavy = given("density of the metal", dense.value, "g/cm3", dense.source)
    volume = given("metal of all strips", one_mm3 * cathodes.count, "mm3", _MASS)
    mass = worked("mass of the cathodes", "g", "volume x density", _MASS, lambda v, d: v * d * 1e-3, volume, heavy)
    near = three(over.estimate.low) == three(over.estimate.value)
    at_most = "" if near else f"counted on the most that the area may be, else {three(over.estimate.value)}; "
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
    """What is known of how long cathodes last."""

    ALUMINIUM = "years of aluminium"
    LEAD = "no published life of lead"


def life(metal_name: str) -> Fact:
    """What is known of how long cathodes of a metal last."""
    if metal(metal_name, CATHODE_METALS, "cathodes").name == "lead":
        return fact(CathodeLife.LEAD)
    years = Estimate(_LIFE_AL.value, _LIFE_AL.low, _LIFE_AL.high)
    return fact(CathodeLife.ALUMINIUM, years=quantity(years, "years"), source=_LIFE_AL.source)
