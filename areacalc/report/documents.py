"""The JSON documents of area, current and cathode. Their types are the one source of the schemas beside this file."""

import functools
import json
from collections.abc import Mapping, Sequence
from importlib.resources import files
from typing import Any, Literal, NotRequired, TypedDict, cast

from areacalc.bath.window import Current, a_per_ft2, ma_per_in2
from areacalc.estimate import Estimate, total
from areacalc.part.part import Part
from areacalc.plant.cathode import Cathode
from areacalc.report.words.notes import note_words
from areacalc.shape.kinds import Note
from areacalc.surface.air.hanging import Hanging
from areacalc.surface.air.narrow_mouths import Facing, FillVerdict
from areacalc.surface.air.trapped_air import Pocket
from areacalc.surface.sides import mouth_names
from areacalc.surface.skin import Feature, State
from areacalc.surface.wetted import Row, WettedArea


class Interval(TypedDict):
    """A value with the least and the most it can be."""

    value: float
    low: float
    high: float


class NoteDocument(TypedDict):
    """What was odd or chosen; `warns` where it may make a figure wrong."""

    code: str
    text: str
    warns: bool


class UnitDocument(TypedDict):
    """The unit of a file's numbers, and how it was decided."""

    name: str
    how: str


class StepDocument(TypedDict):
    """One length of a bore; at_mm: how far below its first mouth it begins; open_mm2: what is missing of a whole round
    of its sizes, where cross-bores, keyways or slits open it."""

    name: str
    kind: str
    diameter_mm: float | None
    depth_mm: float | None
    at_mm: float
    area_mm2: float
    open_mm2: float


class FeatureDocument(TypedDict):
    """A feature of a part, or a piece of one, with its state and its area. Keys that are not known are left out."""

    name: str
    kind: str
    area_mm2: float
    area_low_mm2: float
    area_high_mm2: float
    state: str
    diameter_mm: NotRequired[float]
    depth_mm: NotRequired[float]
    depth_over_diameter: NotRequired[float]
    width_mm: NotRequired[float]
    length_mm: NotRequired[float]
    axis: NotRequired[list[float]]
    mouths_mm: list[list[float]]
    mouth_names: list[str]
    opens: list[list[float]]
    steps: list[StepDocument]
    wall_mm2: NotRequired[float]
    floor_mm2: NotRequired[float]
    shoulder_mm2: NotRequired[float]
    note: NotRequired[str]


class PocketDocument(TypedDict):
    """A pocket of trapped air, or a cup of liquid; depth_mm is from its top to where it spills."""

    area_mm2: float
    volume_mm3: float
    depth_mm: float
    escapes_at: list[float]
    top_mm: list[float]
    vent_width_mm: NotRequired[float]


class NarrowDocument(TypedDict):
    """Narrow bores, or a chamber behind them: whether liquid takes the place of their air, and what helps."""

    features: list[str]
    diameter_mm: float
    depth_mm: float | None
    mouths: int
    facing: Literal["mouth up", "mouth level", "mouth down"] | None
    chamber: bool
    fills: Literal["fills by itself", "in doubt", "holds air", "filled by hand"]
    counts_as_bare: bool
    area_mm2: float
    helps: list[Literal["syringe", "second hole", "tilt", "move", "mouth up"]]


class HangingDocument(TypedDict):
    """How a part hangs: the air it traps, pocket by pocket, and the liquid it carries out."""

    up: list[float]
    airlocked_area_mm2: Interval
    above_line_area_mm2: Interval
    trapped_air_mm3: Interval
    carried_out_mm3: float
    pockets: list[PocketDocument]
    cups: list[PocketDocument]
    narrow: list[NarrowDocument]


class PartDocument(TypedDict):
    """One kind of part with its features. The last eight keys are there where it is known how the part hangs."""

    name: str
    source: str
    count: int
    unit: UnitDocument
    size_mm: list[float]
    triangles: int
    bodies: int
    closed: bool
    total_area_mm2: float
    facet_area_mm2: float
    wetted_area_mm2: Interval
    features: list[FeatureDocument]
    notes: list[NoteDocument]
    up: NotRequired[list[float]]
    airlocked_area_mm2: NotRequired[Interval]
    above_line_area_mm2: NotRequired[Interval]
    trapped_air_mm3: NotRequired[Interval]
    carried_out_mm3: NotRequired[float]
    pockets: NotRequired[list[PocketDocument]]
    cups: NotRequired[list[PocketDocument]]
    narrow: NotRequired[list[NarrowDocument]]


class AreaDocument(TypedDict):
    """The parts, each with its features, and the wetted area over all."""

    schema: Literal["areacalc/area/1"]
    parts: list[PartDocument]
    wetted_area_mm2: Interval


class CurrentRange(TypedDict):
    """The least and the most current [A] and the one to set."""

    low: float
    high: float
    set: float


class Ends(TypedDict):
    """The ends of a range."""

    low: float
    high: float


class DensityDocument(TypedDict):
    """The density window that a current comes from."""

    window: str
    least_a_per_dm2: float
    most_a_per_dm2: float
    set_a_per_dm2: float
    set_a_per_ft2: float
    set_ma_per_in2: float
    source: str


class CurrentDocument(TypedDict):
    """The current for an area. inside_window_a is None where no current is sure to lie in the window."""

    schema: Literal["areacalc/current/1"]
    wetted_area_mm2: Interval
    current_a: CurrentRange
    inside_window_a: Ends | None
    density: DensityDocument


class RatioDocument(TypedDict):
    """Cathode area over part area, and whose rule it is."""

    name: str
    cathode_per_area: float
    source: str


class StripsDocument(TypedDict):
    """Equal cathodes in two rows."""

    count: int
    per_side: int
    width_mm: float
    immersed_mm: float


class CathodeDocument(TypedDict):
    """The cathode area facing the part, and the strips where a size was given."""

    schema: Literal["areacalc/cathode/1"]
    wetted_area_mm2: Interval
    cathode_area_mm2: Interval
    ratio: RatioDocument
    counted: str
    strips: StripsDocument | None


@functools.cache
def json_schema(name: str) -> Mapping[str, Any]:
    """The published JSON Schema of a document: area, current, cathode ..."""
    text = (files("areacalc.report") / "schemas" / f"{name}.json").read_text("utf-8")
    return cast(Mapping[str, Any], json.loads(text))


def interval(estimate: Estimate) -> Interval:
    """An estimate as JSON."""
    return {"value": estimate.value, "low": estimate.low, "high": estimate.high}


def area_document(parts: Sequence[Part], wetted: Sequence[WettedArea], numbers: Sequence[int]) -> AreaDocument:
    """The parts, each with its features, and the wetted area over all, `numbers` of each part."""
    over_all = total(w.value.scaled(n) for w, n in zip(wetted, numbers, strict=True))
    return {
        "schema": "areacalc/area/1",
        "parts": [part_document(p, w, n) for p, w, n in zip(parts, wetted, numbers, strict=True)],
        "wetted_area_mm2": interval(over_all),
    }


def current_document(area_mm2: Estimate, current: Current) -> CurrentDocument:
    """The current for an area: least, most and the setting, and the density window they come from."""
    window = current.window
    inside: Ends = {"low": current.sure_low_a, "high": current.sure_high_a}
    return {
        "schema": "areacalc/current/1",
        "wetted_area_mm2": interval(area_mm2),
        "current_a": {"low": current.low_a, "high": current.high_a, "set": current.set_a},
        "inside_window_a": inside if inside["low"] <= inside["high"] else None,
        "density": {
            "window": window.name, "least_a_per_dm2": window.least_a_per_dm2, "most_a_per_dm2": window.most_a_per_dm2,
            "set_a_per_dm2": current.density_a_per_dm2, "set_a_per_ft2": a_per_ft2(current.density_a_per_dm2),
            "set_ma_per_in2": ma_per_in2(current.density_a_per_dm2), "source": str(window.source),
        },
    }  # fmt: skip


def cathode_document(area_mm2: Estimate, cathode: Cathode) -> CathodeDocument:
    """The cathode face for an area, and the strips where a size was given."""
    strips, ratio = cathode.strips, cathode.ratio
    return {
        "schema": "areacalc/cathode/1",
        "wetted_area_mm2": interval(area_mm2),
        "cathode_area_mm2": interval(cathode.area_mm2),
        "ratio": {"name": ratio.name, "cathode_per_area": ratio.cathode_per_area, "source": str(ratio.source)},
        "counted": cathode.counted,
        "strips": None if strips is None else {
            "count": strips.count, "per_side": strips.per_side, "width_mm": strips.width_mm,
            "immersed_mm": strips.immersed_mm,
        },
    }  # fmt: skip


def part_document(part: Part, wetted: WettedArea, count: int) -> PartDocument:
    """One kind of part, and how it hangs where that is known."""
    body = part.body
    document: PartDocument = {
        "name": part.name, "source": body.source, "count": count,
        "unit": {"name": body.unit.name, "how": body.unit.how.value},
        "size_mm": list(body.size_mm), "triangles": len(body.triangles), "bodies": body.bodies, "closed": body.closed,
        "total_area_mm2": total(f.area_mm2 for f in part.skin.features).value,
        "facet_area_mm2": body.facet_area_mm2, "wetted_area_mm2": interval(wetted.value),
        "features": [_row(row) for row in wetted.rows], "notes": note_documents(wetted.notes),
    }  # fmt: skip
    if part.hanging is None:
        return document
    return cast(PartDocument, {**document, **hanging_document(part.hanging, wetted)})


def note_documents(notes: Sequence[Note], inch: bool = False) -> list[NoteDocument]:
    """Notes as JSON; with `inch` in US units."""
    return [{"code": n.code, "text": note_words(n.fact, inch), "warns": n.warns} for n in notes]


def hanging_document(hung: Hanging, wetted: WettedArea) -> HangingDocument:
    """How a part hangs: the air it traps, pocket by pocket, and the liquid it carries out."""
    return {
        "up": list(hung.up),
        "airlocked_area_mm2": interval(wetted.area_in(State.AIRLOCKED)),
        "above_line_area_mm2": interval(wetted.area_in(State.ABOVE_LINE)),
        "trapped_air_mm3": interval(hung.trapped_air_mm3),
        "carried_out_mm3": hung.liquid.volume_mm3,
        "pockets": [_pocket(p, width) for p, width in zip(hung.air.pockets, hung.vent_widths_mm, strict=True)],
        "cups": [_pocket(p, None) for p in hung.liquid.pockets],
        "narrow": [_narrow(verdict) for verdict in hung.narrow],
    }


def _narrow(found: FillVerdict) -> NarrowDocument:
    room = found.room
    return cast(NarrowDocument, {
        "features": list(room.features), "diameter_mm": room.diameter_mm,
        "depth_mm": room.depth_mm if len(room.mouths) == 1 else None, "mouths": len(room.mouths),
        "facing": None if found.facing is None else found.facing.value, "chamber": room.chamber,
        "fills": found.fill.value, "area_mm2": room.area_mm2,
        "counts_as_bare": found.stays or found.facing is Facing.DOWN,
        "helps": [each.value for each in found.helps],
    })  # fmt: skip


def _pocket(pocket: Pocket, width_mm: float | None) -> PocketDocument:
    document: PocketDocument = {
        "area_mm2": pocket.area_mm2, "volume_mm3": pocket.volume_mm3, "depth_mm": pocket.depth_mm,
        "escapes_at": list(pocket.escapes_at), "top_mm": list(pocket.top),
    }  # fmt: skip
    return document if width_mm is None else {**document, "vent_width_mm": width_mm}


def _row(row: Row) -> FeatureDocument:
    feature: Feature = row.feature
    document = {
        "name": feature.name, "kind": feature.kind.value, "area_mm2": row.area_mm2.value,
        "area_low_mm2": row.area_mm2.low, "area_high_mm2": row.area_mm2.high, "state": row.state.value,
        "diameter_mm": feature.diameter_mm, "depth_mm": feature.depth_mm,
        "depth_over_diameter": depth_over_diameter(feature), "axis": list(feature.axis) if feature.axis else None,
        "width_mm": feature.width_mm, "length_mm": feature.length_mm,
        "mouths_mm": [list(mouth) for mouth in feature.mouths],
        "mouth_names": [f"{feature.name} {name}" for name in mouth_names(feature)],
        "opens": [list(way) for way in feature.opens],
        "steps": [
            {"name": f"{feature.name} step {number}", "kind": s.kind, "diameter_mm": s.diameter_mm,
             "depth_mm": s.depth_mm, "at_mm": s.at_mm, "area_mm2": s.area_mm2.value, "open_mm2": s.open_mm2}
            for number, s in enumerate(feature.steps, 1)
        ],
        "wall_mm2": feature.wall_mm2, "floor_mm2": feature.floor_mm2, "shoulder_mm2": feature.shoulder_mm2,
        "note": row.note or feature.note,
    }  # fmt: skip
    return cast(FeatureDocument, {key: value for key, value in document.items() if value is not None and value != ""})


def depth_over_diameter(feature: Feature) -> float | None:
    """How many diameters deep a bore is."""
    if not feature.diameter_mm or feature.depth_mm is None or feature.width_mm is not None:
        return None
    return feature.depth_mm / feature.diameter_mm
