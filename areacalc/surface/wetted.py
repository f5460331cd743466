"""Wetted area: the sum over the features that the acid reaches, a row each, with bounds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate, total
from areacalc.fact import fact
from areacalc.shape.body import summed
from areacalc.shape.kinds import Floats, Ints, Note
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import DryShare, Feature, State, SurfaceMap

if TYPE_CHECKING:
    from areacalc.surface.choice import Choices
    from areacalc.surface.covering import Covering


@dataclass(frozen=True, slots=True)
class Row:
    """A feature, or the share of it that is in one state."""

    feature: Feature
    state: State
    area_mm2: Estimate
    note: str = ""


@dataclass(frozen=True, slots=True)
class WettedArea:
    """The area the acid touches, what it is the sum of, and what was not certain."""

    value: Estimate
    rows: tuple[Row, ...]
    notes: tuple[Note, ...] = ()

    def area_in(self, state: State) -> Estimate:
        return total(row.area_mm2 for row in self.rows if row.state is state)


def bare_areas(rows: Iterable[Row]) -> dict[str, Estimate]:
    """What trapped air and surface tension keep bare of each feature [mm2]; together no more than all of it."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        if row.state in (State.AIRLOCKED, State.AIR_HELD):
            found.setdefault(row.feature.name, []).append(row)
    bare = {}
    for name, own in found.items():
        area = total(row.area_mm2 for row in own)
        bare[name] = replace(area, high=max(area.value, min(area.high, own[0].feature.area_mm2.high)))
    return bare


def wetted_area(skin: SurfaceMap, choices: Choices, dry: tuple[DryShare, ...] = ()) -> WettedArea:
    """What the acid reaches of this skin with these choices, hung so that the shares in `dry` stay dry.

    Raises BadInput and UnknownName for choices that do not fit the part.
    """
    from areacalc.surface.covering import cover
    from areacalc.surface.texture import added_areas

    covering = cover(skin, choices)
    areas, features, notes = added_areas(skin, choices.add)
    rows = _rows(skin, features, areas, covering, (*dry, *skin.arrangement.dry) if skin.arrangement else dry)
    rows = _clamp(rows, skin, choices.contact)
    value = total(row.area_mm2 for row in rows if row.state is State.WET)
    value = widened(value, (*skin.body.notes, *skin.notes, *covering.notes))
    if value.value == 0.0:
        notes.append(Note(fact(SurfaceNote.ALL_DRY), warns=True))
    return WettedArea(value, tuple(rows), (*skin.body.notes, *skin.notes, *covering.notes, *notes))


def widened(area: Estimate, notes: Iterable[Note]) -> Estimate:
    """An area with the bounds that hold all that notes say of it.

    >>> from areacalc.shape.kinds import FileNote
    >>> widened(Estimate.exact(10.0), [Note(fact(FileNote.OPEN), True, more_mm2=3.0, cause="open edges")])
    Estimate(value=10.0, low=10.0, high=13.0, because=('open edges',))
    """
    open_ones = [note for note in notes if note.less_mm2 or note.more_mm2]
    low = area.low - sum(note.less_mm2 for note in open_ones)
    high = area.high + sum(note.more_mm2 for note in open_ones)
    because = tuple(dict.fromkeys((*area.because, *(note.cause for note in open_ones if note.cause))))
    return Estimate(area.value, min(area.value, max(0.0, low)), high, because)


def _shares(skin: SurfaceMap, weight_mm2: Floats, parent: Ints) -> Floats:
    """The share of every feature that the weights (area of pieces, (k,)) make up; facets stand for true patch areas."""
    patch_of = skin.patch_of[parent]
    held = patch_of >= 0
    count = len(skin.patches)
    facet = np.array([patch.facet_area_mm2 for patch in skin.patches])
    true = np.array([patch.area_mm2.value for patch in skin.patches])
    feature = np.array([patch.feature for patch in skin.patches], int)
    part = summed(weight_mm2[held], patch_of[held], count)
    part = np.divide(part, facet, out=np.zeros(count), where=facet > 0)
    whole = summed(true, feature, len(skin.features))
    share = summed(true * part, feature, len(skin.features))
    return np.clip(np.divide(share, whole, out=np.zeros(len(whole)), where=whole > 0), 0.0, 1.0)


def _rows(
    skin: SurfaceMap, features: list[Feature], areas: list[Estimate], covering: Covering, dry: tuple[DryShare, ...]
) -> list[Row]:
    from areacalc.surface.covering import STATES

    pieces, area = covering.pieces, covering.pieces.area_mm2
    share = {s: _shares(skin, area * covering.state_is(s), pieces.parent) for s in STATES if covering.state_is(s).any()}
    wet = area * covering.state_is(State.WET)
    count = len(skin.patch_of)
    out = summed(area * (covering.state_is(State.PLUGGED) | covering.state_is(State.SEALED)), pieces.parent, count)
    whole_mm2 = summed(area, pieces.parent, count)  # what is dry of a triangle is dry of what no plug touches
    left = np.divide(whole_mm2 - out, whole_mm2, out=np.ones(count), where=whole_mm2 > out)[pieces.parent]
    dried: dict[State, tuple[Floats, Floats, Floats]] = {}
    for each in dry:
        ways = each.cases or (each.low, each.high)
        value, *parts = [
            _shares(skin, wet * np.minimum(s[pieces.parent] / left, 1.0), pieces.parent) for s in (each.value, *ways)
        ]
        dried[each.state] = value, np.min(parts, axis=0), np.max(parts, axis=0)
    rows = []
    for i, (feature, whole) in enumerate(zip(features, areas, strict=True)):
        for state in STATES:
            part = low = high = float(share[state][i]) if state in share else 0.0
            if state is State.WET:
                part -= sum(float(value[i]) for value, _, _ in dried.values())
                low -= sum(float(most[i]) for _, _, most in dried.values())
                high -= sum(float(least[i]) for _, least, _ in dried.values())
            elif state in dried:
                part, low, high = (x + float(own[i]) for x, own in zip((part, low, high), dried[state], strict=True))
            part, low, high = (min(max(x, 0.0), 1.0) for x in (part, low, high))
            if part > 1e-12 or high > 1e-9:
                rows.append(Row(feature, state, _scaled(whole, part, low, high)))
    return rows


def _scaled(whole: Estimate, part: float, low: float, high: float) -> Estimate:
    because = whole.because if low == high else ("how it hangs", *whole.because)
    value = whole.value * part
    return Estimate(value, min(value, whole.low * low), max(value, whole.high * high), because)


def _clamp(rows: list[Row], skin: SurfaceMap, contacts: tuple[str, ...]) -> list[Row]:
    """Take each contact's area from the wet skin of the feature it sits on."""
    from areacalc.surface.choice import contact
    from areacalc.surface.region import region
    from areacalc.surface.split import whole

    for words in contacts:
        each = contact(words)
        place = region(each.words, skin, Field.CONTACT)
        if place.features:
            on = place.features[0]
        else:
            inside = place.inside(whole(skin.body.vertices, skin.body.triangles))
            on = int(skin.feature_of[np.nonzero(inside)[0][0]])
        name = skin.features[on].name
        index = next((i for i, r in enumerate(rows) if r.feature.name == name and r.state is State.WET), None)
        left = rows[index].area_mm2 if index is not None else Estimate.exact(0.0)
        if index is None or each.area_mm2 > left.low:
            what = f"{each.area_mm2:g} mm2 does not fit on {name}, of which {left.value:g} mm2 is wet"
            raise BadInput(Field.CONTACT, what, "give the size of the touching face alone")
        rows[index] = Row(rows[index].feature, State.WET, Estimate(
            left.value - each.area_mm2, left.low - each.area_mm2, left.high - each.area_mm2, left.because))  # fmt: skip
        rows.insert(index + 1, Row(rows[index].feature, State.CLAMPED, Estimate.exact(each.area_mm2), words))
    return rows
