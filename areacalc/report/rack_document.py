"""The JSON document of a rack: how many rows, tiers and columns, and every part in its place."""

from __future__ import annotations

from typing import TypedDict

from areacalc.plant.layout import Layout
from areacalc.plant.wires import Wires
from areacalc.report.words.rack import rack_sentence, wires_sentence


class PlaceDocument(TypedDict):
    """One part in its place: its kind, row, tier and column from 1; the near corner of its box and its sides."""

    part: str
    kind: int
    row: int
    tier: int
    column: int
    at_mm: list[float]
    size_mm: list[float]


class HungDocument(TypedDict):
    """How one kind of part hangs: along the tank, across it and high, how far it leans, whether out of the liquid.

    up: which way of the part points up.
    """

    part: str
    count: int
    size_mm: list[float]
    tilt_deg: float
    stands_out: bool
    up: tuple[float, float, float]


class RackDocument(TypedDict):
    """A load laid out: x runs along the tank, y across it, z down from the liquid's surface."""

    says: str
    rows: int
    tiers: int
    columns: int
    size_mm: list[float]
    spacing_mm: float
    hung: list[HungDocument]
    places: list[PlaceDocument]


class WiresDocument(TypedDict):
    """The wires of a rack, of one metal; diameter_mm and by_current_mm are None where no usual wire will do."""

    says: str
    metal: str
    number: int
    diameter_mm: float | None
    by_current_mm: float | None
    fullest_a: float
    wet_mm: float
    wet_mm2: float
    mass_g: float
    contact_a: float
    contact_mm2: float
    contact_force_n: float
    contact_mark_mm: float


def wires_document(wires: Wires, inch: bool = False) -> WiresDocument:
    """The wires of a rack, sizes in mm."""
    contact = wires.contact
    return {
        "says": wires_sentence(wires, inch), "metal": wires.metal, "number": wires.number,
        "diameter_mm": wires.diameter_mm, "by_current_mm": wires.by_current_mm, "fullest_a": wires.fullest_a,
        "wet_mm": wires.wet_mm, "wet_mm2": wires.wet_mm2, "mass_g": wires.mass_g, "contact_a": contact.current_a,
        "contact_mm2": contact.face_mm2, "contact_force_n": contact.force_n, "contact_mark_mm": contact.mark_mm,
    }  # fmt: skip


def rack_document(rack: Layout, inch: bool = False) -> RackDocument:
    """A load laid out, sizes in mm; `inch`: what it says is in US units."""
    sizes = [[way.along_mm, way.across_mm, way.high_mm] for way in rack.ways]
    return {
        "says": rack_sentence(rack, inch),
        "rows": rack.rows, "tiers": rack.tiers, "columns": rack.columns, "size_mm": list(rack.size_mm),
        "spacing_mm": rack.gaps.between_mm,
        "hung": [
            {"part": part.name, "count": part.count, "size_mm": size, "tilt_deg": way.tilt_deg,
             "stands_out": part.stands_out, "up": way.axes[2]}
            for part, way, size in zip(rack.parts, rack.ways, sizes, strict=True)
        ],
        "places": [
            {"part": rack.parts[p.part].name, "kind": p.part + 1, "row": p.row + 1, "tier": p.tier + 1,
             "column": p.column + 1,             "at_mm": [p.x_mm, p.y_mm, p.z_mm], "size_mm": sizes[p.part]}
            for p in rack.places
        ],
    }  # fmt: skip
