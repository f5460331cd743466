"""What is plugged, masked or clamped on a part, in the words of whoever does it."""

from collections import Counter
from collections.abc import Iterator

from areacalc.plan.area import PartArea
from areacalc.report.figures import shown
from areacalc.surface.skin import Feature, State
from areacalc.surface.wetted import Row

_BY_HAND = {State.PLUGGED: "plug", State.MASKED: "mask", State.CLAMPED: "contact on"}


def covered_words(part: PartArea, inch: bool = False) -> tuple[str, ...]:
    """What is plugged, masked or clamped on one part: a whole feature by its name, a piece in the words of the load."""
    told: list[str] = []
    pieces: dict[str, list[Row]] = {}
    for row, whole in _covered(part):
        own = "" if whole else _own_words(row, part)
        if own:
            pieces.setdefault(f"{_BY_HAND[row.state]} {own}", []).append(row)
        else:
            told.append(_words(row, whole, inch))
    for own, rows in pieces.items():
        areas = [f"{shown(row.area_mm2.value, 'mm2', inch)} of {row.feature.name}" for row in rows]
        told.append(f"{own} ({' and '.join(areas) if len(rows) > 1 else shown(rows[0].area_mm2.value, 'mm2', inch)})")
    return tuple(told)


def covered_names(part: PartArea) -> str:
    """The same in short: what is plugged, masked or clamped, without sizes."""
    return ", ".join(dict.fromkeys(
        f"{_BY_HAND[row.state]} {('' if whole else _own_words(row, part)) or row.feature.name}"
        for row, whole in _covered(part)
    ))  # fmt: skip


def _covered(part: PartArea) -> Iterator[tuple[Row, bool]]:
    """What is covered by hand, and whether that is the whole of its feature."""
    rows = [row for row in part.rows if row.area_mm2.value > 0.0]
    pieces = Counter(row.feature.name for row in rows)
    return ((row, pieces[row.feature.name] == 1) for row in rows if row.state in _BY_HAND)


def _own_words(row: Row, part: PartArea) -> str:
    """The load's own words for the covered piece of a feature: those that name it, else those that name no feature."""
    if part.part is None or row.state is State.CLAMPED:
        return ""
    choices = part.part.choices
    said = [(words, set(words.split())) for words in (choices.plug if row.state is State.PLUGGED else choices.mask)]
    names = {feature.name for feature in part.part.skin.features}
    own = [words for words, each in said if row.feature.name in each]
    return " and ".join(own or [words for words, each in said if not names & each])


def _at_mouths(feature: Feature, inch: bool) -> str:
    """How wide a bore of steps is at its mouths, where a plug or a finger goes in."""
    wide = [step.diameter_mm for step in feature.steps if step.kind not in ("floor", "shoulder", "drill-point")]
    ends = dict.fromkeys(shown(each, "mm", inch) for each in (wide[:1] + wide[-1:])[: len(feature.mouths)])
    where = "at its mouths" if len(ends) > 1 else "at the mouth" if len(feature.mouths) == 1 else "at both mouths"
    return f", {' and '.join(ends)} {where}" if ends else ""


def _words(row: Row, whole: bool, inch: bool) -> str:
    feature = row.feature
    size = shown(row.area_mm2.value, "mm2", inch) + ("" if whole else " of it")
    if feature.diameter_mm and feature.depth_mm:
        across, deep = (shown(each, "mm", inch) for each in (feature.diameter_mm, feature.depth_mm))
        wide = f", {shown(feature.width_mm, 'mm', inch)} wide" if feature.width_mm else ""
        narrow = f" at the narrowest{_at_mouths(feature, inch)}" if feature.stepped else ""
        steps = " with its steps" if feature.stepped and whole else ""
        size = f"{across} across{narrow}{wide}, {deep} deep; {size}{steps}"
    more = f", {feature.note}" if feature.note else ""
    return f"{_BY_HAND[row.state]} {'' if whole else 'part of '}{feature.name} ({size}{more})"
