"""The words of every caution (data/cautions.csv), and a caution as a document."""

from collections.abc import Iterable
from typing import TypedDict

from areacalc.bath.cautions import Caution, HarmWord, Hazard, caution
from areacalc.bath.table import rows
from areacalc.report.words.telling import WORDS, Catalogue, Telling

CAUTIONS: Catalogue = {Hazard[row["hazard"]]: row["words"] for row in rows("cautions", WORDS)}
_SHORT = {Hazard[row["hazard"]]: row["short"] for row in rows("cautions", WORDS)}
AT_ANY_BATH = (Hazard.DATA_SHEETS, Hazard.BATH_ACID, Hazard.HYDROGEN, Hazard.MIST, Hazard.LIVE_PARTS)
"""What can hurt wherever a current flows through the acid."""


def caution_text(each: Caution, inch: bool = False) -> str:
    """A caution in words, its values in metric or US units."""
    return Telling(each.fact, inch).tell(CAUTIONS[each.hazard])


def short_cautions(*hazards: Hazard) -> str:
    """A few hazards in one paragraph, as short as they can be."""
    return shortened(map(caution, hazards))


def shortened(cautions: Iterable[Caution], inch: bool = False) -> str:
    """Cautions in one paragraph, as short as they can be."""
    return " ".join(_SHORT[each.hazard] or caution_text(each, inch) for each in cautions)


class CautionDocument(TypedDict):
    """What can hurt: the hazard, how badly, its words, its source and the work it stands at."""

    hazard: str
    harm: HarmWord
    text: str
    source: str
    at: list[str]


def caution_document(each: Caution, inch: bool = False) -> CautionDocument:
    """One caution."""
    return {"hazard": each.hazard.value, "harm": each.harm.word, "text": caution_text(each, inch),
            "source": str(each.source), "at": [at.value for at in each.at]}  # fmt: skip
