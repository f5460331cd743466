"""A tube split after a run and its film measured: the slope of volts by which the current shares itself out."""

import math
from dataclasses import dataclass

from areacalc.bath.film import GAUGE_UM
from areacalc.errors import BadInput
from areacalc.figure import Figure
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, Bore, bore_line

_LEAST_MM, _MOST_MM = 1.0, 1e7
_EVEN = 0.98


@dataclass(frozen=True, slots=True)
class SplitTube:
    """A bore, the film outside and where it is least [um], and the density of that run on the outside [A/dm2].

    Raises BadInput for films that tell no slope: no thinner inside, or too alike to tell.
    """

    bore: Bore
    outside_um: float
    least_um: float
    density_a_per_dm2: float

    def __post_init__(self) -> None:
        off = GAUGE_UM.value
        if self.least_um <= off or (self.least_um + off) >= _EVEN * (self.outside_um - off):
            what = f"{self.least_um:g} um inside and {self.outside_um:g} um outside tell no slope, each to {off:g} um"
            raise BadInput("split tube", what, "split a longer or narrower tube, or run it for a thicker coating")


def slope_of(tube: SplitTube, kappa: Figure, rise: Constant, within_um: float = GAUGE_UM.value) -> Constant:
    """V0 [V] that makes the film of a split tube, at a conductivity [S/m] and a rise of volts with the film [V/um].

    The tube tells conductivity x V0, so each end stands with the conductivity's own; its width is that of the gauge,
    right to within_um, and of how the mouth spreads.
    """
    k, off = kappa.estimate, within_um
    asked = (
        (tube.least_um / tube.outside_um, k.value, IN_A_FACE),
        ((tube.least_um - off) / (tube.outside_um + off), k.low, AT_A_THIN_END),
        ((tube.least_um + off) / (tube.outside_um - off), k.high, IN_A_FACE),
    )
    value, low, high = (_slope_v(tube, share, at, rise.value, mouth) for share, at, mouth in asked)
    words = f"the tube you split: {tube.least_um:g} um where the outside has {tube.outside_um:g} um"
    return Constant(value, "V", Source(Kind.ENTERED, words), min(low, value), max(high, value))


def _slope_v(tube: SplitTube, share: float, kappa_s_per_m: float, rise_v_per_um: float, mouth: Constant) -> float:
    """V0 by halving the Wagner length in its logarithm: a longer one always brings more film to the deep end."""
    film_mm = 5.0 * kappa_s_per_m * rise_v_per_um * tube.outside_um / tube.density_a_per_dm2
    low, high = math.log(_LEAST_MM), math.log(_MOST_MM)
    for _ in range(60):
        middle = 0.5 * (low + high)
        found = bore_line(tube.bore, math.exp(middle), film_mm, mouth).least
        low, high = (middle, high) if found < share else (low, middle)
    return math.exp(low) * tube.density_a_per_dm2 / (10.0 * kappa_s_per_m)
