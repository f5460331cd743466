"""Names for the features of a part, the same however the file happens to be turned, scaled or ordered, and the bores
that others end in."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from areacalc.shape.kinds import Floats, Ints
from areacalc.shape.mesh.boxes import overlaps
from areacalc.surface.features.pieces import Piece
from areacalc.surface.skin import Feature, FeatureKind

WORDS = {kind: str(kind) for kind in FeatureKind} | {FeatureKind.THROUGH_BORE: "bore"}
ALIKE = 1e-3  # share by which sizes and places that are alike differ
_RIM = 1e-3  # of the depth: a mouth this near another bore's end is in the same face
_WITHIN = 0.51  # of the diameter: a mouth whose middle lies this near another bore's axis opens into that
_ALONG = 0.9  # cosine: a bore so nearly along another is reached through that, as a hole in a counterbore's shoulder is


def named(pieces: list[Piece]) -> list[tuple[Feature, int]]:
    """The features in the order of their names, each with the row of its piece.

    Within a kind the widest, then the deepest, then the largest comes first; what is still alike is told apart by how
    far it lies from the middle of the skin, and only true twins by where they lie.
    """
    of_kind = Counter(piece.form.kind for piece in pieces)
    seen: Counter[FeatureKind] = Counter()
    features = []
    for index in np.lexsort(_ranks(pieces)[::-1]).tolist():
        piece = pieces[index]
        seen[piece.form.kind] += 1
        lone = piece.form.kind is FeatureKind.OUTSIDE and of_kind[piece.form.kind] == 1
        name = WORDS[piece.form.kind] if lone else f"{WORDS[piece.form.kind]}-{seen[piece.form.kind]}"
        features.append((replace(piece.form, name=name, area_mm2=piece.area_mm2), index))
    return list(zip(joined([feature for feature, _ in features]), [index for _, index in features], strict=True))


def _ranks(pieces: list[Piece]) -> list[Ints]:
    """By what the pieces are put in order, the first thing first: (n,) each."""
    area = np.array([piece.area_mm2.value for piece in pieces])
    centre = np.array([piece.centre for piece in pieces])
    middle = area @ centre / max(float(area.sum()), 1e-300)
    away = np.linalg.norm(centre - middle, axis=1)
    slack = ALIKE * max(float(away.max()), 1e-300)
    kind = np.array([list(FeatureKind).index(piece.form.kind) for piece in pieces])
    forms = [piece.form for piece in pieces]
    sizes = np.array([(form.width_mm or form.diameter_mm or 0.0, form.depth_mm or 0.0) for form in forms])
    largest = [-_alike(np.log(np.maximum(x, 1e-300)), ALIKE) for x in (sizes[:, 0], sizes[:, 1], area)]
    return [kind, *largest, -_alike(away, slack), *(_alike(x, slack) for x in centre.T)]


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


def joined(features: Sequence[Feature]) -> list[Feature]:
    """The features with the names of the bores that their mouths open into, the first one that fits."""
    bores = [f for f in features if f.axis is not None and f.mouths and f.depth_mm and f.steps]
    mouths = [(f.name, n, _reached(f, n)) for f in features for n in range(len(f.mouths))]
    if not bores:
        return list(features)
    axis, first = np.array([f.axis for f in bores]), np.array([f.mouths[0] for f in bores])
    depth = np.array([f.depth_mm for f in bores], float)
    reach = _WITHIN * np.array([max(step.diameter_mm for step in f.steps) for f in bores])
    end, at = first + axis * depth[:, None], np.array([at for *_, at in mouths])
    low, high = np.minimum(first, end) - reach[:, None], np.maximum(first, end) + reach[:, None]
    mouth, bore = overlaps(at, at, low, high).T
    off = at[mouth] - first[bore]
    along = np.einsum("ij,ij->i", off, axis[bore])
    away = np.einsum("ij,ij->i", off, off) - along**2
    depth = depth[bore]
    within = (along > _RIM * depth) & (along < (1.0 - _RIM) * depth) & (away <= reach[bore] ** 2)
    way = np.array([f.axis or f.opens[n] for f in features for n in range(len(f.mouths))])[mouth]
    within &= np.abs(np.einsum("ij,ij->i", way, axis[bore])) < _ALONG
    into: dict[str, dict[int, str]] = {}
    for m, b in sorted(zip(mouth[within].tolist(), bore[within].tolist(), strict=True)):
        if bores[b].name != mouths[m][0]:
            into.setdefault(mouths[m][0], {}).setdefault(mouths[m][1], bores[b].name)
    return [
        replace(f, into=tuple(into[f.name].get(n, "") for n in range(len(f.mouths)))) if f.name in into else f
        for f in features
    ]


def _reached(f: Feature, n: int) -> Floats:
    """The middle of a mouth [mm]; of a keyway, whose rim goes round its ends too, well inside its bore."""
    out = f.depth_mm if f.kind is FeatureKind.KEYWAY and f.depth_mm else 0.0
    return np.array(f.mouths[n]) + out * np.array(f.opens[n] if out else (0.0, 0.0, 0.0))
