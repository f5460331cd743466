"""A rack made for a layout: its rods as thin as hand and current let them be, of what is sold."""

import math
from collections.abc import Sequence
from dataclasses import replace

from areacalc.plant.bus import bar_for
from areacalc.plant.layout import Layout
from areacalc.plant.metal import RACK_METALS, metal, resistance_ohm, rise_k, round_section_mm2
from areacalc.plant.rack import DROP, WARMTH, WIRE, Rack, Rod
from areacalc.plant.stock import METRIC, Sold
from areacalc.plant.strands import RackKind, RodKind, Strand, is_long, strands

WIRE_METALS = ("aluminium 6063", "titanium grade 2")
"""What wires are bent of, where a person has not told a metal."""


def made_rack(
    told: Rack, layout: Layout, shares: Sequence[float], current_a: float, freeboard_mm: float = 0.0,
    stock: Sold = METRIC,
) -> Rack:  # fmt: skip
    """A rack of the kind that is told; shares: of the current [A], in one part of each kind. A told wire is kept.

    >>> from areacalc.plant.hung import box_part
    >>> from areacalc.plant.layout import Room, lay_out
    >>> knobs = lay_out([box_part("knob", (25.0, 25.0, 25.0), 20)], Room(400.0, 300.0, 300.0, 13.0))
    >>> made = made_rack(Rack("titanium", kind=RackKind.SPLINE), knobs, [0.05], 14.6)
    >>> [(rod.number, rod.piece.value, rod.diameter_mm) for rod in made.rods]
    [(1, 'spline', 6.0), (8, 'arm', 2.0), (20, 'hook', 2.0)]
    """
    kind = told.kind or RackKind.WIRES
    found = strands(layout, kind, freeboard_mm)
    pieces = [each for each in RodKind if any(strand.piece is each for strand in found)]
    rods = tuple(_rod([s for s in found if s.piece is each], each, layout, shares, told) for each in pieces)
    long_mm = layout.room.length_mm
    bar_ohm = bar_for(current_a, long_mm).drop_v.value / current_a * 0.5 if math.isfinite(long_mm) else 0.0
    fullest = max(layout.places, key=lambda place: shares[place.part])
    two = 2 if kind is RackKind.WIRES and is_long(layout, fullest) else None
    made = replace(told, kind=kind, rods=rods, part_share=shares[fullest.part], bar_ohm=bar_ohm,
                   contacts=told.contacts or two)  # fmt: skip
    return _sized(made, current_a, stock)


def _rod(found: Sequence[Strand], piece: RodKind, layout: Layout, shares: Sequence[float], told: Rack) -> Rod:
    """The rods of one piece, not yet sized; those that dip into the liquid as long as is told."""
    lengths = [_lengths_mm(strand, told) for strand in found]
    drawn = [
        [(shares[layout.places[i].part] / (strand.legs * strand.held_by), at + dry + wet - strand.long_mm)
         for i, at in strand.loads]
        for strand, (dry, wet) in zip(found, lengths, strict=True)
    ]  # fmt: skip
    return Rod(
        piece, sum(s.legs for s in found), max(sum(share for share, _ in each) for each in drawn),
        max(sum(share * at for share, at in each) for each in drawn),
        sum(s.legs * dry for s, (dry, _) in zip(found, lengths, strict=True)),
        sum(s.legs * wet for s, (_, wet) in zip(found, lengths, strict=True)), max(wet for _, wet in lengths), 0.0,
    )  # fmt: skip


def _lengths_mm(strand: Strand, told: Rack) -> tuple[float, float]:
    """What of a rod is above and under the liquid: of one that dips in as it is told, else as it is drawn."""
    dry_mm, wet_mm = strand.long_mm - strand.wet_mm, strand.wet_mm
    if dry_mm <= 0.0:
        return dry_mm, wet_mm
    return told.dry_mm or dry_mm, wet_mm if told.wet_mm is None else told.wet_mm


def _sized(rack: Rack, current_a: float, stock: Sold) -> Rack:
    """Each rod as thick as its part of the drop and its warmth ask for; the thickest sold where none does."""
    sized = []
    for rod in rack.rods:
        long_mm = rod.moment_mm / rod.share
        by_current = wire_by_current(
            rod.share * current_a, rack.metal, long_mm, stock, DROP.limit.value / len(rack.rods)
        )
        held_mm = max(by_current or stock.wires_mm[-1], WIRE.limit.value)  # no thinner than a hand bends
        thick = next(each for each in stock.wires_mm if each >= held_mm)
        sized.append(replace(rod, diameter_mm=rack.wire_mm or thick, by_current_mm=by_current))
    return replace(rack, rods=tuple(sized))


def wire_by_current(
    current_a: float, metal_name: str, length_mm: float, stock: Sold = METRIC, most_v: float = DROP.limit.value
) -> float | None:
    """The thinnest wire that is sold [mm] that stays cool and drops little at a current [A], whatever the hand wants.

    >>> wire_by_current(3.0, "aluminium", 250.0), wire_by_current(9.0, "titanium", 250.0)
    (1.0, 4.0)
    """
    made = metal(metal_name, RACK_METALS, "rack")
    for diameter in stock.wires_mm:
        section = round_section_mm2(diameter)
        warm = rise_k(made, current_a, section, math.pi * diameter)
        if resistance_ohm(made, length_mm, section).value * current_a <= most_v and WARMTH.judge(warm.value).kept:
            return diameter
    return None
