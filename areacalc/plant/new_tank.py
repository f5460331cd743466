"""A new tank, sized from the largest load: room, volume by heat, cathodes, containment, bars and leads, air."""

import math
from dataclasses import dataclass, replace
from enum import Enum

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, given, worked
from areacalc.plant.air import Air, air_for
from areacalc.plant.bus import Conductor, bar_for, cable_for, fuse_for
from areacalc.plant.cathode import RATIOS, CathodeCheck, CathodeSet, Ratio, check_cathodes
from areacalc.plant.largest import Largest
from areacalc.plant.layout import BETWEEN_STRIPS, Layout, Room, lay_out, moved_to, smallest
from areacalc.plant.made_rack import WIRE_METALS, made_rack
from areacalc.plant.rack import Rack, RackCheck, check_rack
from areacalc.plant.rule import Judged
from areacalc.plant.spacing import BEHIND_CATHODE, BELOW, USUAL, Spacing
from areacalc.plant.stock import AS_SOLD, METRIC, Sold
from areacalc.plant.tank import FREEBOARD, LITRE_MM3, LOADING, Tank, check_shell, tank_of
from areacalc.plant.too_small import supply_to_buy
from areacalc.sources import Constant, Kind, Source

LONGEST = Constant(4572.0, "mm", Source(Kind.REPORTED, "a job shop tells of a tank of 30 x 84 x 180 in"))
MOST_STRIPS = 12  # chosen: more a side are a nuisance to make and to keep in contact
TUB_GAP = Constant(50.0, "mm", Source(Kind.COMMON_PRACTICE, "a hand's width round the tank inside its spill tray"))
_HEAT = Source(Kind.DERIVED, "heat of the run over heat capacity and the rise allowed, nothing lost to the room")
_BALANCE = Source(Kind.DERIVED, "heat made less what warms the bath through its band over the run")


class TankFact(Enum):
    NEEDS_MORE = "load needs more than asked"
    ENLARGED_FOR_HEAT = "enlarged for its heat"
    SHEET_A_SIDE = "one sheet a side"
    TUB_AS_SOLD = "a tub as sold"
    RATIO_SETS_SIZE = "the cathode ratio sets a size"
    TAKES_ITS_HEAT = "large enough for the heat of one run"
    LITRES_OR_COOLING = "cooling, or more litres"
    VERY_LONG = "longer than a job shop's tank"


@dataclass(frozen=True, slots=True)
class Duty:
    """What the largest load asks of the tank, as numbers.

    current [A], volts at the tank [V], heat into the bath after the ramp [W] and over the run [J], the run and what of
    it is after the ramp [s], the bath's heat capacity [J/(L K)], and the rise allowed in a run [K]. facts: what there
    is to say of what is asked.
    """

    current: Figure
    volts: Figure
    heat: Figure
    energy: Figure
    run: Figure
    hold: Figure
    capacity: Figure
    band: Figure
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True)
class TankChoices:
    """What a person may decide; sizes of None follow from the load.

    without_cooling makes the tank large enough to take the heat of one run by itself; volume_l is the least liquid.
    """

    cathode_metal: str = "aluminium 6063"
    ratio: Ratio = RATIOS["small-tank"]
    strip_width_mm: float = 50.0
    strip_thickness_mm: float = 3.0
    spacing: Spacing = USUAL
    distance_mm: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    volume_l: float | None = None
    without_cooling: bool = False
    wall_mm: float = 10.0
    bus_metal: str = "aluminium 6063"
    leads_mm: float = 4000.0
    stock: Sold = METRIC

    def __post_init__(self) -> None:
        sizes = (self.strip_width_mm, self.strip_thickness_mm, self.distance_mm, self.length_mm, self.width_mm,
                 self.depth_mm, self.volume_l, self.wall_mm, self.leads_mm)  # fmt: skip
        if not all(size is None or 0.0 < size < math.inf for size in sizes):
            raise BadInput("new tank", "a size is not above zero", "leave it out, or give a size such as '300 mm'")

    @property
    def rules(self) -> Spacing:
        """The rules of spacing, with the distance to the cathodes where that was told."""
        return self.spacing if self.distance_mm is None else self.spacing.own(cathodes=self.distance_mm)

    @property
    def freeboard_mm(self) -> float:
        """What stands over the liquid."""
        return self.stock.up(FREEBOARD.limit.value, fine=True)

    @property
    def behind_mm(self) -> float:
        """What the cathodes take off either side of the tank."""
        return self.strip_thickness_mm + BEHIND_CATHODE.value


@dataclass(frozen=True, slots=True)
class Tub:
    """The outer containment: inside sizes [mm] and what it holds round and under the tank [L]."""

    length_mm: float
    width_mm: float
    height_mm: float
    holds_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TankDesign:
    """A new tank and all that hangs on it, what was chosen and why, and every rule's verdict."""

    load: Largest
    choices: TankChoices
    rack: Layout  # in the finished tank, half way down the cathodes
    tank: Tank
    tub: Tub
    cathodes: CathodeSet
    by_heat: Figure  # L, with no cooling
    facts: tuple[Fact, ...]
    pitch_mm: float  # from strip to strip in a row
    cathode_check: CathodeCheck
    liquid: Figure  # L
    cooling: Figure  # W, to stay in the band over one run
    steady_cooling: Figure  # W, run after run
    bar: Conductor
    leads: Conductor
    wires: tuple[RackCheck, ...]  # of either metal
    supply_a: float
    supply_v: float
    fuse_a: float
    air: Air
    judged: tuple[Judged, ...]

    @property
    def exhaust(self) -> Figure:
        """Air to draw off for the acid mist [m3/h]."""
        assert self.air.exhaust is not None
        return self.air.exhaust


def size_tank(load: Largest, duty: Duty, choices: TankChoices | None = None) -> TankDesign:
    """The tank for a load and its duty, with the person's choices.

    Raises BadInput for choices that leave the load no place at all.
    """
    chosen = choices or TankChoices()
    return _wired(load, duty, chosen, *_filled(load, duty, chosen))


_Filled = tuple[Layout, Tank, Tub, CathodeSet, Figure, tuple[Fact, ...]]


def _filled(load: Largest, duty: Duty, chosen: TankChoices) -> _Filled:
    """The tank with its rack, spill tray and cathodes, the liquid that needs no cooling, and what was decided."""
    facts = list(duty.facts)
    rack = _racked(load, chosen)
    tank = rack.room
    immersed_mm, board_mm = chosen.stock.up(rack.above_mm + rack.size_mm[2], fine=True), chosen.freeboard_mm
    cathodes, length_mm, depth_mm, said = _arrange(load.area_mm2, chosen, immersed_mm, tank.length_mm, tank.depth_mm)
    facts += said
    by_heat, width_mm = worked(
        "liquid to take one run without cooling", "L", "heat of a run / (heat capacity x rise allowed)", _HEAT,
        lambda e, c, k: e / (c * k), duty.energy, duty.capacity, duty.band,
    ), tank.width_mm  # fmt: skip
    by_layout_l = length_mm * width_mm * depth_mm / LITRE_MM3
    heat_l, asked_l = by_heat.estimate.high if chosen.without_cooling else 0.0, chosen.volume_l or by_layout_l
    if (wanted_l := max(heat_l, asked_l)) > by_layout_l:
        grown = math.sqrt(wanted_l / by_layout_l)
        length_mm, width_mm = chosen.stock.up(length_mm * grown), chosen.stock.up(width_mm * grown)
    if heat_l > by_layout_l:
        facts.append(fact(TankFact.ENLARGED_FOR_HEAT, layout=quantity(by_layout_l, "L")))
    else:
        facts.append(_litres_or_cooling(duty, by_layout_l, by_heat))
    if asked_l < by_layout_l:
        facts.append(fact(TankFact.NEEDS_MORE, asked=quantity(asked_l, "L"), layout=quantity(by_layout_l, "L")))
    above_mm = max(rack.above_mm, 0.5 * (cathodes.immersed_mm - rack.size_mm[2]))
    room = replace(tank, length_mm=length_mm, width_mm=width_mm, depth_mm=depth_mm)
    rack = moved_to(rack, room, above_mm, chosen.rules)
    cathodes = CathodeSet(
        cathodes.metal, cathodes.count, cathodes.width_mm, cathodes.immersed_mm, chosen.strip_thickness_mm,
        length_mm=chosen.stock.up(cathodes.immersed_mm + board_mm + 40.0, fine=True),
        distance_mm=0.5 * (width_mm - rack.size_mm[1]) - room.behind_mm,
    )  # fmt: skip
    brimful_l = length_mm * width_mm * (depth_mm + board_mm) / LITRE_MM3
    tub = _tub(room, brimful_l, chosen)
    made = tank_of(length_mm, width_mm, depth_mm, board_mm, tub.holds_l)
    if length_mm > LONGEST.value:
        facts.append(fact(TankFact.VERY_LONG, length=quantity(length_mm, "mm"), longest=quantity(LONGEST.value, "mm"),
                          source=LONGEST.source))  # fmt: skip
    sold_l = chosen.stock.tub_l(brimful_l)
    if sold_l is not None:
        facts.append(fact(TankFact.TUB_AS_SOLD, brim=quantity(brimful_l, "L"), tub=quantity(sold_l, "L"),
                          source=AS_SOLD))  # fmt: skip
    return rack, made, tub, cathodes, by_heat, tuple(facts)


def _racked(load: Largest, chosen: TankChoices) -> Layout:
    """The load in the smallest room that the choices leave; where they break a rule, as it goes in."""
    told = Room.of(chosen.length_mm, chosen.width_mm, chosen.depth_mm, chosen.behind_mm)
    a_side_mm2 = 0.5 * load.area_mm2.high * chosen.ratio.cathode_per_area
    found = smallest(load.parts, chosen.rules, told, a_side_mm2, chosen.stock)
    if found is not None:
        return found
    made, sizes_mm = lay_out(load.parts, told, chosen.rules), told.sides_mm
    if made is None:
        sides = " x ".join(f"{size:g}" if math.isfinite(size) else "any" for size in sizes_mm)
        what = f"{sides} mm of liquid cannot hold {load.words or 'the load'}"
        raise BadInput("new tank", what, "give larger sizes, or leave them out")
    (long, wide, high), usual = made.size_mm, chosen.rules.usual
    asked_mm = (long + 2.0 * usual.ends_mm, wide + 2.0 * (usual.cathodes_mm + told.behind_mm),
                made.above_mm + high + usual.below_mm)  # fmt: skip
    length, width, depth = (
        size if math.isfinite(size) else chosen.stock.up(asked) for size, asked in zip(sizes_mm, asked_mm, strict=True)
    )
    return moved_to(made, Room(length, width, depth, told.behind_mm), made.above_mm, chosen.rules)


def _litres_or_cooling(duty: Duty, by_layout_l: float, by_heat: Figure) -> Fact:
    """Whether the liquid that the layout asks for takes the heat of one run, or wants cooling or more litres."""
    litres = quantity(by_layout_l, "L")
    if by_heat.estimate.high <= by_layout_l:
        rise_k = duty.energy.estimate.value / (duty.capacity.estimate.value * by_layout_l)
        return fact(TankFact.TAKES_ITS_HEAT, layout=litres, rise=quantity(rise_k, "K"))
    cooling = _cooling(duty, given("liquid", by_layout_l, "L"))
    thumb_l = duty.current.estimate.value / LOADING.limit.value
    return fact(
        TankFact.LITRES_OR_COOLING, layout=litres, heat=by_heat, cooling=cooling, thumb=quantity(thumb_l, "L"),
        a_litre=quantity(LOADING.limit.value, LOADING.limit.unit), source=LOADING.limit.source,
    )  # fmt: skip


def _wired(
    load: Largest, duty: Duty, chosen: TankChoices, rack: Layout, tank: Tank, tub: Tub, cathodes: CathodeSet,
    by_heat: Figure, facts: tuple[Fact, ...],
) -> TankDesign:  # fmt: skip
    """The tank with bars, leads, wires, power supply and air for its current."""
    room, most_a = rack.room, duty.current.estimate.high
    liquid = given("liquid", tank.liquid_l, "L", Source(Kind.DERIVED, "length x width x depth of the new tank"))
    check = check_cathodes(
        cathodes, load.area_mm2, duty.current, chosen.ratio, chosen.rules.cathodes, tank.length_mm
    )  # fmt: skip
    bar_mm = chosen.stock.up(room.length_mm + 2.0 * chosen.wall_mm + 100.0)
    bar = bar_for(most_a, bar_mm, chosen.bus_metal, chosen.stock)
    fuse_a = fuse_for(most_a)
    leads = cable_for(most_a, chosen.leads_mm, fuse_a, chosen.stock)
    buy = supply_to_buy(most_a, duty.volts.estimate.high + leads.drop_v.high + 0.5)  # 0.5 V for the rack, its own rule
    apart = chosen.rules.cathodes  # the cathodes' own check has it
    of_room = [each for each in rack.judged if each.rule not in (apart, apart.safety)]
    judged = (*of_room, *check_shell(tank), *check.judged, *bar.judged, *leads.judged)
    return TankDesign(
        load=load, choices=chosen, rack=rack, tank=tank, tub=tub, cathodes=cathodes, by_heat=by_heat, facts=facts,
        pitch_mm=room.length_mm / (cathodes.count // 2), cathode_check=check, liquid=liquid,
        cooling=_cooling(duty, liquid), steady_cooling=replace(duty.heat, name="cooling run after run"),
        bar=bar, leads=leads,
        wires=tuple(_wires(Rack(metal), load, rack, most_a, chosen.stock) for metal in WIRE_METALS),
        supply_a=buy.rating_a, supply_v=buy.rating_v, fuse_a=fuse_a,
        air=air_for(duty.current, room.length_mm, room.width_mm), judged=judged,
    )  # fmt: skip


def _wires(told: Rack, load: Largest, layout: Layout, most_a: float, stock: Sold) -> RackCheck:
    """The wires of a metal that the load hangs by, at the most current that passes them."""
    of_parts = 1.0 if told.takes_current else 1.0 - load.bare_mm2 / load.area_mm2.high
    shares = [mm2 / load.area_mm2.value for mm2 in load.each_mm2]
    made = made_rack(told, layout, shares, of_parts * most_a, FREEBOARD.limit.value, stock)
    return check_rack(made, Estimate.exact(of_parts * most_a))


def _arrange(
    area_mm2: Estimate, chosen: TankChoices, immersed_mm: float, length_mm: float, depth_mm: float
) -> tuple[CathodeSet, float, float, list[Fact]]:
    """Strips in two rows; where they do not fit side by side, one sheet a side; where that does not, a larger tank.

    Returns the cathodes and the tank's length and depth [mm].
    """
    row_mm2 = 0.5 * area_mm2.high * chosen.ratio.cathode_per_area
    gap, wide = BETWEEN_STRIPS.value, chosen.strip_width_mm
    strips = max(1, math.ceil(row_mm2 / (wide * immersed_mm) - 1e-9))
    room_mm = length_mm - 2.0 * gap
    if strips * wide + (strips - 1) * gap <= room_mm:
        if strips > MOST_STRIPS:
            strips, wide = MOST_STRIPS, chosen.stock.up(row_mm2 / (MOST_STRIPS * immersed_mm))
        return CathodeSet(chosen.cathode_metal, 2 * strips, wide, immersed_mm), length_mm, depth_mm, []
    up = chosen.stock.up
    sheet_mm, ways = up(row_mm2 / immersed_mm), []  # liquid on a width, immersed, length, depth, which size grows
    if sheet_mm > room_mm and chosen.length_mm is None:
        longer_mm = up(sheet_mm + 2.0 * gap)
        ways.append((longer_mm * depth_mm, immersed_mm, longer_mm, depth_mm, "length"))
    if sheet_mm > room_mm and chosen.depth_mm is None:
        down_mm = up(row_mm2 / room_mm)
        deeper_mm = max(depth_mm, up(down_mm + BELOW.limit.value))
        ways.append((length_mm * deeper_mm, down_mm, length_mm, deeper_mm, "depth"))
    said = []
    if ways:
        _, immersed_mm, length_mm, depth_mm, grows = min(ways)
        size = quantity(length_mm if grows == "length" else depth_mm, "mm")
        said = [fact(TankFact.RATIO_SETS_SIZE, ratio=chosen.ratio.name, source=chosen.ratio.source, side=grows,
                     size=size)]  # fmt: skip
    strips, room_mm = math.ceil(row_mm2 / (wide * immersed_mm) - 1e-9), length_mm - 2.0 * gap
    if strips * wide + (strips - 1) * gap > room_mm:
        said.insert(0, fact(TankFact.SHEET_A_SIDE, strips=strips, length=quantity(length_mm, "mm")))
    sheet = CathodeSet(chosen.cathode_metal, 2, min(sheet_mm, room_mm), immersed_mm)
    return sheet, length_mm, depth_mm, said


def _cooling(duty: Duty, liquid: Figure) -> Figure:
    return worked(
        "cooling to stay in the band over one run", "W",
        "(heat of a run - heat capacity x liquid x rise) / time after the ramp, from 0 to the heat", _BALANCE,
        lambda e, w, t, c, k, v: min(w, max(0.0, (e - c * v * k) / t)), duty.energy, duty.heat, duty.hold,
        duty.capacity, duty.band, liquid,
    )  # fmt: skip


def _tub(room: Room, brimful_l: float, chosen: TankChoices) -> Tub:
    """A tub that holds the brimful tank, with the tank's walls standing in it."""
    up, wall_mm = chosen.stock.up, chosen.wall_mm
    outside = (room.length_mm + 2.0 * wall_mm, room.width_mm + 2.0 * wall_mm)
    long, wide = (up(size + 2.0 * TUB_GAP.value) for size in outside)
    free_mm2 = long * wide - (outside[0] * outside[1] - room.length_mm * room.width_mm)
    high = up(brimful_l * LITRE_MM3 / free_mm2 + 2.0 * wall_mm)
    return Tub(long, wide, high, free_mm2 * (high - wall_mm) / LITRE_MM3)
