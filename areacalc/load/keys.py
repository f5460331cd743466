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
        "what the file's numbers are in, where it does not say: mm, cm, m, in, ft, um; "
        "'mm, checked' where the size looks wrong and is right",
    ),
    Key("plug", _W, '["bore-1"]', "bores closed with a plug"),
    Key("mask", _W, '["x from 0 to 5 mm"]', "surface under tape or lacquer"),
    Key("wet_only", _W, '["outside"]', "all but this is masked"),
    Key("contact", _W, '["2 x 3 mm on outside"]', "where the rack touches"),
    Key("add", _W, '["bore-1 thread M6"]', "threads and knurls that the drawing leaves smooth"),
    Key("up", _T, '"x+"', "what points up in the bath: x+, '0,0,1', bore-1 (mouth up); without it as `hang` ranks"),
    Key("liquid_line", _T, '"5 mm below the top"', "liquid level on the part, if it is not fully submerged; needs up"),
    Key("alloy", _T, '"6061"', "one alloy a load; without it ordinary wrought alloy is taken"),
    Key("copper", Dimension.FRACTION, '"4.4 %"', "of the alloy, by its certificate"),
    Key("silicon", Dimension.FRACTION, '"0.6 %"', "of the alloy, by its certificate"),
)
FIT = (
    Key("name", _T, '"cap thread"', "what you call it", needed=True),
    Key("kind", _T, '"diameter"', f"{', '.join(KINDS)}; of a thread the pitch diameter", needed=True,
        among=tuple(KINDS)),
    Key("wanted", _T, '"11.95 to 12.00 mm"', "what it must end at; also '12 +-0.02 mm' or '12 h7'", needed=True),
    _size("turned", '"11.98 mm"', "as it measures now"),
    Key("flank", Dimension.ANGLE, '"60 deg"', "of a thread, the whole angle: 55 deg for Whitworth and pipe threads",
        above=True),
)  # fmt: skip
BATH = (
    Key("acid", Dimension.CONCENTRATION, '"180 g/L"', "free acid as measured; also '16.2 wt%', '1.84 mol/L'",
        needed=True, written=True, above=True, measured=True),
    Key("aluminium", Dimension.CONCENTRATION, '"5 g/L"', "dissolved aluminium, if you know it"),
    Key("temperature", Dimension.TEMPERATURE, '"20 C"', "of the bath now", needed=True, written=True, least=None,
        within=BATH_TEMPERATURE, measured=True),
    Key("band", Dimension.TEMPERATURE_DIFFERENCE, '"2 K"', "how far it may warm in the run", above=True),
    Key("agitation", _T, '"air"', "what moves the bath past the parts: still, air or pump; air unless told",
        among=tuple(Agitation)),
    Key("cooling", Dimension.POWER, '"0 W"', "what takes heat out of it; 0 W for nothing"),
    Key("cooling_within", Dimension.POWER, '"5 W"', "how far that cooling may be off"),
    Key("drag_out", Dimension.FILM, '"81 um"', "liquid on what is lifted out; 1 um is 1 mL/m2", above=True),
    Key("drag_out_within", Dimension.FILM, '"30 um"', "how far that drag-out may be off"),
    Key("bore_slope", Dimension.VOLTAGE, '"6.5 V"', "volts for each 2.72 times the density, as coatings measured down "
        "bores tell", above=True),
    Key("bore_slope_within", Dimension.VOLTAGE, '"1 V"', "how far that slope may be off"),
    Key("measured_voltage", Dimension.VOLTAGE, '"15.2 V"', "volts at the tank, steady, in an earlier run in this bath, "
        "stirred as now: the warmth of the surface is in them", above=True),
    Key("measured_density", Dimension.CURRENT_DENSITY, '"1.5 A/dm2"', "and the density of that run", above=True),
    Key("half_density_voltage", Dimension.VOLTAGE, '"12.6 V"',
        "volts at about half that density, to tell how far bores lag", above=True),
    Key("half_density", Dimension.CURRENT_DENSITY, '"0.8 A/dm2"', "and the density of that one", above=True),
    Key("measured_within", Dimension.VOLTAGE, '"0.1 V"', "how far those volts may be off"),
    Key("half_density_within", Dimension.VOLTAGE, '"0.2 V"', "how far the step between the two volts may be off"),
    Key("measured_coating", Dimension.FILM, '"11.6 um"',
        "coating measured after that run: sets the coating for a charge", above=True),
    Key("measured_time", Dimension.TIME, '"26 min"', "and its time, the ramp at half", above=True),
    Key("measured_alloy", _T, '"6061"', "the alloy of that measurement, if it holds for no other"),
    Key("measured_coating_within", Dimension.FILM, '"1 um"', "how far that coating may be off", above=True),
    Key("measured_temperature", Dimension.TEMPERATURE, '"20 C"', "of the bath in those runs, if it was not as now",
        least=None, within=BATH_TEMPERATURE),
)  # fmt: skip
TANK = (
    Key("volume", Dimension.BATH_VOLUME, '"10 L"', "the liquid in it, where you give no sizes", above=True),
    _size("length", '"300 mm"', "inside, along the bar with the parts", written=True, measured=True),
    _size("width", '"200 mm"', "inside, across the bar", written=True, measured=True),
    _size("depth", '"170 mm"', "of the liquid", written=True, measured=True),
    Key("freeboard", Dimension.LENGTH, '"50 mm"', "wall above the liquid"),
    Key("containment", Dimension.BATH_VOLUME, '"15 L"', "what the outer tank holds", above=True),
    _size("clear_ends", '"20 mm"', "your own least room between the last part and the end walls; 50 mm unless told"),
    _size("clear_below", '"40 mm"', "your own least room under the parts; 75 mm unless told"),
    _size("clear_above", '"25 mm"', "your own least liquid above the parts; 50 mm unless told"),
    _size("clear_cathodes", '"40 mm"', "your own least distance from part to cathode; 75 mm unless told"),
    Key("room", Dimension.BATH_VOLUME, '"30 m3"', "air of the room it stands in, to tell its change", above=True),
)
CATHODES = (
    Key("metal", _T, '"6063"', "6063, 1100 or lead", written=True),
    Key("count", Holds.COUNT, "4", "strips in all, half of them either side", needed=True, written=True, least=1.0),
    _size("width", '"40 mm"', "of one strip", needed=True, written=True),
    _size("immersed", '"150 mm"', "how deep it hangs in the liquid", needed=True, written=True),
    _size("thickness", '"3 mm"', "of one strip"),
    Key("faces", Holds.COUNT, "1", "faces toward the part: 1, or 2 where strips hang clear of the wall",
        least=1.0, most=2.0),
    _size("distance", '"85 mm"', "from the part's face"),
    Key("ratio", _T, '"small-tank"', "small-tank (twice the part), one-third, equal, or a number"),
)  # fmt: skip
SUPPLY = (
    Key("current", Dimension.CURRENT, '"3 A"', "the most it gives", needed=True, written=True, above=True,
        measured=True),
    Key("voltage", Dimension.VOLTAGE, '"30 V"', "the most it gives", needed=True, written=True, above=True,
        measured=True),
    Key("mode", _T, '"constant current"', "constant current or constant voltage",
        among=("constant current", "constant voltage")),
    Key("ramp", Dimension.TIME, '"5 min"', "time over which you bring it up", written=True),
)  # fmt: skip
RACK = (
    Key("rows", Holds.COUNT, "1", "rows side by side between the cathodes, at most; 2 unless told", least=1.0),
    Key("tiers", Holds.COUNT, "3", "tiers one below another, at most; as many as go in unless told", least=1.0),
    _size("spacing", '"20 mm"', "your own least room between parts; 25 mm unless told"),
    Key(
        "moved",
        _T,
        '"lamp knob 2 at 120 x 60 mm"',
        "a part hung elsewhere: along the tank x under the liquid, of its near upper corner; more with ;",
    ),
    Key("metal", _T, '"aluminium 6063"', "aluminium 6063, 6061, 1100, or titanium grade 2", written=True),
    _size("wire", '"2 mm"', "diameter of a wire", written=True),
    Key("wires", Holds.COUNT, "4", "side by side", written=True, least=1.0),
    Key("dry", Dimension.LENGTH, '"100 mm"', "wire above the liquid"),
    Key("wet", Dimension.LENGTH, '"80 mm"', "wire below the liquid; bare aluminium there takes current as a part does"),
    Key("wire_surface", _T, '"bare"', "of the wire below the liquid: bare or insulated", among=("bare", "insulated")),
    Key("contacts", Holds.COUNT, "1", "contacts that hold one part", least=1.0),
    Key("contact_area", Dimension.AREA, '"4 mm2"', "face of one contact", above=True),
    Key("contact_resistance", Dimension.RESISTANCE, '"0.01 ohm"', "of one contact, if you measured it"),
)
FINISH = (
    Key("density", _T, '"small-tank"', "small-tank, decorative, conventional, hard, or your own: '12 to 15 A/ft2'",
        written=True, sweeps=Dimension.CURRENT_DENSITY),
    Key("thickness", Dimension.FILM, '"12 um"', "of the coating; or give a shade", above=True),
    Key("certainty", Dimension.FRACTION, '"95 %"', "share of runs that get at least that coating, from 50 %"),
    Key("shade", _T, '"dark"', "pale, strong, dark or black; or give a thickness", written=True,
        among=("pale", "strong", "dark", "black")),
    Key("surface", _T, '"gloss"', "gloss, or matte by an etch first", written=True, among=("gloss", "matte")),
    Key("etch", Dimension.TIME, '"4 min"', "in the caustic, for matte"),
    Key("etch_caustic", Dimension.CONCENTRATION, '"30 g/L"', "caustic soda of the etch", within=CAUSTIC),
    Key("etch_temperature", Dimension.TEMPERATURE, '"35 C"', "of the etch", within=TEMPERATURE),
    Key("etch_bath", Dimension.BATH_VOLUME, '"2 L"', "liquid of the etch, to tell how it warms", above=True),
    Key("etch_trial_loss", Dimension.MASS, '"0.03 g"', "weight that a trial piece lost in the same etch", above=True),
    Key("etch_trial_area", Dimension.AREA, '"20 cm2"', "and its wet area: the fits then rest on it", above=True),
    Key("dye", _T, '"moss green"', "the dye, for the logbook; 'none' leaves the coating clear"),
    Key("seal", _T, '"hot water"', "hot water, nickel acetate, mid-temperature salts, cold or none (hard coats: none)",
        among=(*SEALS, UNSEALED)),
    Key("seal_temperature", Dimension.TEMPERATURE, '"98 C"', "of the seal bath as measured", within=_LIQUID),
    Key("seal_ph", Holds.NUMBER, "6.0", "of the seal bath as measured", most=14.0),
    Key("rule", _T, '"middle"', "coating from charge: middle (of what is published), 720, 312, or round (0.3)",
        among=tuple(RULES)),
    Key("growth", _T, '"charge"', "how sizes grow: charge, half (hard coaters), third or measured", among=WAYS),
    Key("coating_efficiency", Dimension.FRACTION, '"78 %"', "instead of a rule: Faraday's law; this share stays on",
        above=True),
    Key("repeat", _T, '"pen bodies, 3 March"', "colour of a run in the logbook: same coating, dye and times"),
)  # fmt: skip

SPLIT_TUBE = (
    _size("bore", '"8 mm"', "its bore", needed=True, written=True),
    _size("inside", '"110 mm"', "its length inside", needed=True, written=True),
    Key("open", _T, '"one end"', "one end or both ends", among=("one end", "both ends")),
    Key("outside_coating", Dimension.FILM, '"12 um"', "coating measured on its outside", True, True, above=True),
    Key("least_coating", Dimension.FILM, '"6 um"', "and inside, where it is thinnest", True, True, above=True),
    Key("outside_density", Dimension.CURRENT_DENSITY, '"2.5 A/dm2"', "of that run, on its outside", True, True,
        above=True),
)  # fmt: skip

METERS = (
    Key("voltmeter", Dimension.VOLTAGE, '"0.1 V"', "the most that the voltmeter is off"),
    Key("ammeter", Dimension.FRACTION, '"1 %"', "the most that the ammeter is off, of what it reads"),
    Key("thermometer", Dimension.TEMPERATURE_DIFFERENCE, '"0.5 K"', "the most that the thermometer is off"),
)

TABLES: dict[str, tuple[Key, ...]] = {
    "bath": BATH, "tank": TANK, "cathodes": CATHODES, "supply": SUPPLY, "rack": RACK, "finish": FINISH,
    "split_tube": SPLIT_TUBE, "meters": METERS,
}  # fmt: skip
NEEDED_TABLES = ("bath", "tank")
TABLE_HELP = {
    "part": "One table a kind of part; write [[part]] again for the next.",
    "part.fit": "A size that must end in tolerance; write [[part.fit]] again for the next.",
    "bath": "The bath as measured today.",
    "tank": "The tank as it is filled.",
    "cathodes": "What hangs in it as cathodes; leave it out to be told how much to hang.",
    "supply": "The supply; leave it out to be told what to buy.",
    "rack": "How the parts hang, and the rack's metal; leave out what you do not know.",
    "finish": "What you want.",
    "split_tube": "A tube split once after a run in this bath and measured: how far bores lag. Leave it out else.",
    "meters": "How far the meters may be off, where you know it better than this.",
}
