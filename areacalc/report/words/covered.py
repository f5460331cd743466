"""What is plugged, masked or clamped on a part, in the words of whoever does it."""

from __future__ import annotations

from collections import Counter

from areacalc.plan.area import PartArea
from areacalc.report.figures import shown
from areacalc.surface.skin import State
from areacalc.surface.wetted import Row

_BY_HAND = {State.PLUGGED: "plug", State.MASKED: "mask", State.CLAMPED: "contact on"}


def covered_words(part: PartArea, inch: bool = False) -> tuple[str, ...]:
    """What is plugged, masked or clamped on one part, feature by feature."""
    rows = [row for row in part.rows if row.area_mm2.value > 0.0]
    pieces = Counter(row.feature.name for row in rows)
    return tuple(_words(row, pieces[row.feature.name] == 1, inch) for row in rows if row.state in _BY_HAND)


def covered_names(part: PartArea) -> str:
    """The same in short: what is plugged, masked or clamped, by name."""
    rows = [row for row in part.rows if row.area_mm2.value > 0.0 and row.state in _BY_HAND]
    return ", ".join(dict.fromkeys(f"{_BY_HAND[row.state]} {row.feature.name}" for row in rows))


def _words(row: Row, whole: bool, inch: bool) -> str:
    feature = row.feature
    mm2 = row.area_mm2.value
    size = (shown(mm2, "mm2", inch) if inch else f"{shown(mm2, '')} mm2") + ("" if whole else " of it")
    if feature.diameter_mm and feature.depth_mm:
        across, deep = (shown(each, "mm", inch) for each in (feature.diameter_mm, feature.depth_mm))
        size = f"{across} across{' at the narrowest' if feature.stepped else ''}, {deep} deep; {size}"
    more = f", {feature.note}" if feature.note else ""
    return f"{_BY_HAND[row.state]} {'' if whole else 'part of '}{feature.name} ({size}{more})"
