"""What to buy or make for a new tank."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.cautions import RESIDUAL
from areacalc.digits import three
from areacalc.plant.metal import METALS
from areacalc.plant.new_tank import TankDesign


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list: what, how many, its size in words, its mass where it is metal."""

    what: str
    number: float
    size: str
    mass_g: float | None = None
    note: str = ""


def materials(design: TankDesign) -> tuple[Item, ...]:
    """The list for a design, from the tank inward to the rack; acid and water are the bath's own recipe."""
    tank, tub, strips, chosen = design.tank, design.tub, design.cathodes, design.choices
    assert tank.length_mm is not None
    assert tank.width_mm is not None
    assert tank.depth_mm is not None
    wall_mm = chosen.wall_mm
    height_mm = tank.depth_mm + (tank.freeboard_mm or 0.0)
    bar_mm3 = design.bar.section_mm2 * design.bar.length_mm
    bar_g = bar_mm3 * METALS[design.bar.metal].density.value * 1e-3
    items = [
        Item("tank, polypropylene or polyethylene", 1, _size(tank.length_mm, tank.width_mm, height_mm) + " inside",
             note=f"drawn with {wall_mm:g} mm walls; its maker decides wall and stiffening"),
        Item("outer tub", 1, f"{_size(tub.length_mm, tub.width_mm, tub.height_mm)} inside, "
             f"holds {three(tub.holds_l)} L", note="acid-proof; no drain in it"),
        Item(f"cathodes, {strips.metal}", strips.count,
             _size(strips.width_mm, strips.whole_length_mm, strips.thickness_mm),
             design.cathode_check.mass.estimate.value, strips.strip_metal.note),
        Item(f"anode bar, {design.bar.words}", 1, f"{design.bar.length_mm:g} mm", bar_g, "keep it clear of drips"),
        Item(f"cathode bar, {design.bar.words}", 2, f"{design.bar.length_mm:g} mm", 2.0 * bar_g),
        Item(f"leads, {design.leads.words}", 2, f"{0.5 * design.leads.length_mm:g} mm each"),
        *(Item(f"rack wire, {each.metal} (one metal or the other)", each.number,
               f"{each.diameter_mm:g} mm" if each.diameter_mm else "none of the usual sizes", each.mass_g)
          for each in design.wires),
        Item("power supply", 1, f"at least {three(design.supply_a)} A, {three(design.supply_v)} V",
             note="output isolated from the mains; limits for both"),
        Item("fuse at the power supply", 1, f"{three(design.fuse_a)} A", note="no more than the leads carry"),
        Item("residual-current device", 1, f"{three(RESIDUAL.value)} mA",
             note="before power supply, pump and heater; it guards the mains side alone"),
        Item("lid or splash screen, and an eye wash", 1, ""),
        Item("cooling", 1, f"{three(design.cooling.estimate.high)} W for one run, "
             f"{three(design.steady_cooling.estimate.high)} W run after run", note="coil and pump acid-proof"),
        Item("exhaust at the tank's lip", 1, f"about {three(design.exhaust.estimate.value)} m3/h",
             note="for the acid mist, from memory: ask local rules; less under a lid that is drawn off"),
        Item("thermometer, hydrometer, stirring by clean low-pressure air or a pump", 1, ""),
        Item("goggles, gauntlets, apron, water at hand, soda to neutralise spills", 1, "",
             note="as the acid's safety data sheet says"),
    ]  # fmt: skip
    return tuple(items)


def _size(*mm: float) -> str:
    return " x ".join(f"{each:g}" for each in mm) + " mm"
