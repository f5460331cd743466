"""The etch of a matte load: the metal it takes off, what it gives off."""

from __future__ import annotations

from areacalc.bath.etch import Etch, etch_warms, etched, lost_by_weight, lost_in, rate
from areacalc.digits import three
from areacalc.errors import CannotRun
from areacalc.figure import Figure, given
from areacalc.load.load import Load, SurfaceFinish

MOST_LOST_UM = 1000.0
"""Chosen: a matte etch takes micrometres to tens of them; a millimetre off every face is no finish."""


def plan_etch(load: Load, area: Figure) -> Etch | None:
    """What the etch takes off the wet area [mm2]; None for a load that is left glossy.

    Raises CannotRun for an etch that eats the parts.
    """
    etching = load.finish.etching
    if load.finish.surface is not SurfaceFinish.MATTE:
        return None
    if etching.trial_loss_g is not None and etching.trial_area_mm2 is not None:
        lost = lost_by_weight(etching.trial_loss_g, etching.trial_area_mm2)
    else:
        speed = rate(given("caustic soda", etching.caustic_g_per_l, "g/L"), given("etch", etching.temperature_c, "C"))
        lost = lost_in(speed, given("time in the etch", etching.minutes * 60.0, "s"))
    if lost.estimate.low > MOST_LOST_UM:
        said = f"the etch takes {three(lost.estimate.value / 1000.0)} mm off every face"
        raise CannotRun(load.source or load.name, said, "etch for minutes, or weigh the trial piece again")
    return etched(lost, area)


def etch_figures(load: Load, etch: Etch) -> dict[str, Figure]:
    """The figures of an etch by the names that `explain` takes; how its bath warms where its volume is told."""
    bath_l = load.finish.etching.bath_l
    warms = {"etch-warming": etch_warms(etch.heat, given("etch bath", bath_l, "L"))} if bath_l else {}
    return {"etch-lost": etch.lost, "etch-caustic": etch.caustic_used, "etch-hydrogen": etch.hydrogen,
            "etch-heat": etch.heat, **warms}  # fmt: skip
