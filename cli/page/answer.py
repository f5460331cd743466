"""The answer that is always in sight: area, current, cathode, the worst warning, and how each figure was worked out."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from areacalc.bath.window import current_a, window
from areacalc.errors import AreacalcError
from areacalc.estimate import Estimate, total
from areacalc.figure import MEASURED, Figure, given, worked
from areacalc.plant.cathode import cathode_for
from areacalc.report.explain import rows_of
from areacalc.report.figure_document import figure_document
from areacalc.sources import Kind, Source

from .answered import Answer, FirstLook, Line, PageFigure, Warned
from .bench import Bench, BenchPart

Document = dict[str, Any]
_BARE_MM2 = 0.5  # less is told as none
_SKIN = Source(Kind.DERIVED, "the features of the part that are wet, added up")
_LOOK = Source(Kind.DERIVED, "a first look: every flat as drawn, all wet; bores, voids and bounds still to be found")
_FLATS = "its flats as drawn, all of them wet; its bores and bounds are coming."
_COUNT = Source(Kind.DERIVED, "number of parts times the area of one")
_SUM = Source(Kind.DERIVED, "the areas of all parts added up, their bounds as well, since one cause may widen them all")


@dataclass(frozen=True, slots=True)
class Found:
    """What is known of a part: its part of the area document or the error in its place, and its stored picture."""

    result: Document | None = None
    refused: Line | None = None
    view: str | None = None


def answer(bench: Bench, found: Mapping[str, Found], looks: Mapping[str, FirstLook]) -> Answer:
    """The figures for what lies on the bench; `missing` says what is still wanted, `without` what is not counted.

    looks: for a part whose features are still being found, its flats as drawn added up; `first_look` names those parts.
    """
    results = {p.id: found[p.id].result for p in bench.parts if p.id in found}
    bad = [p.name for p in bench.parts if p.id in found and found[p.id].refused is not None]
    known = [p for p in bench.parts if p.name not in bad and (results.get(p.id) is not None or p.id in looks)]
    open_ = [p.name for p in bench.parts if p not in known and p.name not in bad]
    first = [p.name for p in known if results.get(p.id) is None]
    told: Answer = {"figures": {}, "warnings": [], "missing": "", "first_look": first, "without": bad, "updating": []}
    if not bench.parts:
        return told | {"missing": "Nothing hangs on the rack yet."}
    if open_:
        return told | {"missing": f"No area yet for {', '.join(open_)}."}
    if not known:
        return told | {"missing": f"No current yet: {', '.join(bad)} cannot be used. Mend it, or take it off the rack."}
    if odd := [p.name for p in known if (result := results.get(p.id)) and result["too_large"]]:
        return told | {"missing": f"No current yet: the unit of {', '.join(odd)} is in doubt. Say which is right."}
    area = _area([(p, _of_one(p.name, results.get(p.id), looks.get(p.id))) for p in known])
    shown = bench.settings.show
    inch = shown == "in"
    warnings = _warnings([(p.name, result) for p in known if (result := results.get(p.id)) is not None], shown)
    if first:
        text = (
            f"A first look at {', '.join(first)}: its flats as drawn, all of them wet; its bores and bounds are coming."
        )
        warnings.insert(0, {"weight": "note", "text": text, "code": "first-look"})
    try:
        figures, more = _figures(area, bench.settings.density, inch)
    except AreacalcError as refusal:
        warnings.insert(0, {"weight": "harms", "text": str(refusal), "code": ""})
        return told | {"figures": {"area": _figure(area, inch)}, "warnings": warnings}
    return told | {"figures": figures, "warnings": [*more, *warnings]}


def _figures(area: Figure, density: str, inch: bool) -> tuple[dict[str, PageFigure], list[Warned]]:
    current = current_a(area, window(density))
    more: list[Warned] = []
    if not current.is_sure:
        text = "The area is not known well enough for any one current to be right for certain: see its bounds."
        more.append({"weight": "harms", "text": text, "code": "area-unsure"})
    figures = {"current": current.figure, "area": area, "cathode": cathode_for(area).figure}
    return {name: _figure(figure, inch) for name, figure in figures.items()}, more


def _area(parts: list[tuple[BenchPart, Figure]]) -> Figure:
    if len(parts) == 1 and parts[0][0].count == 1:
        return parts[0][1]
    times = [
        worked(f"area of {p.count} x {p.name}", "mm2", "count x area", _COUNT, lambda n, a: n * a,
               given(f"count of {p.name}", float(p.count), ""), one)
        for p, one in parts
    ]  # fmt: skip
    return Figure("wetted area", total(t.estimate for t in times), "mm2", "sum over the parts", _SUM, tuple(times))


def _of_one(part: str, result: Document | None, look: FirstLook | None) -> Figure:
    name = f"wetted area of {part}"
    if result is None:
        assert look is not None
        return Figure(name, Estimate.exact(look["area_mm2"]), "mm2", "sum over the triangles", _LOOK)
    rows = [r for r in result["features"] if r["state"] == "wet"]
    inputs = tuple(
        given(r["name"], Estimate(r["area_mm2"], r["area_low_mm2"], r["area_high_mm2"]), "mm2", MEASURED) for r in rows
    )
    found = result["wetted_area_mm2"]
    value = Estimate(found["value"], found["low"], found["high"], tuple(result["because"]))
    return Figure(name, value, "mm2", "sum over the wet features", _SKIN, inputs)


def _warnings(results: list[tuple[str, Document]], show: str) -> list[Warned]:
    """What the parts' notes warn of, first; then what was chosen for the person."""
    found: list[Warned] = []
    for part, result in results:
        if (dry := result.get("airlocked_area_mm2")) and dry["high"] >= _BARE_MM2:
            text = f"{part}: trapped air keeps {_cm2(dry)} of it bare as it hangs; hang it another way, or plug it"
            found.append({"weight": "harms", "text": text, "code": "trapped-air"})
        for said in result["long_bores"]:
            found.append({"weight": "note", "text": said[show], "code": "long-bore"})
        for note in result["notes"]:
            text = f"{part}: {note.get('us', note['text']) if show == 'in' else note['text']}"
            found.append({"weight": "harms" if note["warns"] else "note", "text": text, "code": note["code"]})
    return sorted(found, key=lambda w: w["weight"] != "harms")


def _cm2(area: Mapping[str, float]) -> str:
    least, most = area["low"] / 100, area["high"] / 100
    return f"{most:.3g} cm2" if most - least < 0.005 * most else f"{least:.3g} to {most:.3g} cm2"


def _figure(figure: Figure, inch: bool) -> PageFigure:
    return {**figure_document(figure), "chain": rows_of(figure, inch)}
