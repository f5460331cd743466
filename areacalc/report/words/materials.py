"""Words for what to buy or make: what it is, its size, what to mind."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from areacalc.plant.materials import Buy, Item
from areacalc.report.figures import whole_quantity
from areacalc.report.words.tell import telling

_EITHER = "rack wire, {metal} (one metal or the other)"
MATERIALS: Mapping[Enum, tuple[str, str, str]] = {
    Buy.TANK: ("tank, polypropylene or polyethylene", "{size:build} inside",
               "drawn with {walls:build} walls; its maker decides wall and stiffening"),
    Buy.SPILL_TRAY: ("spill tray", "{size:build} inside, holds {holds} with the tank in it", "acid-proof; no drain in it"),
    Buy.CATHODES: ("cathodes, {metal}", "{size:build}", "{note}"),
    Buy.ANODE_BAR: ("anode bar, {stock}", "{length:build}", "keep it clear of drips"),
    Buy.CATHODE_BAR: ("cathode bar, {stock}", "{length:build}", ""),
    Buy.LEADS: ("leads, {stock}", "{length:build} each", ""),
    Buy.RACK_WIRE: (_EITHER, "{thick:build}", ""),
    Buy.NO_RACK_WIRE: (_EITHER, "thicker than usual wire", "hang the parts by more wires"),
    Buy.SUPPLY: ("power supply", "at least {current}, {voltage}", "output isolated from the mains; with settings for most current and most volts"),
    Buy.FUSE: ("fuse at the power supply", "{current}", "no more than the leads carry"),
    Buy.RESIDUAL_CURRENT: ("residual-current device", "{current}",
                           "ahead of power supply, pump and heater; it guards the mains side alone"),
    Buy.SCREEN: ("lid or splash screen, and an eye wash", "", ""),
    Buy.COOLING: ("cooling", "{once} for one run, {steady} run after run", "coil and pump acid-proof"),
    Buy.EXHAUST: ("exhaust at the tank's lip", "about {air}", "for the acid mist, from memory: ask local rules; less "
                  "under a lid that is drawn off"),
    Buy.GAUGES: ("thermometer, hydrometer, stirring by clean low-pressure air or a pump", "", ""),
    Buy.PROTECTION: ("goggles, gauntlets, apron, water at hand, soda to neutralise spills", "",
                     "as the acid's safety data sheet says"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ItemWords:
    """One line of the list, as it is read."""

    what: str
    size: str
    mass: str
    note: str


def item_words(item: Item, inch: bool = False) -> ItemWords:
    """One thing to buy or make, in metric or US units."""
    said = telling(item.told, inch)
    what, size, note = (said(words) for words in MATERIALS[item.told.kind])
    return ItemWords(what, size, whole_quantity(item.mass, inch) if item.mass else "", note)
