"""The rack: can its wire and its contacts carry the load's current, and what do they add to the voltage."""

import math
from dataclasses import dataclass, replace

from areacalc.bath.film import metal_depth_um
from areacalc.digits import three
from areacalc.errors import BadInput
from areacalc.estimate import Estimate, through
from areacalc.figure import Figure, constant, given, worked
from areacalc.plant.metal import (
    CHURCHILL_CHU,
    METALS,
    RACK_METALS,
    Metal,
    metal,
    resistance_ohm,
    rise_k,
    round_section_mm2,
)
from areacalc.plant.rule import Judged, Rule
from areacalc.plant.strands import RackKind, RodKind
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
BUS_AL = Constant(700.0 / 645.16, "A/mm2", Source(Kind.REPORTED, f"{_NEC}, aluminium: 700 A/in2"))
BUS_CU = Constant(1000.0 / 645.16, "A/mm2", Source(Kind.REPORTED, f"{_NEC}, copper: 1000 A/in2"))
CONTACT_SHARE = Rule(
    "contact face over part area", Constant(0.002, "", Source(
        Kind.FROM_MEMORY, "Qualanod specifications: contacts about 0.2 % of the part's area; check before relying on it"
    )), at_least=True, why="a contact that is a pinpoint burns and lets go",
)  # fmt: skip
CONTACTS_A_PART = Rule(
    "contacts a part", Constant(1.0, "", Source(
        Kind.REPORTED, "anodisers' blog on racking, 2014: the rack mark must pass all the part's current, tight"
    )), at_least=True, why="every part needs its own tight contact",
)  # fmt: skip
WIRE = Rule(
    "rack wire", Constant(2.0, "mm", Source(
        Kind.REPORTED, "blogs and forums of small shops: 1.6 mm rod to 2.4 mm welding rod"), low=1.6, high=2.4),
    at_least=True, decides=False, why="a thinner wire bends under the part",
)  # fmt: skip
BARE = Source(
    Kind.COMMON_PRACTICE, "bare aluminium under the liquid takes current as the part does and is stripped after each "
    "run; titanium passivates and takes next to none",
)  # fmt: skip
_USUAL_MM = 3.0  # of a wire that is not told
_DRY_MM = 150.0  # above the liquid, where it is not told
_WET_MM = Constant(100.0, "mm", Source(Kind.FROM_MEMORY, "chosen: wire under the liquid, not told"), 50.0, 200.0)
HUNG_WITHIN_MM = 5.0  # chosen: a part hung by hand comes so near its depth in the drawing
OVER_STRIPPED = Constant(
    4.0, "um", Source(Kind.COMMON_PRACTICE, "a strip in caustic takes a few micrometres of metal besides the coating"),
    low=2.0, high=8.0,
)  # fmt: skip
TITANIUM_SHARE = Constant(
    0.1,
    "",
    Source(Kind.COMMON_PRACTICE, "titanium carries a tenth or less of what aluminium does for the same section"),
)
CONTACT_DROP = Constant(
    0.03, "V", Source(Kind.FROM_MEMORY, "chosen: a third of the 0.1 V at which, by Holm, an aluminium spot softens"),
)  # fmt: skip
LEAST_HELD = Constant(5.0, "N", Source(Kind.FROM_MEMORY, "chosen: the grip of a springy wire, so that no part shifts"))
MOST_HELD = Constant(50.0, "N", Source(Kind.FROM_MEMORY, "chosen: what a strong spring or a small screw presses"))
HARDNESS_MPA = 1050.0  # of aluminium 6061, from memory
_HOLM = Source(
    Kind.FROM_MEMORY, "Holm's law of clean spots, (rho1 + rho2)/4 x sqrt(pi H/F), with H 1.05 GPa; in use oxide and "
    "wear make it 3 to 5 times as much (common practice)",
)  # fmt: skip
_IN_USE = (1.0, 4.0, 5.0)  # times a clean spot: least, usual, most
_COPPER_BAR = Source(Kind.DERIVED, "the smallest copper bar that carries it, fed at one end, the parts along it")


@dataclass(frozen=True, slots=True)
class Rod:
    """Rods of a rack that are alike: how many, how thick, and what the fullest of them carries of the load's current.

    moment_mm: on the way to the part that loses most, each piece of the rod times the share of the current in it.
    dry_mm, wet_mm: above and under the liquid, all together. deep_mm: the longest piece under it. by_current_mm: what
    the current alone asks for; None where no usual one carries it.
    """

    piece: RodKind
    number: int
    share: float
    moment_mm: float
    dry_mm: float
    wet_mm: float
    deep_mm: float
    diameter_mm: float
    by_current_mm: float | None = None

    @property
    def off_mm(self) -> float:
        """How far the length under the liquid may be off as it is hung by hand, all together: where it dips in."""
        return self.number * HUNG_WITHIN_MM if self.dry_mm > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Rack:
    """What stands between the bar and the parts: wires as they are told, or a kind of rack whose rods a layout gives.

    wires in parallel, each of `wire_mm` diameter, `dry_mm` above the liquid and `wet_mm` below it, where they are bare
    or insulated; None where it is not told: then as a kind is drawn, or the usual. contact_mm2 is the touching face of
    one contact, contacts_a_part how many hold one part, contact_ohm the resistance of one (None: as its pressure makes
    it). rods, part_share (of the current, in the fullest part) and
    bar_ohm are those of a kind; without a layout it has none. Raises BadInput for sizes that are none and for metals
    that the acid eats.
    """

    metal: str = "aluminium 6063"
    wire_mm: float | None = None
    wires: int = 1
    dry_mm: float | None = None
    wet_mm: float | None = None
    contacts: int | None = None
    contact_mm2: float | None = None
    contact_ohm: float | None = None
    insulated: bool = False
    kind: RackKind | None = None
    rods: tuple[Rod, ...] = ()
    part_share: float | None = None
    bar_ohm: float = 0.0
    metal_told: bool = True

    def __post_init__(self) -> None:
        metal(self.metal, RACK_METALS, "rack")
        sizes = {"wire": self.thick_mm, "wires": self.wires, "length": self._dry_mm + self._wet_mm,
                 "contacts": self.contacts_a_part}  # fmt: skip
        for name, size in sizes.items():
            if not 0 < size < math.inf:
                raise BadInput(f"rack {name}", f"{size:g} is not above zero", "give what the rack has")
        if min(self._dry_mm, self._wet_mm, self.contact_ohm or 0.0) < 0.0 or (self.contact_mm2 or 1.0) <= 0.0:
            raise BadInput("rack", "a size is below zero", "give what the rack has")

    @property
    def wire_metal(self) -> Metal:
        return metal(self.metal, RACK_METALS, "rack")

    @property
    def thick_mm(self) -> float:
        """The diameter of a wire that is told, or the usual."""
        return _USUAL_MM if self.wire_mm is None else self.wire_mm

    @property
    def _dry_mm(self) -> float:
        return _DRY_MM if self.dry_mm is None else self.dry_mm

    @property
    def _wet_mm(self) -> float:
        return _WET_MM.value if self.wet_mm is None else self.wet_mm

    @property
    def contacts_a_part(self) -> int:
        """How many contacts hold one part: a spring clip grips from two sides."""
        return self.contacts or (2 if self.kind is RackKind.CLIPS else 1)

    @property
    def members(self) -> tuple[Rod, ...]:
        """Its rods: those of its kind, or the wires that are told."""
        if self.kind is not None:
            return self.rods
        dry_mm, wet_mm, n = self._dry_mm, self._wet_mm, self.wires
        return (Rod(RodKind.WIRE, n, 1.0 / n, (dry_mm + wet_mm) / n, n * dry_mm, n * wet_mm, wet_mm, self.thick_mm),)

    @property
    def unsaid(self) -> tuple[str, ...]:
        """The keys left out, for which its wetted area rests on what is usual; a kind is as long as drawn."""
        long = self.wet_mm is not None or self.kind is not None
        told = {"metal": self.metal_told, "wire": self.wire_mm is not None, "wet": long}
        return tuple(key for key, is_told in told.items() if not is_told)

    @property
    def takes_current(self) -> bool:
        """Whether its metal under the liquid is bare aluminium."""
        return self.wire_metal.stripped and not self.insulated

    @property
    def bare_mm2(self) -> Estimate:
        """Surface under the liquid that takes current as the parts do: of bare aluminium all, of titanium next to none.

        A thickness that is not told is one of those in use, and a length that is not told is as the drawing has it.

        >>> round(Rack(wire_mm=2.0, wires=4, wet_mm=100.0).bare_mm2.value), Rack("titanium", 2.0).bare_mm2.high
        (2513, 0.0)
        >>> round(Rack(wire_mm=2.0, wires=4).bare_mm2.high)  # up to 200 mm of each
        5027
        """
        if not self.takes_current:
            return Estimate.exact(0.0)
        limit = WIRE.limit
        thin, thick = (limit.low / limit.value, limit.high / limit.value) if self.wire_mm is None else (1.0, 1.0)
        least, most = (_WET_MM.low / _WET_MM.value, _WET_MM.high / _WET_MM.value) if self._length_unsaid else (1.0, 1.0)
        by_hand = self.kind is not None and self.wet_mm is None
        value = low = high = 0.0
        for rod in self.members:
            round_mm, off_mm = math.pi * rod.diameter_mm, rod.off_mm if by_hand else 0.0
            value += round_mm * rod.wet_mm
            low += thin * round_mm * least * max(rod.wet_mm - off_mm, 0.0)
            high += thick * round_mm * most * (rod.wet_mm + off_mm)
        return Estimate(value, low, high, ("rack wire: how thick, how long under the liquid",) if low < high else ())

    @property
    def _length_unsaid(self) -> bool:
        return self.kind is None and self.wet_mm is None

    @property
    def mass_g(self) -> float:
        mm3 = math.fsum(round_section_mm2(rod.diameter_mm) * (rod.dry_mm + rod.wet_mm) for rod in self.members)
        return mm3 * self.wire_metal.density.value * 1e-3


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact of the part that takes most: its current [A], face [mm2], force [N] and its mark if it is round."""

    current_a: float
    face_mm2: float
    force_n: float

    @property
    def mark_mm(self) -> float:
        """The diameter of the bare mark that a round contact leaves.

        >>> round(Contact(1.0, BUS_AL.value, 5.0).mark_mm, 2)
        1.18
        """
        return 2.0 * math.sqrt(self.face_mm2 / math.pi)

    def ohm(self, made: Metal) -> Estimate:
        """Its resistance against aluminium 6061, from its force; from memory.

        10 N on 6061 are 0.36 milliohm where the spot is clean:
        >>> round(1e3 * Contact(1.0, 1.0, 10.0).ohm(METALS["aluminium 6061"]).low, 2)
        0.36
        """
        clean = _clean_ohm(made) / math.sqrt(self.force_n)
        low, value, high = (times * clean for times in _IN_USE)
        return Estimate(value, low, high, ("how clean the contacts are",))


def _clean_ohm(made: Metal) -> float:
    """The resistance of a clean spot against aluminium 6061 that 1 N presses."""
    both = made.resistivity_ohm_mm() + METALS["aluminium 6061"].resistivity_ohm_mm()
    return 0.25 * both * math.sqrt(math.pi * HARDNESS_MPA)


def contact_for(current_a: float, metal_name: str) -> Contact:
    """The contact for a current [A]: as much section as a bare aluminium bar has; of titanium ten times that.

    It is pressed so that as it is in use it drops no more than a spot stays cool at.

    >>> round(contact_for(1.0, "aluminium 6063").face_mm2, 2), round(contact_for(1.0, "titanium grade 2").face_mm2, 1)
    (0.92, 9.2)
    >>> contact_for(2.63, "aluminium 6063").force_n, round(contact_for(2.63, "titanium grade 2").force_n, 1)
    (5.0, 9.1)
    """
    face_mm2 = current_a / BUS_AL.value
    made = metal(metal_name, RACK_METALS, "rack")
    force_n = max((_IN_USE[1] * current_a * _clean_ohm(made) / CONTACT_DROP.value) ** 2, LEAST_HELD.value)
    return Contact(current_a, face_mm2 if made.stripped else face_mm2 / TITANIUM_SHARE.value, force_n)


def rack_area(rack: Rack) -> Figure:
    """What of a rack is wetted area [mm2]."""
    thick = "" if rack.wire_mm is not None else " (assumed)"
    length = "" if rack.wet_mm is not None else " (as drawn)" if rack.kind is not None else " (assumed)"
    words = ", ".join(f"{rod.number} x {rod.piece.value} {rod.diameter_mm:g} mm thick{thick}, "
                      f"{three(rod.wet_mm / rod.number)} mm{length} in the liquid" for rod in rack.members)  # fmt: skip
    if rack.contacts and rack.kind is RackKind.WIRES:
        words += f", {rack.contacts} contacts on each part"
    return given("rack under the liquid", rack.bare_mm2, "mm2", Source(BARE.kind, f"{words}; {BARE.text}"))


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
    """What a rack does at a current [A]: resistance and drop to the part that loses most, heat, warmth of dry rods.

    judged: each rule's verdict; contact: that of the part that takes most.
    """

    rack: Rack
    current_a: float
    resistance: Figure  # ohm
    drop: Figure  # V
    heat: Figure  # W
    rise: Figure  # K
    a_contact: Figure  # A
    contact: Contact
    judged: tuple[Judged, ...]

    @property
    def fullest(self) -> Rod:
        """The rods that all the current passes first."""
        return self.rack.members[0]

    @property
    def several(self) -> tuple[int, Contact]:
        """How many contacts on the part that takes most, so that none is pressed harder than a spring does, and one."""
        number = self.rack.contacts_a_part
        times = max(1, math.ceil(math.sqrt(self.contact.force_n / MOST_HELD.value)))
        if times == 1:
            return number, self.contact
        return times * number, contact_for(self.contact.current_a / times, self.rack.metal)

    @property
    def fullest_a(self) -> float:
        return self.fullest.share * self.current_a


def check_rack(rack: Rack, current_a: Estimate | Figure, parts: int = 1, area_mm2: Estimate | None = None) -> RackCheck:
    """The rack at the load's current [A], shared by `parts` parts of `area_mm2` in all.

    Raises BadInput for no parts or a negative current. One titanium wire of 2 mm, 1 m in all, at 5 A drops 0.89 V:
    >>> found = check_rack(Rack("titanium", 2.0, dry_mm=500.0, wet_mm=500.0, contact_ohm=0.0), Estimate.exact(5.0))
    >>> round(found.drop.estimate.value, 2)
    0.89
    """
    current = current_a if isinstance(current_a, Figure) else given("current", current_a, "A")
    if parts < 1 or current.estimate.low < 0.0:
        raise BadInput("rack", f"{parts} parts at {current.estimate.low:g} A", "give at least one part")
    made, share = rack.wire_metal, (rack.part_share or 1.0 / parts) / rack.contacts_a_part
    contact = contact_for(share * current.estimate.value, rack.metal)
    if rack.contact_mm2 is not None:
        contact = replace(contact, face_mm2=rack.contact_mm2)
    ohms = [given(f"{rod.piece.value}, {rod.number} x {rod.diameter_mm:g} mm {made.name}",
                  resistance_ohm(made, rod.moment_mm, round_section_mm2(rod.diameter_mm)), "ohm",
                  made.resistivity.source) for rod in rack.members]  # fmt: skip
    ohms.append(given("contacts", _contact_ohm(rack, contact).scaled(share), "ohm",
                      _HOLM if rack.contact_ohm is None else None))  # fmt: skip
    if rack.bar_ohm:
        ohms.append(given("bar over the tank", rack.bar_ohm, "ohm", _COPPER_BAR))
    formula = "each rod, contact and bar by its share of the current"
    resistance = worked("rack resistance", "ohm", formula, _OHM, lambda *each: math.fsum(each), *ohms)
    drop = worked("drop along the rack", "V", "current x resistance", _OHM, lambda i, r: i * r, current, resistance)
    heat = worked("heat in the rack", "W", "current2 x resistance", _OHM, lambda i, r: i * i * r, current, resistance)
    rise = _warmest(rack, made, current)
    judged = [DROP.judge(drop.estimate.value), WARMTH.judge(rise.estimate.value),
              WIRE.judge(min((rod.diameter_mm for rod in rack.members), default=WIRE.limit.value)),
              CONTACTS_A_PART.judge(rack.contacts_a_part)]  # fmt: skip
    if rack.contact_mm2 is not None and area_mm2 is not None:
        face = rack.contact_mm2 * rack.contacts_a_part * parts
        judged.append(CONTACT_SHARE.judge(through(lambda a: face / a, area_mm2).value))
    a_contact = worked("current per contact, at most", "A",
                       "current x the fullest part's share, bores in full, / its contacts", _SHARED,
                       lambda i: i * share, current)  # fmt: skip
    return RackCheck(rack, current.estimate.value, resistance, drop, heat, rise, a_contact, contact, tuple(judged))


def _contact_ohm(rack: Rack, contact: Contact) -> Estimate:
    if rack.contact_ohm is not None:
        return Estimate.exact(rack.contact_ohm)
    return contact.ohm(rack.wire_metal) if contact.current_a > 0.0 else Estimate.exact(0.0)


def _warmest(rack: Rack, made: Metal, current: Figure) -> Figure:
    """How much warmer than the air the fullest dry rod gets."""
    rod = max((r for r in rack.members if r.dry_mm > 0.0), key=lambda r: r.share / r.diameter_mm**1.5, default=None)
    if rod is None:
        return given("wire warmer than the air by", 0.0, "K", CHURCHILL_CHU)
    through_a = current.estimate.scaled(rod.share)
    warm = [rise_k(made, i, round_section_mm2(rod.diameter_mm), math.pi * rod.diameter_mm)
            for i in (through_a.low, through_a.value, through_a.high)]  # fmt: skip
    return Figure(
        "wire warmer than the air by",
        Estimate(warm[1].value, warm[0].low, warm[2].high, ("the current", "how bright the metal is")),
        "K", "I2 rho / A = loss to still air and to the room", CHURCHILL_CHU, (current,),
    )  # fmt: skip
