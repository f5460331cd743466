"""A piece of skin that words point at: planes to cut along, and a test for what lies between them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Truths
from areacalc.surface.skin import SurfaceMap
from areacalc.surface.split import Pieces, Plane, split, whole


@dataclass(frozen=True, eq=False)
class Region:
    """A piece of skin: planes to cut along first, then a test for each piece. `words` is what the person wrote.

    features: those named as a whole, where the words name some; patches: those wholly inside, where a step is named.
    """

    words: str
    planes: tuple[Plane, ...]
    inside: Callable[[Pieces], Truths]
    features: tuple[int, ...] = ()
    patches: tuple[int, ...] = ()


def by_features(words: str, chosen: Sequence[int], skin: SurfaceMap) -> Region:
    return Region(words, (), lambda pieces: np.isin(skin.feature_of[pieces.parent], chosen), tuple(chosen))


def by_patches(words: str, chosen: Sequence[int], skin: SurfaceMap) -> Region:
    return Region(words, (), lambda pieces: np.isin(skin.patch_of[pieces.parent], chosen))


def checked(made: Region, skin: SurfaceMap, where: str) -> Region:
    """Refuse what touches none of the part."""
    if not made.inside(split(whole(skin.body.vertices, skin.body.triangles), made.planes)).any():
        low, high = skin.body.vertices.min(axis=0), skin.body.vertices.max(axis=0)
        spans = ", ".join(f"{name} {a:.4g} to {b:.4g} mm" for name, a, b in zip("xyz", low, high, strict=True))
        raise BadInput(where, f"'{made.words}' holds nothing of the part", f"the part spans {spans}")
    return made
