"""The turned grooves of a lathe profile, found and named as those of its mesh."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.kinds import Ints, Truths
from areacalc.surface.features.naming import named
from areacalc.surface.features.open_slots import turned_grooves
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.pieces import OUTSIDE, Piece
from areacalc.surface.features.walls import walls
from areacalc.surface.skin import Feature, FeatureKind


def named_grooves(
    cut: PatchCut, shell_of: Ints, outside: Truths, told: Callable[[Sequence[int]], tuple[Estimate, str]]
) -> Iterator[tuple[Feature, tuple[int, ...]]]:
    """The grooves and the patches of each; told: area and note of patches."""
    slots = [*turned_grooves(cut, walls(cut, shell_of), outside)]
    grooved = [p for patches, _ in slots for p in patches]
    rest = tuple(p for p in range(len(cut.faces)) if p not in grooved)
    pieces = []
    for own, form in (*slots, (rest, OUTSIDE)):
        rows, (area, note) = cut.rows(*own), told(own)
        centre = np.average(cut.mesh.middle[rows], axis=0, weights=cut.mesh.area[rows])
        pieces.append(Piece(own, area, centre, replace(form, note=note)))
    return ((found, pieces[i].patches) for found, i in named(pieces) if found.kind is FeatureKind.GROOVE)
