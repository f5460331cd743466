"""What to buy or make for a new tank."""

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.cautions import RESIDUAL
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.plant.metal import METALS
from areacalc.plant.new_tank import TankDesign


class Buy(Enum):
    """What to buy or make, from the tank inward to the rack."""

    TANK = "tank"
    SPILL_TRAY = "spill tray"
    CATHODES = "cathodes"
    ANODE_BAR = "anode bar"
    CATHODE_BAR = "cathode bar"
    LEADS = "leads"
    RACK_WIRE = "rack wire"
    NO_RACK_WIRE = "rack wire too thick to buy"
    SUPPLY = "power supply"
    FUSE = "fuse"
    RESIDUAL_CURRENT = "residual-current device"
    SCREEN = "splash screen"
    COOLING = "cooling"
    EXHAUST = "exhaust"
    GAUGES = "gauges and stirring"
    PROTECTION = "protection"


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list: what it is with its sizes, how many, and its mass where it is metal."""

    told: Fact
    number: int
    mass: Quantity | None = None


def materials(design: TankDesign) -> tuple[Item, ...]:
    """The list for a design, from the tank inward to the rack; acid and water are the bath's own recipe."""
    room, tray, strips = design.rack.room, design.tub, design.cathodes
    high_mm = room.depth_mm + (design.tank.freeboard_mm or 0.0)
    walls = quantity(design.choices.wall_mm, "mm")
    return (
        Item(fact(Buy.TANK, size=_size(room.length_mm, room.width_mm, high_mm), walls=walls), 1),
        Item(fact(Buy.SPILL_TRAY, size=_size(tray.length_mm, tray.width_mm, tray.height_mm),
                  holds=quantity(tray.holds_l, "L")), 1),
        Item(fact(Buy.CATHODES, metal=strips.metal, note=strips.strip_metal.note,
                  size=_size(strips.width_mm, strips.whole_length_mm, strips.thickness_mm)),
             strips.count, quantity(design.cathode_check.mass.estimate.value, "kg")),
        *_conductors(design),
        Item(fact(Buy.SUPPLY, current=quantity(design.supply_a, "A"), voltage=quantity(design.supply_v, "V")), 1),
        Item(fact(Buy.FUSE, current=quantity(design.fuse_a, "A")), 1),
        Item(fact(Buy.RESIDUAL_CURRENT, current=quantity(RESIDUAL.value, "mA")), 1),
        Item(fact(Buy.SCREEN), 1),
        Item(fact(Buy.COOLING, once=quantity(design.cooling.estimate.high, "W"),
                  steady=quantity(design.steady_cooling.estimate.high, "W")), 1),
        Item(fact(Buy.EXHAUST, air=quantity(design.exhaust.estimate.value, "m3/h")), 1),
        Item(fact(Buy.GAUGES), 1),
        Item(fact(Buy.PROTECTION), 1),
    )  # fmt: skip


def _conductors(design: TankDesign) -> tuple[Item, ...]:
    bar, leads = design.bar, design.leads
    bar_g = bar.section_mm2 * bar.length_mm * METALS[bar.metal].density.value * 1e-3
    long = quantity(bar.length_mm, "mm")
    return (
        Item(fact(Buy.ANODE_BAR, stock=bar.stock, length=long), 1, _mass(bar_g)),
        Item(fact(Buy.CATHODE_BAR, stock=bar.stock, length=long), 2, _mass(2.0 * bar_g)),
        Item(fact(Buy.LEADS, stock=leads.stock, length=quantity(0.5 * leads.length_mm, "mm")), 2),
        *(Item(fact(Buy.RACK_WIRE, metal=each.rack.metal, thick=quantity(each.fullest.diameter_mm, "mm")),
               each.fullest.number, _mass(each.rack.mass_g)) if each.fullest.by_current_mm
          else Item(fact(Buy.NO_RACK_WIRE, metal=each.rack.metal), each.fullest.number) for each in design.wires),
    )  # fmt: skip


def _size(*mm: float) -> tuple[Quantity, ...]:
    return tuple(quantity(each, "mm") for each in mm)


def _mass(grams: float) -> Quantity:
    return quantity(grams * 1e-3, "kg")
