"""The heat of a load: how far the bath warms, how long it stays in its band, and the cooling that keeps it there."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.heat import (
    CHILLED_RISE_K,
    chilled_water,
    cooling_wanted,
    heat,
    heat_held,
    ice,
    time_in_band,
    time_to_boil,
    warming,
)
from areacalc.figure import Figure, given, given_or_none, worked
from areacalc.load.load import BathToday
from areacalc.sources import Kind, Source

_SUM = Source(Kind.DERIVED, "the bath before the run and what it warms by; walls and air left out, so it is the most")


@dataclass(frozen=True, slots=True)
class HeatPlan:
    """Heat [W], warming [K], the bath at the end [C], time in the band [s, None: for ever], cooling [W].

    ice [kg] in closed bottles or chilled water [L/min] would give that cooling; None where none is wanted. boils [s]:
    when it would, None where the run is over before.
    """

    heat: Figure
    held: Figure
    warming: Figure
    end: Figure
    in_band: Figure | None
    cooling: Figure
    ice: Figure | None
    chilled: Figure | None
    boils: Figure | None = None


def plan_heat(
    current: Figure, volts: Figure, time: Figure, volume: Figure, bath: BathToday, acid: Figure, temperature: Figure
) -> HeatPlan:
    """From current [A], volts over the run [V], time [s], liquid [L] and the bath as it is."""
    made = heat(current, volts)
    held = heat_held(volume, acid, temperature)
    band = given("warming allowed", bath.band_k, "K")
    cooling = given_or_none("cooling", bath.cooling_w, "W")
    up = warming(made, time, held, cooling, temperature)
    end = worked("bath at the end", "C", "bath now + warming", _SUM, lambda t, k: t + k, temperature, up)
    wanted = cooling_wanted(made, time, band, held)
    boils = time_to_boil(made, held, temperature, cooling)
    needs = wanted.estimate.high > 0.0
    return HeatPlan(made, held, up, end, time_in_band(made, band, held, cooling), wanted,
                    ice(wanted, time, temperature) if needs and bath.temperature_c > 1.0 else None,
                    chilled_water(wanted) if needs and bath.temperature_c > CHILLED_RISE_K + 1.0 else None,
                    boils if boils and boils.estimate.value < time.estimate.value else None)  # fmt: skip
