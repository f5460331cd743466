"""A part's skin cut into patches, with all that is known of them before they are told apart."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from areacalc.estimate import Estimate
from areacalc.shape.kinds import Ints, Surface, Truths
from areacalc.surface.features.border import Rims
from areacalc.surface.features.patches import PatchCut
from areacalc.surface.features.walls import Walls


@dataclass(frozen=True, eq=False)
class Skin:
    """All that is known of the skin's patches.

    host (b,) bool: the half-edges of holes in their own patch; bore_of (p,): the bore of each patch, -1 for none. drawn
    (p,): the surfaces, lands that may be a bore's as flats.
    """

    cut: PatchCut
    rim: Rims
    wall: Walls
    areas: list[Estimate]
    host: Truths
    bore_of: Ints
    drawn: tuple[Surface, ...]

    def with_bores(self, bore_of: Ints) -> Skin:
        """The same with these bores; lands in none of them are flats."""
        both = zip(self.drawn, self.cut.surfaces, (bore_of >= 0).tolist(), strict=True)
        surfaces = tuple(surface if held else drawn for drawn, surface, held in both)
        return replace(self, bore_of=bore_of, cut=self.cut.on(surfaces))

    @cached_property
    def by_bore(self) -> Truths:
        """Which patches (p,) border a bore."""
        found = np.zeros(len(self.bore_of), bool)
        edge = self.cut.edge
        found[edge.patch[edge.inner & (self.bore_of[edge.beside] >= 0)]] = True
        return found
