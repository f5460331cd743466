"""The etch of a matte load: the metal it takes off, what it gives off."""

from __future__ import annotations

from areacalc.bath.etch import Etch, etched, lost_in, rate
from areacalc.figure import Figure, given
from areacalc.run.load import Load, Look


def plan_etch(load: Load, area: Figure) -> Etch | None:
    """What the etch takes off the wet area [mm2]; None for a load that is left glossy."""
    finish = load.finish
    if finish.look is not Look.MATTE:
        return None
    speed = rate(given("caustic soda", finish.etch_g_per_l, "g/L"), given("etch bath", finish.etch_c, "C"))
    return etched(lost_in(speed, given("time in the etch", finish.etch_min * 60.0, "s")), area)
