"""A part's skin cut into patches, with all that is known of them before they are told apart."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from areacalc.estimate import Estimate
from areacalc.shape.kinds import Floats, Ints, Surface
from areacalc.surface.features.border import Borders, Rims
from areacalc.surface.features.creases import Creases
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import Walls


@dataclass(frozen=True, eq=False)
class Skin:
    """All that is known of the skin's patches and the borders between them.

    facet_mm2 (p,): the plain sum of each patch's facets. host (b,) bool: the half-edges of holes in their own patch;
    bore_of (p,): the bore of each patch, -1 for none. drawn (p,): the surfaces, lands that may be a bore's as flats.
    """

    mesh: Creases
    cut: PatchCut
    edge: Borders
    rim: Rims
    wall: Walls
    areas: list[Estimate]
    facet_mm2: Floats
    host: NDArray[np.bool_]
    bore_of: Ints
    drawn: tuple[Surface, ...]

    def with_bores(self, bore_of: Ints) -> Skin:
        """The same with these bores; lands in none of them are flats."""
        both = zip(self.drawn, self.cut.surfaces, (bore_of >= 0).tolist(), strict=True)
        surfaces = tuple(surface if held else drawn for drawn, surface, held in both)
        return replace(self, bore_of=bore_of, cut=replace(self.cut, surfaces=surfaces))

    @cached_property
    def by_bore(self) -> NDArray[np.bool_]:
        """Which patches (p,) border a bore."""
        found = np.zeros(len(self.bore_of), bool)
        found[self.edge.patch[(self.edge.other >= 0) & (self.bore_of[np.maximum(self.edge.other, 0)] >= 0)]] = True
        return found
