"""The JSON document of `hang`: the ways to hang a part, the best first, and the best in full."""

from __future__ import annotations

from collections.abc import Sequence

from areacalc.part.part import Part
from areacalc.report.documents import Document, hanging_document, schema_id
from areacalc.surface.air.best_hanging import Outcome, Ranked
from areacalc.surface.air.hung_words import in_words
from areacalc.surface.air.vent import vents

_LISTED = 20


def hang_document(hung: Part, ranked: Sequence[Ranked]) -> Document:
    """The part hung the best way, and the best of the ways tried. Raises BadInput and UnknownName as wetted() does."""
    hanging = hung.hanging
    assert hanging is not None
    return {
        "schema": schema_id("hang"),
        "name": hung.name,
        "words": in_words(hanging.up, hung.skin),
        "tried": len(ranked),
        "best": hanging_document(hanging, hung.wetted()),
        "vents": [
            {"from_mm": list(v.inside), "to_mm": list(v.outside), "metal_mm": v.metal_mm} for v in vents(hanging.air)
        ],
        "ranked": [
            {"up": list(each.up), "words": in_words(each.up, hung.skin), **_outcome(each.outcome)}
            | ({} if each.most is None else {"if_it_leans": _outcome(each.most)})
            for each in ranked[:_LISTED]
        ],
        "notes": [{"code": n.code, "text": n.text, "warns": n.warns} for n in hanging.notes],
    }


def _outcome(outcome: Outcome) -> Document:
    return {
        "airlocked_area_mm2": outcome.dry_mm2,
        "trapped_air_mm3": outcome.air_mm3,
        "carried_out_mm3": outcome.carried_mm3,
        "marks_mm2": outcome.marks_mm2,
    }
