"""Words for a rack: its rows, tiers and columns, what is between them, and what hangs leaned."""

from collections.abc import Sequence

from areacalc.digits import three
from areacalc.fact import quantity
from areacalc.plant.layout import Layout
from areacalc.plant.rack import Rack, RackCheck, Rod
from areacalc.report.figures import shown, whole_quantity
from areacalc.report.words.places import Keys
from areacalc.report.words.telling import built, counted

_SIXTEENTH_MM = 25.4 / 16.0
_N_PER_KG = 9.80665  # a force as a spring scale tells it
_LEAST_V = 0.01  # chosen: a power supply's meter shows no less


def rack_words(rack: Layout) -> str:
    """How a load is laid out: its rows, tiers and columns, and the parts that lean."""
    grid = ", ".join((counted(rack.rows, "row"), counted(rack.tiers, "tier"), counted(rack.columns, "column")))
    leaned = [
        f"{part.name} leaned {counted(way.tilt_deg, 'degree')}"
        for part, way in zip(rack.parts, rack.ways, strict=True)
        if way.tilt_deg
    ]
    return "; ".join([grid, *leaned])


def rack_sentence(rack: Layout, inch: bool = False) -> str:
    """The layout with its size and the room between its parts."""
    long, wide, high = (laid(side, inch) for side in rack.size_mm)
    apart = f", parts {laid(rack.gaps.between_mm, inch)} apart" if len(rack.places) > 1 else ""
    return f"{rack_words(rack)}; {long} long, {high} high, {wide} across{apart}"


def contacts_words(rack: Rack | None) -> str:
    """How many contacts hold each part, where they are told: a drawing shows the rods alone."""
    return f"{rack.contacts} contacts on each part, not drawn" if rack is not None and (rack.contacts or 1) > 1 else ""


def laid(length_mm: float, inch: bool) -> str:
    """A length as a rack is laid out: in inches to a sixteenth."""
    return f"{built(round(length_mm / _SIXTEENTH_MM) / 16.0, inch)} in" if inch else shown(length_mm, "mm")


def wires_words(either: Sequence[RackCheck], inch: bool = False) -> str:
    """The wires that a layout hangs by, of one metal or another."""
    return " or ".join(
        f"{counted(each.fullest.number, 'wire')} of {each.rack.metal}, {_thick(each.fullest.diameter_mm, inch)} thick"
        if each.fullest.by_current_mm else f"several wires of {each.rack.metal} a part"
        for each in either
    )  # fmt: skip


def racks_told(own: RackCheck | None, wires: Sequence[RackCheck]) -> list[RackCheck]:
    """What a layout hangs by: the rack of a told kind, else wires on offer."""
    return list(wires) if own is None else [own] if own.rack.kind is not None else []


def wires_sentence(made: RackCheck, inch: bool = False) -> str:
    """A rack: its rods, how thick and why, weight and drop, and what one contact needs."""
    rack, (number, contact) = made.rack, made.several
    thin = next((rod for rod in rack.rods if rod.by_current_mm is None), None)
    if thin is not None and rack.wire_mm is None:
        much = three(thin.share * made.current_a)
        return f"No usual {thin.piece.value} of {rack.metal} carries {much} A: hang the parts by more wires."
    rods = "; ".join(_rod_words(rod, inch) for rod in rack.members)
    area = whole_quantity(quantity(rack.bare_mm2, "mm2"), inch)
    bare = f"; bare rods add {area} of wetted area" if rack.bare_mm2.high else ""
    drop, rise = made.drop.estimate.value, made.rise.estimate.value
    each = "One contact a part, for" if number == 1 else f"{number} contacts a part, each for"
    flat = ", on a clip or a flattened end" if contact.mark_mm > made.fullest.diameter_mm else ""
    memory = " (contacts from memory)" if rack.contact_ohm is None else ""
    return (
        f"{rods}; all of {rack.metal}, {shown(rack.mass_g, 'g', inch)}{bare}. The {made.fullest.piece.value} with most "
        f"current carries at most {three(made.fullest_a)} A and warms by {shown(rise, 'K', inch)} in air. The rack drops "
        f"{_drop(drop)}{memory}. {each} {three(contact.current_a)} A: "
        f"{shown(contact.mark_mm, 'mm', inch)} across (derived from bus bars){flat}, pressed with "
        f"{shown(contact.force_n / _N_PER_KG, 'kg', inch)} (from memory; no standard was found). A bare mark of "
        "that size stays."
    )


def _rod_words(rod: Rod, inch: bool) -> str:
    thick = _thick(rod.diameter_mm, inch)
    thinner = rod.by_current_mm is not None and rod.by_current_mm < rod.diameter_mm
    why = f" ({_thick(rod.by_current_mm or 0.0, inch)} would carry the current)" if thinner else ""
    deep = f", wet for up to {laid(rod.deep_mm, inch)}" if rod.deep_mm else ""
    return f"{counted(rod.number, rod.piece.value)}, {thick} thick{why}{deep}"


def volts_sentence(rack: RackCheck | None, wires: Sequence[RackCheck]) -> str:
    """Whether the volts of a plan count a rack: the one that is told, or none."""
    if rack is not None:
        return f"The planned volts include your rack, {_drop(rack.drop.estimate.value)}."
    most_v = max((each.drop.estimate.value for each in wires), default=0.0)
    return (
        f"The planned volts include no rack: these wires take up to {shown(most_v, 'V')} more. Give {Keys():rack.kind}."
    )


def _drop(volts_v: float) -> str:
    return shown(volts_v, "V") if volts_v >= _LEAST_V else f"less than {_LEAST_V} V"


def _thick(diameter_mm: float, inch: bool) -> str:
    """A thickness; one that is sold in mm as the nearest 64th of an inch."""
    if not inch:
        return shown(diameter_mm, "mm")
    nearest = round(diameter_mm / 25.4 * 64.0) / 64.0
    about = "" if abs(nearest * 25.4 - diameter_mm) < 1e-3 else "about "
    return f"{about}{built(nearest, inch)} in"
