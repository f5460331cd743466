"""Words for a rack: its rows, tiers and columns, what is between them, and what hangs leaned."""

from __future__ import annotations

from areacalc.plant.layout import Layout
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
