"""The JSON documents of area, current and cathode: plain dictionaries that the schemas beside this file describe."""

from __future__ import annotations

import functools
import json
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

from areacalc.bath.current import Current
from areacalc.estimate import Estimate, total
from areacalc.part.part import Part
from areacalc.plant.cathode import Cathode
from areacalc.surface.air.hanging import Hanging
from areacalc.surface.air.trapped_air import Pocket
from areacalc.surface.skin import Feature, State
from areacalc.surface.wetted import Row, WettedArea

Document = dict[str, Any]
VERSION = 1


def schema_id(name: str) -> str:
    """The value of a document's `schema` key.

    >>> schema_id("area")
    'areacalc/area/1'
    """
    return f"areacalc/{name}/{VERSION}"


@functools.cache
def json_schema(name: str) -> Document:
    """The published JSON Schema of a document: area, current, cathode ..."""
    text = (files("areacalc.report") / "schemas" / f"{name}.json").read_text("utf-8")
    schema: Document = json.loads(text)
    return schema


def interval(estimate: Estimate) -> Document:
    """An estimate as JSON."""
    return {"value": estimate.value, "low": estimate.low, "high": estimate.high}


def area_document(parts: Sequence[Part], wetted: Sequence[WettedArea], numbers: Sequence[int]) -> Document:
    """The parts, each with its features, and the wetted area over all, `numbers` of each part."""
    over_all = total(w.value.scaled(n) for w, n in zip(wetted, numbers, strict=True))
    return {
        "schema": schema_id("area"),
        "parts": [_part(p, w, n) for p, w, n in zip(parts, wetted, numbers, strict=True)],
        "wetted_area_mm2": interval(over_all),
    }


def current_document(area_mm2: Estimate, current: Current) -> Document:
    """The current for an area: least, most and the setting, and the density window they come from."""
    window = current.window
    return {
        "schema": schema_id("current"),
        "wetted_area_mm2": interval(area_mm2),
        "current_a": {"low": current.low_a, "high": current.high_a, "set": current.set_a},
        "inside_window_a": {"low": current.sure_low_a, "high": current.sure_high_a} if current.is_sure else None,
        "density": {
            "window": window.name,
            "least_a_per_dm2": window.least_a_per_dm2,
            "most_a_per_dm2": window.most_a_per_dm2,
            "set_a_per_dm2": current.density_a_per_dm2,
            "set_a_per_ft2": current.density_a_per_ft2,
            "set_ma_per_in2": current.density_ma_per_in2,
            "source": str(window.source),
        },
    }


def cathode_document(area_mm2: Estimate, cathode: Cathode) -> Document:
    """The cathode face for an area, and the strips where a size was given."""
    strips = cathode.strips
    return {
        "schema": schema_id("cathode"),
        "wetted_area_mm2": interval(area_mm2),
        "cathode_area_mm2": interval(cathode.area_mm2),
        "ratio": {
            "name": cathode.ratio.name,
            "cathode_per_area": cathode.ratio.cathode_per_area,
            "source": str(cathode.ratio.source),
        },
        "counted": cathode.counted,
        "strips": None
        if strips is None
        else {
            "count": strips.count,
            "per_side": strips.per_side,
            "width_mm": strips.width_mm,
            "immersed_mm": strips.immersed_mm,
        },
    }


def _part(part: Part, wetted: WettedArea, count: int) -> Document:
    body = part.body
    return {
        "name": part.name,
        "source": body.source,
        "count": count,
        "unit": {"name": body.unit.name, "how": body.unit.how.value},
        "size_mm": list(body.size_mm),
        "triangles": len(body.triangles),
        "bodies": body.bodies,
        "closed": body.closed,
        "total_area_mm2": total(f.area_mm2 for f in part.skin.features).value,
        "facet_area_mm2": body.facet_area_mm2,
        "wetted_area_mm2": interval(wetted.value),
        "features": [_row(row) for row in wetted.rows],
        "notes": [{"code": n.code, "text": n.text, "warns": n.warns} for n in wetted.notes],
    } | ({} if part.hanging is None else hanging_document(part.hanging, wetted))


def hanging_document(hung: Hanging, wetted: WettedArea) -> Document:
    """How a part hangs: the air it traps, pocket by pocket, and the liquid it carries out."""
    return {
        "up": list(hung.up),
        "airlocked_area_mm2": interval(wetted.area_in(State.AIRLOCKED)),
        "above_line_area_mm2": interval(wetted.area_in(State.ABOVE_LINE)),
        "trapped_air_mm3": interval(hung.trapped_air_mm3),
        "carried_out_mm3": hung.liquid.volume_mm3,
        "pockets": [_pocket(p, width) for p, width in zip(hung.air.pockets, hung.vent_widths_mm, strict=True)],
        "cups": [_pocket(p, None) for p in hung.liquid.pockets],
    }


def _pocket(pocket: Pocket, width_mm: float | None) -> Document:
    document: Document = {
        "area_mm2": pocket.area_mm2,
        "volume_mm3": pocket.volume_mm3,
        "depth_mm": pocket.depth_mm,
        "escapes_at": list(pocket.escapes_at),
        "top_mm": list(pocket.top),
        "vent_width_mm": width_mm,
    }
    return {key: value for key, value in document.items() if value is not None}


def _row(row: Row) -> Document:
    feature: Feature = row.feature
    document: Document = {
        "name": feature.name,
        "kind": feature.kind.value,
        "area_mm2": row.area_mm2.value,
        "area_low_mm2": row.area_mm2.low,
        "area_high_mm2": row.area_mm2.high,
        "state": row.state.value,
        "diameter_mm": feature.diameter_mm,
        "depth_mm": feature.depth_mm,
        "depth_over_diameter": depth_over_diameter(feature),
        "axis": list(feature.axis) if feature.axis else None,
        "mouths_mm": [list(mouth) for mouth in feature.mouths],
        "steps": [
            {"kind": s.kind, "diameter_mm": s.diameter_mm, "depth_mm": s.depth_mm, "area_mm2": s.area_mm2.value}
            for s in feature.steps
        ],
        "wall_mm2": feature.wall_mm2,
        "floor_mm2": feature.floor_mm2,
        "shoulder_mm2": feature.shoulder_mm2,
        "note": row.note or feature.note,
    }
    return {key: value for key, value in document.items() if value is not None and value != ""}


def depth_over_diameter(feature: Feature) -> float | None:
    """How many diameters deep a bore is."""
    if not feature.diameter_mm or feature.depth_mm is None:
        return None
    return feature.depth_mm / feature.diameter_mm
