"""Drag-out: the liquid a load carries out, in its cups and as a film on its skin, and the water to rinse it with."""

from dataclasses import dataclass

from areacalc.estimate import Estimate
from areacalc.sources import Constant, Kind, Source

_HANDBOOK = Source(
    Kind.FROM_MEMORY, "drag-out by drainage, in US gallons a thousand square feet (Graham, Electroplating Engineering "
    "Handbook, and US EPA pollution prevention guides, as remembered)",
)  # fmt: skip
FILM_ML_PER_M2 = Constant(81.0, "mL/m2", _HANDBOOK, 16.0, 163.0)
"""Hung upright: well drained 16, poorly 81 (taken), very poorly 163; none of them a limit."""

RINSE = Constant(600.0, "L/L", Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2013, page 711"))
"""Litres of rinse water for each litre of drag-out."""


@dataclass(frozen=True, slots=True)
class DragOut:
    """Carried out [mL]: in cups and bores, as a film, together; rinse_l: the water that rinses it."""

    cups_ml: float
    film_ml: Estimate
    total_ml: Estimate
    rinse_l: Estimate


def drag_out(wet_mm2: Estimate, cups_mm3: float) -> DragOut:
    """What skin of this area and cups of this volume carry out at each lift.

    >>> drag_out(Estimate.exact(1e6), 2000.0).total_ml.value
    83.0
    """
    least, most = FILM_ML_PER_M2.low, FILM_ML_PER_M2.high
    film = Estimate(
        wet_mm2.value * 1e-6 * FILM_ML_PER_M2.value, wet_mm2.low * 1e-6 * least, wet_mm2.high * 1e-6 * most,
        "how well it drains",
    )  # fmt: skip
    cups = cups_mm3 * 1e-3
    whole = Estimate(film.value + cups, film.low + cups, film.high + cups, film.because)
    return DragOut(cups, film, whole, whole.scaled(RINSE.value * 1e-3))
