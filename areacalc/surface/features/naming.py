"""Names for the features of a part, the same however the file happens to be turned, scaled or ordered."""

from collections import Counter
from dataclasses import replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.surface.features.joined import joined
from areacalc.surface.features.pieces import Piece
from areacalc.surface.skin import Feature, FeatureKind, Vector

WORDS = {
    FeatureKind.OUTSIDE: "outside",
    FeatureKind.THROUGH_BORE: "bore",
    FeatureKind.BLIND_BORE: "blind-bore",
    FeatureKind.PASSAGE: "passage",
    FeatureKind.POCKET: "pocket",
    FeatureKind.SLOT: "slot",
    FeatureKind.KEYWAY: "keyway",
    FeatureKind.GROOVE: "groove",
    FeatureKind.VOID: "void",
    FeatureKind.CONTACT: "contact",
}
ALIKE = 1e-3
"""Share by which sizes and places that are alike differ."""


def named(pieces: list[Piece]) -> list[tuple[Feature, int]]:
    """The features in the order of their names, each with the row of its piece.

    Within a kind the widest, then the deepest, then the largest comes first; what is still alike is told apart by how
    far it lies from the middle of the skin, and only true twins by where they lie.
    """
    of_kind = Counter(piece.kind for piece in pieces)
    seen: Counter[FeatureKind] = Counter()
    features = []
    for index in np.lexsort(_ranks(pieces)[::-1]).tolist():
        piece = pieces[index]
        seen[piece.kind] += 1
        lone = piece.kind is FeatureKind.OUTSIDE and of_kind[piece.kind] == 1
        name = WORDS[piece.kind] if lone else f"{WORDS[piece.kind]}-{seen[piece.kind]}"
        features.append((_feature(piece, name), index))
    return list(zip(joined([feature for feature, _ in features]), [index for _, index in features], strict=True))


def _ranks(pieces: list[Piece]) -> list[Ints]:
    """By what the pieces are put in order, the first thing first: (n,) each."""
    area = np.array([piece.area_mm2.value for piece in pieces])
    centre = np.array([piece.centre for piece in pieces])
    middle = area @ centre / max(float(area.sum()), 1e-300)
    away = np.linalg.norm(centre - middle, axis=1)
    slack = ALIKE * max(float(away.max()), 1e-300)
    kind = np.array([list(FeatureKind).index(piece.kind) for piece in pieces])
    sizes = np.array([_sizes(piece) for piece in pieces])
    largest = [-_alike(np.log(np.maximum(x, 1e-300)), ALIKE) for x in (sizes[:, 0], sizes[:, 1], area)]
    return [kind, *largest, -_alike(away, slack), *(_alike(x, slack) for x in centre.T)]


def _sizes(piece: Piece) -> tuple[float, float]:
    """How wide and how deep it is [mm], as far as that is known."""
    if piece.bore is not None:
        return piece.bore.diameter_mm, piece.bore.depth_mm
    return (piece.opening.width_mm, piece.opening.depth_mm) if piece.opening is not None else (0.0, 0.0)


def _alike(values: Floats, slack: float) -> Ints:
    """The rank of each value; values that lie no further apart than the slack share one, so that rounding in the file
    does not shuffle the names.

    >>> _alike(np.array([5.0, 1.0, 1.0005, 7.0]), 0.001)
    array([1, 0, 0, 2])
    """
    order = np.argsort(values, kind="stable")
    rank = np.zeros(len(values), int)
    rank[order[1:]] = np.cumsum(np.diff(values[order]) > slack)
    return rank


def _feature(piece: Piece, name: str) -> Feature:
    made = Feature(name, piece.kind, piece.area_mm2, note=piece.note)
    bore, opening = piece.bore, piece.opening
    if opening is not None:
        return replace(
            made, depth_mm=opening.depth_mm, width_mm=opening.width_mm, length_mm=opening.length_mm,
            mouths=tuple(map(_vector, opening.mouths)), opens=tuple(map(_vector, opening.ways)),
            section_mm2=opening.section_mm2, around_mm=opening.around_mm, diameter_mm=opening.diameter_mm,
        )  # fmt: skip
    if bore is None:
        return made
    return replace(
        made, diameter_mm=bore.diameter_mm, depth_mm=bore.depth_mm, axis=_vector(bore.axis), steps=bore.steps,
        mouths=tuple(map(_vector, bore.mouths)), opens=tuple(map(_vector, bore.ways)), wall_mm2=bore.wall_mm2,
        floor_mm2=bore.floor_mm2, shoulder_mm2=bore.shoulder_mm2,
    )  # fmt: skip


def _vector(v: Floats) -> Vector:
    return float(v[0]), float(v[1]), float(v[2])
