"""Names for the features of a part, the same however the file happens to be turned, scaled or ordered."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np

from areacalc.shape.kinds import Floats
from areacalc.surface.features.pieces import Piece
from areacalc.surface.skin import Feature, FeatureKind, Vector

WORDS = {
    FeatureKind.OUTSIDE: "outside",
    FeatureKind.THROUGH_BORE: "bore",
    FeatureKind.BLIND_BORE: "blind-bore",
    FeatureKind.POCKET: "pocket",
    FeatureKind.GROOVE: "groove",
    FeatureKind.VOID: "void",
    FeatureKind.CONTACT: "contact",
}


def named(pieces: list[Piece]) -> list[tuple[Feature, int]]:
    """The features in the order of their names, each with the row of its piece.

    Within a kind the widest, then the deepest, then the largest comes first; what is still alike is told apart by how
    far it lies from the middle of the skin, and only true twins by where they lie.
    """
    weight = np.array([piece.area_mm2.value for piece in pieces])
    middle = weight @ np.array([piece.centre for piece in pieces]) / max(float(weight.sum()), 1e-300)
    order = sorted(range(len(pieces)), key=lambda i: _rank(pieces[i], middle))
    of_kind = Counter(piece.kind for piece in pieces)
    seen: Counter[FeatureKind] = Counter()
    features = []
    for index in order:
        piece = pieces[index]
        seen[piece.kind] += 1
        lone = piece.kind is FeatureKind.OUTSIDE and of_kind[piece.kind] == 1
        name = WORDS[piece.kind] if lone else f"{WORDS[piece.kind]}-{seen[piece.kind]}"
        features.append((_feature(piece, name), index))
    return features


def _rank(piece: Piece, middle: Floats) -> tuple[float, ...]:
    away = float(np.linalg.norm(piece.centre - middle))
    bore = piece.bore
    sizes = (bore.diameter_mm, bore.depth_mm) if bore else (0.0, 0.0)
    keys = (*sizes, piece.area_mm2.value, away)
    kind = list(FeatureKind).index(piece.kind)
    return (kind, *(-_coarse(x) for x in keys), *(round(float(x), 3) for x in piece.centre))


def _coarse(size: float) -> float:
    """The size to four figures, so that rounding in the file does not shuffle the names."""
    if size <= 0:
        return 0.0
    return round(math.log(size) * 2e3)


def _feature(piece: Piece, name: str) -> Feature:
    bore = piece.bore
    if bore is None:
        return Feature(name, piece.kind, piece.area_mm2, mouths=tuple(map(_vector, piece.openings)), note=piece.note)
    return Feature(
        name,
        piece.kind,
        piece.area_mm2,
        bore.diameter_mm,
        bore.depth_mm,
        _vector(bore.axis),
        tuple(map(_vector, bore.mouths)),
        bore.steps,
        bore.wall_mm2,
        bore.floor_mm2,
        bore.shoulder_mm2,
        piece.note,
    )


def _vector(v: Floats) -> Vector:
    return float(v[0]), float(v[1]), float(v[2])
