"""The JSON document of `hang`: the ways to hang a part, the best first, and the best in full."""

from collections.abc import Sequence
from typing import Literal, NotRequired, TypedDict, cast

from areacalc.part.part import Part
from areacalc.report.documents import HangingDocument, NoteDocument, hanging_document, note_documents
from areacalc.report.words.hung import in_words
from areacalc.surface.air.best_hanging import HangingOutcome, Ranked
from areacalc.surface.air.vent import vents

_LISTED = 20


class OutcomeDocument(TypedDict):
    """What hanging one way comes to: marks_mm2 is surface where bubbles leave marks, bare_area_mm2 what trapped air
    and, in narrow bores, surface tension keep bare."""

    airlocked_area_mm2: float
    bare_area_mm2: float
    trapped_air_mm3: float
    carried_out_mm3: float
    marks_mm2: float


class WayDocument(OutcomeDocument):
    """One way to hang a part, and the worst of hanging it a little tilted."""

    up: list[float]
    words: str
    if_it_leans: NotRequired[OutcomeDocument]


class VentDocument(TypedDict):
    """A hole that would let the air out: through how much metal, from where to where."""

    from_mm: list[float]
    to_mm: list[float]
    metal_mm: float


class HangDocument(TypedDict):
    """The ways to hang a part, the best first, and the best in full."""

    schema: Literal["areacalc/hang/1"]
    name: str
    words: str
    tried: int
    best: HangingDocument
    vents: list[VentDocument]
    ranked: list[WayDocument]
    notes: list[NoteDocument]


def hang_document(hung: Part, ranked: Sequence[Ranked]) -> HangDocument:
    """The part hung the best way, and the best of the ways tried. Raises BadInput and UnknownName as wetted() does."""
    hanging = hung.hanging
    assert hanging is not None
    wetted = hung.wetted()
    return {
        "schema": "areacalc/hang/1",
        "name": hung.name,
        "words": in_words(hanging.up, hung.skin),
        "tried": len(ranked),
        "best": hanging_document(hanging, wetted),
        "vents": [
            {"from_mm": list(v.inside), "to_mm": list(v.outside), "metal_mm": v.metal_mm} for v in vents(hanging.air)
        ],
        "ranked": [_way(each, hung) for each in ranked[:_LISTED]],
        "notes": note_documents(hanging.told(wetted)),
    }


def _way(each: Ranked, hung: Part) -> WayDocument:
    words = in_words(each.up, hung.skin)
    way = {"up": list(each.up), "words": words, **_outcome(each.outcome)}
    if each.most is not None:
        way["if_it_leans"] = _outcome(each.most)
    return cast(WayDocument, way)


def _outcome(outcome: HangingOutcome) -> OutcomeDocument:
    return {
        "airlocked_area_mm2": outcome.dry_mm2, "bare_area_mm2": outcome.bare_mm2, "trapped_air_mm3": outcome.air_mm3,
        "carried_out_mm3": outcome.carried_mm3, "marks_mm2": outcome.marks_mm2,
    }  # fmt: skip
