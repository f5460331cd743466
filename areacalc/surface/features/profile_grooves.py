"""The turned grooves of a lathe profile, found and named as those of its mesh."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from areacalc.estimate import Estimate
from areacalc.shape.kinds import Ints
from areacalc.surface.features.border import borders
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.naming import named
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.pieces import Piece
from areacalc.surface.features.turned_grooves import turned_grooves
from areacalc.surface.features.walls import walls
from areacalc.surface.skin import Feature, FeatureKind


def named_grooves(
    mesh: Creases, cut: PatchCut, shell_of: Ints, outside: NDArray[np.bool_],
    told: Callable[[Sequence[int]], tuple[Estimate, str]],
) -> Iterator[tuple[Feature, tuple[int, ...]]]:  # fmt: skip
    """The grooves and the patches of each; told: area and note of patches."""
    slots = [*turned_grooves(mesh, cut, borders(mesh, cut.patch_of), walls(mesh, cut, shell_of), outside)]
    grooved = [p for slot in slots for p in slot.patches]
    rest = tuple(p for p in range(len(cut.faces)) if p not in grooved)
    pieces = []
    for own, opening in (*((slot.patches, slot.opening) for slot in slots), (rest, None)):
        rows, (area, note) = cut.rows(*own), told(own)
        centre = np.average(mesh.middle[rows], axis=0, weights=mesh.area[rows])
        kind = opening.kind if opening else FeatureKind.OUTSIDE
        pieces.append(Piece(kind, own, 0, area, centre, opening=opening, note=note))
    return ((found, pieces[i].patches) for found, i in named(pieces) if found.kind is FeatureKind.GROOVE)
