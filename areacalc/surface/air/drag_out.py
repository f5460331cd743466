"""Drag-out: the liquid a load carries out, in its cups and as a film on its skin, and the water to rinse it with."""

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


def drag_out_ml(wet_mm2: Estimate, cups_mm3: float) -> Estimate:
    """What skin of this area and cups of this volume carry out at each lift [mL].

    >>> drag_out_ml(Estimate.exact(1e6), 2000.0).value
    83.0
    """
    film, cups_ml = FILM_ML_PER_M2, cups_mm3 * 1e-3
    return Estimate(
        wet_mm2.value * 1e-6 * film.value + cups_ml, wet_mm2.low * 1e-6 * film.low + cups_ml,
        wet_mm2.high * 1e-6 * film.high + cups_ml, ("how well it drains",),
    )  # fmt: skip
