"""What each table of a load file becomes, from its values in their canonical units."""

from typing import Any

from areacalc.bath.alloy import alloy_named
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.etch import MILD_C, MILD_CAUSTIC, MILD_MINUTES
from areacalc.bath.film import DEFAULT_RULE, GAUGE_UM, RULES, ThicknessRule, faraday_rule
from areacalc.bath.heat import DEFAULT_AGITATION, Agitation
from areacalc.bath.voltage import METER_V
from areacalc.bath.window import window
from areacalc.errors import BadInput, UnknownName
from areacalc.load import load
from areacalc.plant.cathode import CathodeSet
from areacalc.plant.metal import CATHODE_METALS, RACK_METALS, metal
from areacalc.plant.rack import Rack
from areacalc.plant.spacing import USUAL, Spacing
from areacalc.plant.strands import RackKind
from areacalc.plant.supply import Meters, Mode, Supply
from areacalc.plant.tank import LITRE_MM3, Tank
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.bore_line import plain_bore
from areacalc.throw.split_tube import SplitTube

Values = dict[str, Any]


def bath_of(v: Values) -> load.BathToday:
    """The bath as measured today. Raises BadInput."""
    read = next((key for key in ("measured_voltage", "measured_coating") if key in v), None)
    if (read is None) != ("measured_density" not in v):
        what = "an earlier run needs its density beside its volts or its coating"
        raise BadInput(read or "measured_density", what, "give both, or neither")
    if ("measured_coating" in v) != ("measured_time" in v):
        raise BadInput("measured_coating", "needs the time of its run", "give measured_time beside measured_coating")
    second = "half_density_voltage" in v
    if second != ("half_density" in v) or (second and "measured_voltage" not in v):
        what = "a second run needs its volts and its density, and a first run beside it"
        raise BadInput("half_density_voltage", what,
                       "give measured_voltage, measured_density, half_density_voltage and half_density")  # fmt: skip
    if "measured_alloy" in v:
        alloy_named(v["measured_alloy"], "measured_alloy")
    try:
        Electrolyte(v["acid"], v["temperature"], v.get("aluminium", 0.0))
    except BadInput as bad:
        raise BadInput(bad.where.rpartition(" ")[2], bad.what, bad.remedy) from None
    bath = load.BathToday(v["acid"], v["temperature"], v.get("aluminium", 0.0), v.get("band", load.USUAL_BAND_K),
                     v.get("cooling", 0.0), v.get("measured_voltage"), v.get("measured_density"),
                     v.get("half_density_voltage"), v.get("half_density"), v.get("measured_temperature"),
                     Agitation(v.get("agitation", DEFAULT_AGITATION)), "agitation" in v,
                     v.get("measured_coating"), v.get("measured_time"), v.get("measured_within", METER_V.value),
                     v.get("half_density_within", 2.0 * METER_V.value),
                     v.get("measured_coating_within", GAUGE_UM.value), v.get("cooling_within", 0.0),
                     _own(v, "bore_slope", "V"), _own(v, "drag_out", "mL/m2"), v.get("measured_alloy"))  # fmt: skip
    for key, made in (("half_density_voltage", "law"), ("measured_coating", "rule")):
        try:  # told here where runs tell no slope or film
            getattr(bath, made)
        except BadInput as bad:
            raise BadInput(key, bad.what, bad.remedy) from None
    return bath


def _own(v: Values, key: str, unit: str) -> Constant | None:
    """A constant of the bath's own, right to its `_within`; None where it is not told. Raises BadInput."""
    if key not in v:
        return None
    value, off = v[key], v.get(f"{key}_within", 0.0)
    if off >= value:
        what = f"{off:g} is as much as {key} itself, which then tells nothing"
        raise BadInput(f"{key}_within", what, f"leave {key} out")
    return Constant(value, unit, Source(Kind.ENTERED, f"{key} of this bath"), value - off, value + off)


def tank_of(v: Values) -> Tank:
    """The tank; its volume from its sizes where none is told. Raises BadInput."""
    length, width, depth = (v.get(name) for name in ("length", "width", "depth"))
    volume = v.get("volume")
    if length is not None and width is not None and depth is not None:
        by_size: float = length * width * depth / LITRE_MM3
    elif volume is not None:
        by_size = volume
    else:
        raise BadInput("volume", "is missing", "give the volume of the liquid, or length, width and depth")
    if volume is not None and not 0.9 <= volume / by_size <= 1.1:
        deep_mm = volume / by_size * (depth or 0.0)
        raise BadInput("volume", f"{volume:g} L is not what the sizes hold, {by_size:.3g} L",
                       f"depth is that of the liquid: {volume:g} L stand {deep_mm:.0f} mm deep")  # fmt: skip
    volume = by_size if volume is None else volume
    return Tank(volume, length, width, depth, v.get("freeboard"), v.get("containment"))


def supply_of(v: Values) -> Supply:
    """The supply. Raises BadInput."""
    return Supply(v["current"], v["voltage"], Mode(v.get("mode", Mode.CURRENT.value)), v.get("ramp", 0.0))


def cathodes_of(v: Values) -> CathodeSet:
    """The cathodes. Raises BadInput."""
    if "metal" in v:
        metal(v["metal"], CATHODE_METALS)
    return CathodeSet(v.get("metal", "6063"), v["count"], v["width"], v["immersed"], v.get("thickness", 3.0), None,
                      v.get("faces", 1), v.get("distance"))  # fmt: skip


_RACK_METAL = {
    "metal": "metal", "wire": "wire_mm", "wires": "wires", "dry": "dry_mm", "wet": "wet_mm",
    "contacts": "contacts", "contact_area": "contact_mm2", "contact_resistance": "contact_ohm",
}  # fmt: skip


def rack_of(v: Values) -> Rack | None:
    """The rack's metal; None where only the layout is told. Raises BadInput."""
    if not v.keys() - {"rows", "tiers", "spacing", "moved"}:
        return None
    if "metal" in v:
        metal(v["metal"], RACK_METALS)
    kind = RackKind(v["kind"]) if "kind" in v else None
    if kind is not None and "wires" in v:
        raise BadInput("wires", "the kind of rack gives their number", "leave out wires, or the kind")
    return Rack(kind=kind, insulated=v.get("wire_surface") == "insulated", metal_told="metal" in v,
                **{_RACK_METAL[name]: value for name, value in v.items() if name in _RACK_METAL})  # fmt: skip


def spacing_of(rack: Values, tank: Values) -> Spacing:
    """The rules that the layout keeps: the usual ones, with a person's own in their place."""
    told = {
        "between": rack.get("spacing"), "ends": tank.get("clear_ends"), "below": tank.get("clear_below"),
        "above": tank.get("clear_above"), "cathodes": tank.get("clear_cathodes"),
    }  # fmt: skip
    usual = Spacing(rows=rack.get("rows", USUAL.rows), tiers=rack.get("tiers"))
    return usual.own(**{name: mm for name, mm in told.items() if mm is not None})


def meters_of(v: Values) -> Meters:
    """How far the meters may be off. Raises BadInput."""
    names = {"voltmeter": "volts_v", "ammeter": "amps_share", "thermometer": "temperature_k"}
    return Meters(**{names[name]: value for name, value in v.items()})


def split_tube_of(v: Values) -> SplitTube:
    """The tube that was split and measured. Raises BadInput."""
    bore = plain_bore(v["bore"], v["inside"], v.get("open") == "both ends")
    try:
        return SplitTube(bore, v["outside_coating"], v["least_coating"], v["outside_density"])
    except BadInput as bad:
        raise BadInput("least_coating", bad.what, bad.remedy) from None


def finish_of(v: Values) -> load.Finish:
    """The finish wanted. Raises BadInput."""
    if "thickness" in v and "shade" in v:
        raise BadInput("thickness", "stands beside a shade", "give one of the two")
    certainty = v.get("certainty", load.DEFAULT_CERTAINTY)
    if not load.EVEN_CHANCE <= certainty <= load.MOST_CERTAIN:
        raise BadInput("certainty", f"{100.0 * certainty:g} % cannot be planned for", "give 50 to 99 %, such as '95 %'")
    dye = v.get("dye")
    if dye is not None and dye.strip().lower() == "none":
        if "shade" in v:
            raise BadInput("dye", "'none' stands beside a shade", "give a thickness in place of the shade")
        dye = None
    return load.Finish(
        window(v.get("density", "small-tank"), "density"), None, v.get("thickness"), certainty, v.get("shade"),
        load.SurfaceFinish(v.get("surface", "gloss")), dye, v.get("seal"), v.get("repeat"), _rule(v), _etching(v),
        v.get("seal_temperature"), v.get("seal_ph"), v.get("growth"), frozenset(v),
    )  # fmt: skip


def _etching(v: Values) -> load.Etching:
    if ("etch_trial_loss" in v) != ("etch_trial_area" in v):
        raise BadInput("etch_trial_loss", "a weighed trial needs the weight lost and the area", "give both, or neither")
    return load.Etching(
        v.get("etch", 60.0 * MILD_MINUTES.value) / 60.0, v.get("etch_caustic", MILD_CAUSTIC.value),
        v.get("etch_temperature", MILD_C.value), v.get("etch_bath"), v.get("etch_trial_loss"), v.get("etch_trial_area"),
    )  # fmt: skip


def _rule(v: Values) -> ThicknessRule:
    if "coating_efficiency" not in v:
        return UnknownName.pick("thickness rule", v.get("rule", DEFAULT_RULE.name), RULES)
    if "rule" in v:
        raise BadInput("coating_efficiency", "stands beside a rule", "give one of the two")
    return faraday_rule(v["coating_efficiency"])
