"""The rack: can its wire and its contacts carry the load's current, and what do they add to the voltage."""

from __future__ import annotations

import math
from dataclasses import dataclass

from areacalc.bath.faraday import metal_depth_um
from areacalc.errors import BadInput
from areacalc.estimate import Estimate, through
from areacalc.figure import Figure, constant, given, worked
from areacalc.plant.conductor import CHURCHILL_CHU, resistance_ohm, rise_k, round_section_mm2
from areacalc.plant.metal import RACK_METALS, Metal, metal
from areacalc.plant.rule import Judged, Rule
from areacalc.plant.stock import METRIC, Sold
from areacalc.sources import Constant, Kind, Source

_OHM = Source(Kind.DERIVED, "Ohm's law, R = rho l / A")
_SHARED = Source(Kind.DERIVED, "equal parts and equal contacts share the current")
DROP = Rule(
    "drop along the rack", Constant(0.5, "V", Source(
        Kind.DERIVED, "at a constant voltage half a volt takes about 8 % off the current where the coating's voltage "
        "rises by 6 to 7 V for every e-fold of current")),
    at_least=False, why="use a thicker wire, more wires, or aluminium instead of titanium",
)  # fmt: skip
WARMTH = Rule(
    "warmth of a dry conductor", Constant(30.0, "K", Source(
        Kind.COMMON_PRACTICE, "racks and leads stay cool enough for a hand, for plugs and for tape")),
    at_least=False, why="use a thicker one, or more of them",
)  # fmt: skip
_NEC = "NEC as a site on wiring reports it, bare bars in auxiliary gutters"
BUS_AL = Constant(700.0 / 645.16, "A/mm2", Source(Kind.SECOND_HAND, f"{_NEC}, aluminium: 700 A/in2"))
BUS_CU = Constant(1000.0 / 645.16, "A/mm2", Source(Kind.SECOND_HAND, f"{_NEC}, copper: 1000 A/in2"))
CONTACT_SHARE = Rule(
    "contact face over part area", Constant(0.002, "", Source(
        Kind.FROM_MEMORY, "Qualanod specifications: contacts about 0.2 % of the part's area; check before relying on it"
    )), at_least=True, why="a contact that is a pinpoint burns and lets go",
)  # fmt: skip
CONTACTS_A_PART = Rule(
    "contacts a part", Constant(1.0, "", Source(
        Kind.SECOND_HAND, "anodisers' blog on racking, 2014: the rack mark must pass all the part's current, tight"
    )), at_least=True, why="every part needs its own tight contact",
)  # fmt: skip
WIRE = Rule(
    "rack wire", Constant(2.0, "mm", Source(
        Kind.SECOND_HAND, "blogs and forums of small shops: 1.6 mm rod to 2.4 mm welding rod"), low=1.6, high=2.4),
    at_least=True, decides=False, why="a thinner wire bends under the part, and every strip makes aluminium thinner",
)  # fmt: skip
BARE = Source(
    Kind.COMMON_PRACTICE, "bare aluminium under the liquid takes current as the part does and is stripped after each "
    "run; titanium passivates and takes next to none",
)  # fmt: skip
OVER_STRIPPED = Constant(
    4.0, "um", Source(Kind.COMMON_PRACTICE, "a strip in caustic takes a few micrometres of metal besides the coating"),
    low=2.0, high=8.0,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rack:
    """What stands between the bar and the parts.

    wires in parallel, each of `wire_mm` diameter, `dry_mm` above the liquid and `wet_mm` below it, where they are bare
    or insulated. contact_mm2 is the touching face of one contact, contacts_a_part how many hold one part, contact_ohm
    the resistance of one (0: not counted). Raises BadInput for sizes that are none and for metals that the acid eats.
    """

    metal: str = "aluminium 6063"
    wire_mm: float = 3.0
    wires: int = 1
    dry_mm: float = 150.0
    wet_mm: float = 100.0
    contacts_a_part: int = 1
    contact_mm2: float | None = None
    contact_ohm: float = 0.0
    insulated: bool = False

    def __post_init__(self) -> None:
        metal(self.metal, RACK_METALS, "rack")
        sizes = {"wire": self.wire_mm, "wires": self.wires, "length": self.dry_mm + self.wet_mm,
                 "contacts": self.contacts_a_part}  # fmt: skip
        for name, size in sizes.items():
            if not 0 < size < math.inf:
                raise BadInput(f"rack {name}", f"{size:g} is not above zero", "give what the rack has")
        if min(self.dry_mm, self.wet_mm, self.contact_ohm) < 0.0 or (self.contact_mm2 or 1.0) <= 0.0:
            raise BadInput("rack", "a size is below zero", "give what the rack has")

    @property
    def wire_metal(self) -> Metal:
        return metal(self.metal, RACK_METALS, "rack")

    @property
    def takes_current_mm2(self) -> float:
        """Surface under the liquid that takes current as the parts do: of bare aluminium all, of titanium next to none.

        >>> round(Rack(wire_mm=2.0, wires=4).takes_current_mm2), Rack("titanium", 2.0).takes_current_mm2
        (2513, 0.0)
        """
        bare = self.wire_metal.stripped and not self.insulated
        return math.pi * self.wire_mm * self.wires * self.wet_mm if bare else 0.0


def rack_area(rack: Rack) -> Figure:
    """What of a rack is wetted area [mm2]."""
    words = f"{rack.wires} x {rack.wire_mm:g} mm {rack.metal}, {rack.wet_mm:g} mm under the liquid"
    return given("rack under the liquid", rack.takes_current_mm2, "mm2", Source(BARE.kind, f"{words}; {BARE.text}"))


def thinning(charge: Figure) -> Figure:
    """How much thinner a bare aluminium wire is after a run [mm], from its charge [A min/dm2]: twice the metal a face.

    >>> from areacalc.figure import given
    >>> round(thinning(given("charge", 76.3, "A min/dm2")).estimate.value, 3)
    0.04
    """
    return worked("wire of the rack thins by", "mm", "2 x (metal by Faraday's law + stripped)", BARE,
                  lambda q, over: 2e-3 * (metal_depth_um(q) + over), charge,
                  constant("stripped on top", OVER_STRIPPED))  # fmt: skip


@dataclass(frozen=True, slots=True)
class RackCheck:
    """What a rack does at a current: resistance, drop, heat, warmth of the dry wire, and each rule's verdict."""

    resistance: Figure  # ohm
    drop: Figure  # V
    heat: Figure  # W
    rise: Figure  # K
    a_contact: Figure  # A
    judged: tuple[Judged, ...]


def check_rack(rack: Rack, current_a: Estimate | Figure, parts: int = 1, area_mm2: Estimate | None = None) -> RackCheck:
    """The rack at the load's current [A], shared by `parts` parts of `area_mm2` in all.

    Raises BadInput for no parts or a negative current. One titanium wire of 2 mm, 1 m in all, at 5 A drops 0.89 V:
    >>> found = check_rack(Rack("titanium", 2.0, dry_mm=500.0, wet_mm=500.0), Estimate.exact(5.0))
    >>> round(found.drop.estimate.value, 2)
    0.89
    """
    current = current_a if isinstance(current_a, Figure) else given("current", current_a, "A")
    if parts < 1 or current.estimate.low < 0.0:
        raise BadInput("rack", f"{parts} parts at {current.estimate.low:g} A", "give at least one part")
    made = rack.wire_metal
    section = round_section_mm2(rack.wire_mm) * rack.wires
    wire = given(
        f"wire, {rack.wires} x {rack.wire_mm:g} mm {made.name}, {rack.dry_mm + rack.wet_mm:g} mm long",
        resistance_ohm(made, rack.dry_mm + rack.wet_mm, section), "ohm", made.resistivity.source,
    )  # fmt: skip
    contacts = given("contacts", rack.contact_ohm / (rack.contacts_a_part * parts), "ohm")
    resistance = worked(
        "rack resistance", "ohm", "wire + contacts in parallel", _OHM, lambda w, c: w + c, wire, contacts
    )
    drop = worked("drop along the rack", "V", "current x resistance", _OHM, lambda i, r: i * r, current, resistance)
    heat = worked("heat in the rack", "W", "current2 x resistance", _OHM, lambda i, r: i * i * r, current, resistance)
    a_wire = current.estimate.scaled(1.0 / rack.wires)
    warm = [
        rise_k(made, i, section / rack.wires, math.pi * rack.wire_mm) for i in (a_wire.low, a_wire.value, a_wire.high)
    ]
    rise = Figure(
        "dry wire above the air",
        Estimate(warm[1].value, warm[0].low, warm[2].high, "the current; how bright the metal is"),
        "K", "I2 rho / A = loss to still air and to the room", CHURCHILL_CHU, (current,),
    )  # fmt: skip
    judged = [DROP.judge(drop.estimate.value), WARMTH.judge(rise.estimate.value), WIRE.judge(rack.wire_mm),
              CONTACTS_A_PART.judge(rack.contacts_a_part)]  # fmt: skip
    if rack.contact_mm2 is not None and area_mm2 is not None:
        face = rack.contact_mm2 * rack.contacts_a_part * parts
        judged.append(CONTACT_SHARE.judge(through(lambda a: face / a, area_mm2).value))
    number = given("contacts of all parts", float(rack.contacts_a_part * parts), "")
    a_contact = worked("current per contact", "A", "current / contacts", _SHARED, lambda i, n: i / n, current, number)
    return RackCheck(resistance, drop, heat, rise, a_contact, tuple(judged))


def wire_for(current_a: float, metal_name: str, length_mm: float, stock: Sold = METRIC) -> float | None:
    """The thinnest wire that is sold [mm] that holds a part, stays cool and drops little at a current [A], or None.

    >>> wire_for(3.0, "aluminium", 250.0), wire_for(9.0, "titanium", 250.0)
    (2.0, 4.0)
    """
    by_current = wire_by_current(current_a, metal_name, length_mm, stock)
    if by_current is None:
        return None
    return next(each for each in stock.wires_mm if each >= max(by_current, WIRE.limit.value))


def wire_by_current(current_a: float, metal_name: str, length_mm: float, stock: Sold = METRIC) -> float | None:
    """The thinnest wire that is sold [mm] that stays cool and drops little at a current [A], whatever the hand wants.

    >>> wire_by_current(3.0, "aluminium", 250.0), wire_by_current(9.0, "titanium", 250.0)
    (1.0, 4.0)
    """
    for diameter in stock.wires_mm:
        found = check_rack(Rack(metal_name, diameter, 1, length_mm, 0.0), Estimate.exact(current_a))
        if all(j.kept for j in found.judged if j.rule in (DROP, WARMTH)):
            return diameter
    return None
