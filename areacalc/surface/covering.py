"""Choices laid over the skin: the state of every piece of every triangle before the part hangs in the bath."""

from dataclasses import dataclass, replace

import numpy as np

from areacalc.errors import BadInput, Field
from areacalc.shape.kinds import Ints, Note, Truths
from areacalc.surface.bent_cuts import CutDoubt, bent, doubt, on_surfaces
from areacalc.surface.bore_lengths import in_from, mouths
from areacalc.surface.choice import Choices, Plug, plug
from areacalc.surface.region import region
from areacalc.surface.regions import Region, by_features
from areacalc.surface.shut_in import shut_in
from areacalc.surface.skin import FeatureKind, State, SurfaceMap
from areacalc.surface.split import Pieces, Plane, split, whole

STATES = tuple(State)
_RANK = {state: np.int8(i) for i, state in enumerate(STATES)}


@dataclass(frozen=True, eq=False)
class Covering:
    """pieces of the body's triangles and, for each, the index of its state in STATES (k,) int8.

    bare: of the skin that all bodies make up together, what plugs neither touch nor shut in; None without plugs. doubt:
    where cuts cross curved skin; None where none do.
    """

    pieces: Pieces
    state: Ints
    bare: Pieces | None = None
    notes: tuple[Note, ...] = ()
    doubt: CutDoubt | None = None

    def state_is(self, state: State) -> Truths:
        return np.asarray(self.state == _RANK[state])


def cover(skin: SurfaceMap, choices: Choices) -> Covering:
    """Cut the skin where choices begin and end, and say what each piece is.

    A sealed void or a hidden contact stays so whatever is said of it; a plug outranks a mask.
    Raises BadInput and UnknownName for words that do not fit this part.
    """
    masks = [region(words, skin, Field.MASK) for words in choices.mask]
    kept = [region(words, skin, Field.WET_ONLY) for words in choices.wet_only]
    plugs = _plugged(skin, [plug(words) for words in choices.plug])
    planes = [plane for each in [*masks, *kept, *plugs] for plane in each.planes]
    drawn = whole(skin.body.vertices, skin.body.triangles)
    made = _laid(skin, split(drawn, planes), planes, masks, kept, plugs)
    if (curved := bent(skin, planes, made.pieces, made.state)).any():
        made = _laid(skin, split(on_surfaces(skin, drawn, curved), planes), planes, masks, kept, plugs)
        made = replace(made, doubt=doubt(skin, planes, made.pieces, curved))
    return made


def _laid(
    skin: SurfaceMap, pieces: Pieces, planes: list[Plane], masks: list[Region], kept: list[Region], plugs: list[Region]
) -> Covering:
    """The choices laid on pieces that are cut along their planes."""
    state = np.full(len(pieces.parent), _RANK[State.WET], np.int8)
    bare: Pieces | None = None
    notes: tuple[Note, ...] = ()
    if kept:
        state[~_any(kept, pieces)] = _RANK[State.MASKED]
    if masks:
        state[_any(masks, pieces)] = _RANK[State.MASKED]
    if plugs:
        found = shut_in(skin, pieces, planes, lambda every: _any(plugs, every))
        pieces, state, bare, notes = found.pieces, state[found.was], found.bare, found.notes
        state[found.shut] = _RANK[State.SEALED]
        state[_any(plugs, pieces)] = _RANK[State.PLUGGED]
    fixed = {FeatureKind.VOID: State.SEALED, FeatureKind.CONTACT: State.HIDDEN}
    feature_of = skin.feature_of[pieces.parent]
    for i, feature in enumerate(skin.features):
        if feature.kind in fixed:
            state[feature_of == i] = _RANK[fixed[feature.kind]]
    return Covering(pieces, state, bare, notes)


def _any(regions: list[Region], pieces: Pieces) -> Truths:
    return np.asarray(np.logical_or.reduce([each.inside(pieces) for each in regions]))


def _plugged(skin: SurfaceMap, plugs: list[Plug]) -> list[Region]:
    """The walls that plugs touch."""
    touched: list[Region] = []
    for each in plugs:
        for index in region(each.words, skin, Field.PLUG).features or _not_a_bore(each.words):
            feature = skin.features[index]
            if not feature.mouths:
                _not_a_bore(feature.name)
            if each.depth_mm is None:
                touched.append(by_features(feature.name, [index], skin))
                continue
            for mouth in mouths(each.mouth, feature, f"{each.depth_mm:g} mm", Field.PLUG):
                touched.append(in_from(each.words, index, mouth, each.depth_mm, skin, Field.PLUG))
    return touched


def mouth_plugs(skin: SurfaceMap, choices: Choices) -> dict[str, dict[int, float]]:
    """How far plugs of stated depth go into a mouth [mm]: feature -> mouth (from 1) -> depth, the deepest of each."""
    found: dict[str, dict[int, float]] = {}
    for each in map(plug, choices.plug):
        if each.depth_mm is None:
            continue
        for index in region(each.words, skin, Field.PLUG).features:
            feature = skin.features[index]
            shut = found.setdefault(feature.name, {})
            for mouth in mouths(each.mouth, feature, f"{each.depth_mm:g} mm", Field.PLUG):
                shut[mouth] = max(each.depth_mm, shut.get(mouth, 0.0))
    return found


def _not_a_bore(words: str) -> list[int]:
    raise BadInput(Field.PLUG, f"'{words}' is not a bore or pocket, so no plug fits", "mask it instead")
