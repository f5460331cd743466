"""Bores that end in one another: which ends open into another bore and not to the outside."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from areacalc.shape.kinds import Floats
from areacalc.shape.mesh.boxes import overlaps
from areacalc.surface.skin import Feature, FeatureKind

_RIM = 1e-3  # of the depth: a mouth this near another bore's end is in the same face
_WITHIN = 0.51  # of the diameter: a mouth whose middle lies this near another bore's axis opens into that
_ALONG = 0.9  # cosine: a bore so nearly along another is reached through that, as a hole in a counterbore's shoulder is


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
