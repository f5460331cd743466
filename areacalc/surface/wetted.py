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
from areacalc.shape.kinds import Floats, Note
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import DryShare, Feature, State, SurfaceMap
from areacalc.surface.split import Pieces

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
    areas, worn, features, notes = added_areas(skin, choices.add)
    rows = _rows(skin, features, areas, worn, covering, (*dry, *skin.arrangement.dry) if skin.arrangement else dry)
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


@dataclass(frozen=True, eq=False)
class _Share:
    """The share of each patch (p,), or feature, that is in one state: as it is, the least and the most."""

    value: Floats
    low: Floats
    high: Floats

    def plus(self, other: _Share, sign: float = 1.0) -> _Share:
        """Both together; of two that exclude one another with -1, the most of one goes with the least of the other."""
        low, high = (other.low, other.high) if sign > 0 else (other.high, other.low)
        ends = ((self.value, other.value), (self.low, low), (self.high, high))
        return _Share(*(np.clip(one + sign * two, 0.0, 1.0) for one, two in ends))


def _by_patch(skin: SurfaceMap, weight_mm2: Floats, pieces: Pieces) -> Floats:
    """The share of every patch (p,) that the weights of pieces (k,) make up."""
    patch_of = skin.patch_of[pieces.parent]
    held, count = patch_of >= 0, len(skin.patches)
    part, whole = (summed(each[held], patch_of[held], count) for each in (weight_mm2, pieces.area_mm2))
    return np.divide(part, whole, out=np.zeros(count), where=whole > 0).clip(0.0, 1.0)


def _covered(skin: SurfaceMap, covering: Covering, state: State) -> _Share:
    """What choices put in a state; where a cut crosses curved skin, with what may lie beyond it."""
    pieces, mine = covering.pieces, covering.state_is(state)
    area = pieces.area_mm2
    value = _by_patch(skin, area * mine, pieces)
    if covering.doubt is None:
        return _Share(value, value, value)
    may, more = covering.doubt.area_mm2, covering.doubt.more
    sure, possible = (_by_patch(skin, each, pieces) for each in ((area - may) * mine, np.where(mine, area, may)))
    parted = (value > 0.0) & (value < 1.0)
    ends = (np.where(parted, each, value).clip(0.0, 1.0) for each in (sure - more, possible + more))
    return _Share(value, *ends)


def _dried(skin: SurfaceMap, covering: Covering, dry: tuple[DryShare, ...]) -> dict[State, _Share]:
    """What stays dry of the wet skin as it hangs."""
    pieces, area, count = covering.pieces, covering.pieces.area_mm2, len(skin.patch_of)
    wet = area * covering.state_is(State.WET)
    out = summed(area * (covering.state_is(State.PLUGGED) | covering.state_is(State.SEALED)), pieces.parent, count)
    whole_mm2 = summed(area, pieces.parent, count)  # what is dry of a triangle is dry of what no plug touches
    left = np.divide(whole_mm2 - out, whole_mm2, out=np.ones(count), where=whole_mm2 > out)[pieces.parent]
    found = {}
    for each in dry:
        ways = each.cases or (each.low, each.high)
        value, *parts = [
            _by_patch(skin, wet * np.minimum(s[pieces.parent] / left, 1.0), pieces) for s in (each.value, *ways)
        ]
        found[each.state] = _Share(value, np.min(parts, axis=0), np.max(parts, axis=0))
    return found


def _rows(
    skin: SurfaceMap, features: list[Feature], areas: list[Estimate], worn: list[Estimate], covering: Covering,
    dry: tuple[DryShare, ...],
) -> list[Row]:  # fmt: skip
    """A row for each feature and state that it is in; areas of features and worn of patches, with what was added."""
    from areacalc.surface.covering import STATES

    dried = _dried(skin, covering, dry)
    none = _Share(*np.zeros((3, len(worn))))
    shares = {state: _covered(skin, covering, state) for state in STATES if covering.state_is(state).any()}
    for state, own in dried.items():
        shares[State.WET] = shares.get(State.WET, none).plus(own, -1.0)
        shares[state] = shares.get(state, none).plus(own)
    because = ("how it hangs",) * bool(dried) + ("cuts across a curve",) * (covering.doubt is not None)
    rows = {state: _areas(skin, share, areas, worn, because) for state, share in shares.items()}
    return [
        Row(feature, state, area)
        for i, feature in enumerate(features)
        for state in STATES
        if state in rows and (area := rows[state][i]) is not None
    ]


def _areas(
    skin: SurfaceMap, share: _Share, areas: list[Estimate], worn: list[Estimate], because: tuple[str, ...]
) -> list[Estimate | None]:
    """The area of each feature that shares of its patches make up; None where that is nothing."""
    feature, count = np.array([patch.feature for patch in skin.patches], int), len(areas)

    def part(mm2: Iterable[float], of_patch: Floats) -> Floats:
        weight = np.fromiter(mm2, float)
        whole = summed(weight, feature, count)
        return np.divide(summed(weight * of_patch, feature, count), whole, out=np.zeros(count), where=whole > 0)

    value = part((each.value for each in worn), share.value)
    low, high = part((each.low for each in worn), share.low), part((each.high for each in worn), share.high)
    wide = summed(share.high - share.low, feature, count) > 0.0
    found: list[Estimate | None] = []
    for i, whole in enumerate(areas):
        if value[i] <= 1e-12 and high[i] <= 1e-9:
            found.append(None)
            continue
        area, least, most = (float(mm2) for mm2 in (whole.value * value[i], whole.low * low[i], whole.high * high[i]))
        causes = (*because, *whole.because) if wide[i] else whole.because
        found.append(Estimate(area, min(area, least), max(area, most), causes))
    return found


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
