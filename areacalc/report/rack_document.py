"""The JSON document of a rack: how many rows, tiers and columns, and every part in its place."""

from typing import TypedDict

from areacalc.plant.layout import Layout
from areacalc.plant.rack import RackCheck
from areacalc.plant.strands import RackKind, strands
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


class StrandDocument(TypedDict):
    """One rod between bar and parts: its corners along the tank, across it and under the liquid [mm]."""

    piece: str
    corners_mm: list[tuple[float, float, float]]


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
    strands: list[StrandDocument]


class RodDocument(TypedDict):
    """Rods of a rack that are alike; by_current_mm is None where no usual one carries the current."""

    piece: str
    number: int
    diameter_mm: float
    by_current_mm: float | None
    fullest_a: float
    wet_mm: float


class WiresDocument(TypedDict):
    """A rack of one metal: its rods from the bar to the part, and the contact of the part that takes most."""

    says: str
    kind: str
    metal: str
    rods: list[RodDocument]
    wet_mm2: float
    drop_v: float
    mass_g: float
    contact_a: float
    contact_mm2: float
    contact_force_n: float
    contact_mark_mm: float


def wires_document(made: RackCheck, inch: bool = False) -> WiresDocument:
    """A rack, sizes in mm."""
    rack, contact = made.rack, made.contact
    return {
        "says": wires_sentence(made, inch), "kind": (rack.kind or RackKind.WIRES).value, "metal": rack.metal,
        "rods": [{"piece": rod.piece.value, "number": rod.number, "diameter_mm": rod.diameter_mm,
                  "by_current_mm": rod.by_current_mm, "fullest_a": rod.share * made.current_a, "wet_mm": rod.deep_mm}
                 for rod in rack.members],
        "wet_mm2": rack.bare_mm2.value, "drop_v": made.drop.estimate.value, "mass_g": rack.mass_g,
        "contact_a": contact.current_a,
        "contact_mm2": contact.face_mm2, "contact_force_n": contact.force_n, "contact_mark_mm": contact.mark_mm,
    }  # fmt: skip


def strands_document(rack: Layout, kind: RackKind | None = None, freeboard_mm: float = 0.0) -> list[StrandDocument]:
    """The rods of a kind of rack, wires where none is told."""
    found = strands(rack, kind or RackKind.WIRES, freeboard_mm)
    return [{"piece": each.piece.value, "corners_mm": list(each.points)} for each in found]


def rack_document(
    rack: Layout, inch: bool = False, kind: RackKind | None = None, freeboard_mm: float = 0.0
) -> RackDocument:
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
             "column": p.column + 1, "at_mm": [p.x_mm, p.y_mm, p.z_mm], "size_mm": sizes[p.part]}
            for p in rack.places
        ],
        "strands": strands_document(rack, kind, freeboard_mm),
    }  # fmt: skip
