"""Words for what to buy or make: what it is, its size, what to mind."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from areacalc.bath.table import rows
from areacalc.plant.materials import Buy, Item
from areacalc.report.figures import whole_quantity
from areacalc.report.words.tell import telling
from areacalc.report.words.telling import WORDS

MATERIALS: Mapping[Enum, tuple[str, str, str]] = {
    Buy[row["item"]]: (row["what"], row["size"], row["note"]) for row in rows("materials", WORDS)
}


@dataclass(frozen=True, slots=True)
class ItemWords:
    """One line of the list, as it is read."""

    what: str
    size: str
    mass: str
    note: str


def item_words(item: Item, inch: bool = False) -> ItemWords:
    """One thing to buy or make, in metric or US units."""
    said = telling(item.told, inch)
    what, size, note = (said(words) for words in MATERIALS[item.told.kind])
    return ItemWords(what, size, whole_quantity(item.mass, inch) if item.mass else "", note)
