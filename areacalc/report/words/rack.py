"""Words for a rack: its rows, tiers and columns, what is between them, and what hangs leaned."""

from __future__ import annotations

from collections.abc import Sequence

from areacalc.digits import three
from areacalc.plant.layout import Layout
from areacalc.plant.wires import Wires
from areacalc.report.figures import shown
from areacalc.report.words.telling import counted


def rack_words(rack: Layout) -> str:
    """How a load is laid out: its rows, tiers and columns, and the parts that lean."""
    grid = ", ".join((counted(rack.rows, "row"), counted(rack.tiers, "tier"), counted(rack.columns, "column")))
    leaned = [
        f"{part.name} leaned {way.tilt_deg:g} degrees"
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
        f"{counted(each.number, 'wire')} of {each.metal}, {shown(each.diameter_mm, 'mm', inch)} thick"
        if each.diameter_mm else f"several wires of {each.metal} a part"
        for each in either
    )  # fmt: skip


def wires_sentence(wires: Wires, inch: bool = False) -> str:
    """The wires of a layout: number, thickness and why, weight, and what one contact needs."""
    if wires.diameter_mm is None:
        return f"No usual wire of {wires.metal} carries {three(wires.fullest_a)} A: hang the parts by more wires."
    thick = shown(wires.diameter_mm, "mm", inch)
    why = f"the hand wants it, {shown(wires.by_current_mm or 0.0, 'mm', inch)} would carry the current"
    by = why if wires.for_the_hand else "the current wants it"
    bare = f"; bare, they add {shown(wires.wet_mm2, 'mm2', inch)} of wetted area" if wires.wet_mm2 else ""
    drop = f", drops {shown(wires.check.drop.estimate.value, 'V')}" if wires.check else ""
    contact = wires.contact
    face = f"{three(contact.face_mm2 / 645.16)} in2" if inch else f"{three(contact.face_mm2)} mm2"
    return (
        f"{counted(wires.number, 'wire')} of {wires.metal}, {thick} thick ({by}), up to {shown(wires.wet_mm, 'mm', inch)} "
        f"in the liquid, {shown(wires.mass_g, 'g', inch)} in all{bare}. The fullest carries {three(wires.fullest_a)} A"
        f"{drop}. A contact of {three(contact.current_a)} A needs {face} pressed with {shown(contact.force_n, 'N', inch)} (derived "
        f"from bus bars; no standard was found); a round one leaves a bare mark of {shown(contact.mark_mm, 'mm', inch)}."
    )
