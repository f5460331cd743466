"""Every table and key of the load file, written once: the reader, its messages and the commented new file read this."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from areacalc.bath.agitation import Agitation
from areacalc.bath.electrolyte import BATH_TEMPERATURE
from areacalc.bath.etch import CAUSTIC, TEMPERATURE
from areacalc.bath.film import RULES
from areacalc.bath.fits import KINDS
from areacalc.bath.growth import WAYS
from areacalc.bath.seal import SEALS, UNSEALED
from areacalc.plant.strands import RackKind
from areacalc.quantity import MOST_COUNT, Dimension
from areacalc.sources import Kind, Source, Valid

_LIQUID = Valid(0.0, 100.0, "C", Source(Kind.DERIVED, "a seal bath is water, liquid from 0 to 100 C at sea level"))
BLANK = "?"
"""What stands in a new file where a person has to fill something in."""


class Holds(StrEnum):
    """What a key holds where it is not a quantity with a unit."""

    TEXT = "text"
    WORDS = "a text or a list of texts"
    COUNT = "a whole number"
    NUMBER = "a number"


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its name, what it holds, an example as it stands in the file, and what it is for.

    least is the smallest value allowed in the canonical unit (None: none); with `above` it must be more than that.
    most is the largest of a number with no unit; that of a quantity is what is the largest of its kind.
    written: the new file has it without a comment sign before it. within: the range that is known, where one is.
    sweeps: what a key of words is swept as. measured: only the person can know it, so the new file leaves it blank.
    """

    name: str
    holds: Dimension | Holds
    example: str
    help: str
    needed: bool = False
    written: bool = False
    least: float | None = 0.0
    above: bool = False
    among: tuple[str, ...] = ()
    within: Valid | None = None
    measured: bool = False
    most: float = float(MOST_COUNT)
    sweeps: Dimension | None = None


def _size(
    name: str, example: str, help: str, needed: bool = False, written: bool = False, measured: bool = False
) -> Key:
    return Key(name, Dimension.LENGTH, example, help, needed, written, 0.0, above=True, measured=measured)


_T, _W = Holds.TEXT, Holds.WORDS

PART = (
    Key("name", _T, '"pen body"', "what you call it"),
    Key("file", _T, '"pen_body.toml"', "the part: STL, STEP, 3MF, OBJ, PLY, OFF, GLB, or a profile", written=True),
    Key("area", Dimension.AREA, '"9 in2"', "instead of a file: the wetted area of one part", above=True),
    Key("count", Holds.COUNT, "4", "how many hang on the rack", written=True, least=1.0),
    Key(
        "unit",
        _T,
        '"mm"',
        "unit of the file's numbers, if the file does not say: mm, cm, m, in, ft, um; "
        "'mm, checked' if the size looks wrong and is right",
    ),
    Key("plug", _W, '["bore-1"]', "bores closed with a plug"),
    Key("mask", _W, '["x from 0 to 5 mm"]', "surface under tape or lacquer"),
    Key("wet_only", _W, '["outside"]', "everything else is masked"),
    Key("contact", _W, '["2 x 3 mm on outside"]', "where the rack touches"),
    Key("add", _W, '["bore-1 thread M6"]', "threads and knurls not in the drawing"),
    Key("fill", _W, '["bores under 3 mm"]', "narrow bores filled with a syringe, so that they hold no air"),
    Key("up", _T, '"x+"', "what points up in the bath: x+, '0,0,1', bore-1 (mouth up); if left out, `hang`'s best way"),
    Key("liquid_line", _T, '"5 mm below the top"', "liquid level on the part, if it is not fully submerged; needs up"),
    Key("alloy", _T, '"6061"', "one alloy a load; if left out, an ordinary wrought alloy"),
    Key("copper", Dimension.FRACTION, '"4.4 %"', "copper in the alloy, by its certificate"),
    Key("silicon", Dimension.FRACTION, '"0.6 %"', "silicon in the alloy, by its certificate"),
)
FIT = (
    Key("name", _T, '"cap thread"', "what you call it", needed=True),
    Key("kind", _T, '"diameter"', f"{', '.join(KINDS)}; of a thread the pitch diameter", needed=True,
        among=tuple(KINDS)),
    Key("wanted", _T, '"11.95 to 12.00 mm"', "size it must end at; also '12 +-0.02 mm' or '12 h7'", needed=True),
    _size("turned", '"11.98 mm"', "size as turned"),
    Key("flank", Dimension.ANGLE, '"60 deg"', "thread angle, both flanks: 55 deg for Whitworth and pipe threads",
        above=True),
)  # fmt: skip
BATH = (
    Key("acid", Dimension.CONCENTRATION, '"180 g/L"', "free acid as measured; also '16.2 wt%', '1.84 mol/L'",
        needed=True, written=True, above=True, measured=True),
    Key("aluminium", Dimension.CONCENTRATION, '"5 g/L"', "dissolved aluminium, if you know it"),
    Key("temperature", Dimension.TEMPERATURE, '"20 C"', "bath temperature now", needed=True, written=True, least=None,
        within=BATH_TEMPERATURE, measured=True),
    Key("band", Dimension.TEMPERATURE_DIFFERENCE, '"2 K"', "how much the bath may warm in a run", above=True),
    Key("agitation", _T, '"air"', "what stirs the bath: still, air or pump; default air",
        among=tuple(Agitation)),
    Key("cooling", Dimension.POWER, '"0 W"', "heat that the cooling takes out of the bath; 0 W for none"),
    Key("cooling_within", Dimension.POWER, '"5 W"', "how far the cooling may be off"),
    Key("drag_out", Dimension.FILM, '"81 um"', "liquid carried out on the parts; 1 um is 1 mL/m2", above=True),
    Key("drag_out_within", Dimension.FILM, '"30 um"', "how far the drag-out may be off"),
    Key("bore_slope", Dimension.VOLTAGE, '"6.5 V"', "volts for each 2.72 times the density, from coatings measured "
        "down bores", above=True),
    Key("bore_slope_within", Dimension.VOLTAGE, '"1 V"', "how far the slope may be off"),
    Key("measured_voltage", Dimension.VOLTAGE, '"15.2 V"', "steady volts at the tank in an earlier run in this bath, "
        "stirred as now", above=True),
    Key("measured_density", Dimension.CURRENT_DENSITY, '"1.5 A/dm2"', "density of that run", above=True),
    Key("half_density_voltage", Dimension.VOLTAGE, '"12.6 V"',
        "volts at about half that density; shows how far bores lag", above=True),
    Key("half_density", Dimension.CURRENT_DENSITY, '"0.8 A/dm2"', "density at those volts", above=True),
    Key("measured_within", Dimension.VOLTAGE, '"0.1 V"', "how far the measured volts may be off"),
    Key("half_density_within", Dimension.VOLTAGE, '"0.2 V"', "how far the difference between the two volts may be off"),
    Key("measured_coating", Dimension.FILM, '"11.6 um"',
        "coating measured after that run: sets the coating for a charge", above=True),
    Key("measured_time", Dimension.TIME, '"26 min"', "time of that run, counting the ramp half", above=True),
    Key("measured_alloy", _T, '"6061"', "the alloy of that measurement, if it holds for no other"),
    Key("measured_coating_within", Dimension.FILM, '"1 um"', "how far the measured coating may be off", above=True),
    Key("measured_temperature", Dimension.TEMPERATURE, '"20 C"', "bath temperature in those runs, if not as now",
        least=None, within=BATH_TEMPERATURE),
)  # fmt: skip
TANK = (
    Key("volume", Dimension.BATH_VOLUME, '"10 L"', "liquid, if you give no sizes", above=True),
    _size("length", '"300 mm"', "inside, along the bar with the parts", written=True, measured=True),
    _size("width", '"200 mm"', "inside, across the bar", written=True, measured=True),
    _size("depth", '"170 mm"', "depth of the liquid", written=True, measured=True),
    Key("freeboard", Dimension.LENGTH, '"50 mm"', "wall above the liquid"),
    Key("containment", Dimension.BATH_VOLUME, '"15 L"', "volume of the spill tray", above=True),
    _size("clear_ends", '"20 mm"', "your own least room between parts and end walls; default 50 mm"),
    _size("clear_below", '"40 mm"', "your own least room under the parts; default 75 mm"),
    _size("clear_above", '"25 mm"', "your own least liquid above the parts; default 50 mm"),
    _size("clear_cathodes", '"40 mm"', "your own least distance from part to cathode; default 75 mm"),
    Key("room", Dimension.BATH_VOLUME, '"30 m3"', "volume of the room, for its air changes", above=True),
)
CATHODES = (
    Key("metal", _T, '"6063"', "cathode metal: 6063, 1100 or lead", written=True),
    Key("count", Holds.COUNT, "4", "strips in all, half of them on each side", needed=True, written=True, least=1.0),
    _size("width", '"40 mm"', "width of one strip", needed=True, written=True),
    _size("immersed", '"150 mm"', "depth of a strip in the liquid", needed=True, written=True),
    _size("thickness", '"3 mm"', "thickness of one strip"),
    Key("faces", Holds.COUNT, "1", "faces that work: 1 for strips at the wall, 2 for strips hung clear of it",
        least=1.0, most=2.0),
    _size("distance", '"85 mm"', "distance from the part's face"),
    Key("ratio", _T, '"small-tank"', "cathode over part area: small-tank (twice), one-third, equal, or a number"),
)  # fmt: skip
SUPPLY = (
    Key("current", Dimension.CURRENT, '"3 A"', "most current it gives", needed=True, written=True, above=True,
        measured=True),
    Key("voltage", Dimension.VOLTAGE, '"30 V"', "most volts it gives", needed=True, written=True, above=True,
        measured=True),
    Key("mode", _T, '"constant current"', "what it holds: constant current or constant voltage",
        among=("constant current", "constant voltage")),
    Key("ramp", Dimension.TIME, '"5 min"', "time to raise the current", written=True),
)  # fmt: skip
RACK = (
    Key(
        "kind",
        _T,
        '"wires"',
        "wires (one down each column), hooks (one a part), spline (with an arm a tier) or clips",
        written=True,
        among=tuple(RackKind),
    ),
    Key("rows", Holds.COUNT, "1", "most rows between the cathodes; default 2", least=1.0),
    Key("tiers", Holds.COUNT, "3", "most tiers, one below another; default as many as fit", least=1.0),
    _size("spacing", '"20 mm"', "your own least room between parts; default 25 mm"),
    Key("moved", _T, '"lamp knob 2 at 120 x 60 mm"',
        "part hung elsewhere: its near upper corner, along the tank x below the liquid, or along x across x below"),
    Key("metal", _T, '"aluminium 6063"', "rack metal: aluminium 6063, 6061, 1100, or titanium grade 2", written=True),
    _size("wire", '"2 mm"', "diameter of one wire", written=True),
    Key("wires", Holds.COUNT, "4", "wires side by side, in place of a kind", least=1.0),
    Key("dry", Dimension.LENGTH, '"100 mm"', "length of wire above the liquid"),
    Key("wet", Dimension.LENGTH, '"80 mm"',
        "length of wire in the liquid; bare aluminium takes current as a part does"),
    Key("wire_surface", _T, '"bare"', "wire in the liquid: bare or insulated", among=("bare", "insulated")),
    Key("contacts", Holds.COUNT, "1", "contacts that hold one part", least=1.0),
    Key("contact_area", Dimension.AREA, '"4 mm2"', "area of one contact", above=True),
    Key("contact_resistance", Dimension.RESISTANCE, '"0.01 ohm"', "resistance of one contact, if measured"),
)  # fmt: skip
FINISH = (
    Key("density", _T, '"small-tank"', "small-tank, decorative, conventional, hard, or your own: '12 to 15 A/ft2'",
        written=True, sweeps=Dimension.CURRENT_DENSITY),
    Key("thickness", Dimension.FILM, '"12 um"', "thickness of the coating; or give a shade", above=True),
    Key("certainty", Dimension.FRACTION, '"95 %"', "share of runs that get at least that coating, from 50 %"),
    Key("shade", _T, '"dark"', "pale, strong, dark or black; or give a thickness", written=True,
        among=("pale", "strong", "dark", "black")),
    Key("surface", _T, '"gloss"', "gloss, or matte by an etch first", written=True, among=("gloss", "matte")),
    Key("etch", Dimension.TIME, '"4 min"', "time in the caustic, for matte"),
    Key("etch_caustic", Dimension.CONCENTRATION, '"30 g/L"', "caustic soda of the etch", within=CAUSTIC),
    Key("etch_temperature", Dimension.TEMPERATURE, '"35 C"', "temperature of the etch", within=TEMPERATURE),
    Key("etch_bath", Dimension.BATH_VOLUME, '"2 L"', "liquid of the etch; shows how it warms", above=True),
    Key("etch_trial_loss", Dimension.MASS, '"0.03 g"', "weight a trial piece lost in the same etch", above=True),
    Key("etch_trial_area", Dimension.AREA, '"20 cm2"', "wet area of that piece; the fits then use both", above=True),
    Key("dye", _T, '"moss green"', "the dye, for the logbook; 'none' leaves the coating clear"),
    Key("seal", _T, '"hot water"', "hot water, nickel acetate, mid-temperature salts, cold, none (hard coat: none)",
        among=(*SEALS, UNSEALED)),
    Key("seal_temperature", Dimension.TEMPERATURE, '"98 C"', "temperature measured in the seal bath", within=_LIQUID),
    Key("seal_ph", Holds.NUMBER, "6.0", "pH measured in the seal bath", most=14.0),
    Key("rule", _T, '"middle"', "coating from charge: middle (of what is published), 720, 312, or round (0.3)",
        among=tuple(RULES)),
    Key("growth", _T, '"charge"', "how sizes grow: charge, half (hard coaters), third or measured", among=WAYS),
    Key("coating_efficiency", Dimension.FRACTION, '"78 %"', "instead of a rule: Faraday's law; this share stays on",
        above=True),
    Key("repeat", _T, '"pen bodies, 3 March"', "run in the logbook to repeat: same coating, dye and times"),
)  # fmt: skip

SPLIT_TUBE = (
    _size("bore", '"8 mm"', "diameter of its bore", needed=True, written=True),
    _size("inside", '"110 mm"', "length of its bore", needed=True, written=True),
    Key("open", _T, '"one end"', "open at one end or both ends", among=("one end", "both ends")),
    Key("outside_coating", Dimension.FILM, '"12 um"', "coating measured on its outside", True, True, above=True),
    Key("least_coating", Dimension.FILM, '"6 um"', "coating inside, where it is thinnest", True, True, above=True),
    Key("outside_density", Dimension.CURRENT_DENSITY, '"2.5 A/dm2"', "density of that run, on the outside", True, True,
        above=True),
)  # fmt: skip

METERS = (
    Key("voltmeter", Dimension.VOLTAGE, '"0.1 V"', "most error of the voltmeter"),
    Key("ammeter", Dimension.FRACTION, '"1 %"', "most error of the ammeter, of its reading"),
    Key("thermometer", Dimension.TEMPERATURE_DIFFERENCE, '"0.5 K"', "most error of the thermometer"),
)

TABLES: dict[str, tuple[Key, ...]] = {
    "bath": BATH, "tank": TANK, "cathodes": CATHODES, "supply": SUPPLY, "rack": RACK, "finish": FINISH,
    "split_tube": SPLIT_TUBE, "meters": METERS,
}  # fmt: skip
NEEDED_TABLES = ("bath", "tank")
TABLE_HELP = {
    "part": "One table for each kind of part; write [[part]] again for the next.",
    "part.fit": "A size that must end in tolerance; write [[part.fit]] again for the next.",
    "bath": "The bath as measured today.",
    "tank": "The tank as it is filled.",
    "cathodes": "The cathodes. Leave the table out, and the plan says how much to hang.",
    "supply": "The power supply. Leave the table out, and the plan says what to buy.",
    "rack": "The rack: how the parts hang. Leave out what you do not know.",
    "finish": "The finish you want.",
    "split_tube": "A tube run in this bath, split and measured: shows how far bores lag. Leave it out without one.",
    "meters": "How far the meters may be off, if you know it better.",
}
