"""Words for a rack: its rows, tiers and columns, what is between them, and what hangs leaned."""

from __future__ import annotations

from collections.abc import Sequence

from areacalc.digits import three
from areacalc.plant.layout import Layout
from areacalc.plant.rack import RackCheck
from areacalc.plant.stock import INCHES, METRIC
from areacalc.plant.wires import Wires, in_stock
from areacalc.report.figures import shown
from areacalc.report.words.telling import built, counted


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
    long, wide, high = (shown(side, "mm", inch) for side in rack.size_mm)
    apart = f", {shown(rack.gaps.between_mm, 'mm', inch)} between parts" if len(rack.places) > 1 else ""
    return f"{rack_words(rack)}; {long} long, {high} high, {wide} across{apart}"


def wires_words(either: Sequence[Wires], inch: bool = False) -> str:
    """The wires that a layout hangs by, of one metal or another."""
    return " or ".join(
        f"{counted(each.number, 'wire')} of {each.metal}, {_thick(each.diameter_mm, inch)} thick"
        if each.diameter_mm else f"several wires of {each.metal} a part"
        for each in either
    )  # fmt: skip


def sold_here(wires: Wires, inch: bool) -> Wires:
    """The wires in sizes that are sold where US units are used, or where they are not."""
    return in_stock(wires, INCHES if inch else METRIC)


def wires_sentence(wires: Wires, inch: bool = False) -> str:
    """The wires of a layout: number, thickness and why, weight, and what one contact needs."""
    if wires.diameter_mm is None or wires.check is None:
        return f"No usual wire of {wires.metal} carries {three(wires.fullest_a)} A: hang the parts by more wires."
    thick, thinnest = (_thick(each, inch) for each in (wires.diameter_mm, wires.by_current_mm or 0.0))
    why = f"for handling; {thinnest} would carry the current" if wires.for_the_hand else "for the current"
    bare = f"; bare wires add {shown(wires.wet_mm2, 'mm2', inch)} of wetted area" if wires.wet_mm2 else ""
    drop, rise = wires.check.drop.estimate.value, wires.check.rise.estimate.value
    contact = wires.contact
    face = f"{three(contact.face_mm2 / 645.16)} in2" if inch else f"{three(contact.face_mm2)} mm2"
    return (
        f"{counted(wires.number, 'wire')} of {wires.metal}, {thick} thick ({why}), up to "
        f"{shown(wires.wet_mm, 'mm', inch)} in the liquid, {shown(wires.mass_g, 'g', inch)} in all{bare}. The wire "
        f"with most current carries {three(wires.fullest_a)} A, drops {shown(drop, 'V')} and warms by "
        f"{shown(rise, 'K', inch)} in air. A contact for {three(contact.current_a)} A needs {face} pressed with "
        f"{shown(contact.force_n, 'N', inch)} (derived from bus bars; no standard was found). A round contact leaves a "
        f"bare mark {shown(contact.mark_mm, 'mm', inch)} across."
    )


def volts_sentence(rack: RackCheck | None, wires: Sequence[Wires]) -> str:
    """Whether the volts of a plan count a rack: the one that is told, or none."""
    if rack is not None:
        return f"The planned volts include your rack, {shown(rack.drop.estimate.value, 'V')}, not these wires."
    most_v = max((each.check.drop.estimate.value for each in wires if each.check), default=0.0)
    return f"The planned volts include no rack: these wires take up to {shown(most_v, 'V')} more. Give [rack] to include yours."


def _thick(diameter_mm: float, inch: bool) -> str:
    return f"{built(diameter_mm / 25.4, inch)} in" if inch else shown(diameter_mm, "mm")
