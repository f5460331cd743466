"""The volts of a load: the law put through what was seen, at the start and the end, and what the supply must give."""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.bath.film import DEFAULT_RULE, ThicknessRule
from areacalc.bath.voltage import Polarisation, end_voltage, rise_per_um
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given, given_or_none, worked
from areacalc.load.load import BathToday
from areacalc.plan.current import CurrentPlan
from areacalc.plant.supply import Demand, Mode, Supply
from areacalc.sources import Kind, Source

_SERIES = Source(Kind.DERIVED, "rack and tank are in series")
_HELD = Source(Kind.DERIVED, "the supply holds its volts, and the current falls as the film grows")
_MEAN = Source(Kind.DERIVED, "the volts climb evenly with the film at steady current")


@dataclass(frozen=True, slots=True)
class VoltsPlan:
    """Volts at the tank [V] at the start and the end of a run at the current set, and over it; with the rack's drop.

    Every voltage is within the power supply's limit; one that holds its volts ends with those it began with.
    """

    start: Figure
    end: Figure
    mean: Figure
    at_supply: Figure


def plan_volts(
    law: Polarisation, density: Figure, film: Figure, temperature: Figure, acid: Figure, drop: Figure | None,
    supply: Supply | None = None,
) -> VoltsPlan:  # fmt: skip
    """Volts from density [A/dm2], film at the end [um], bath [C, g/L] and the rack's drop [V, None: unknown]."""
    start = replace(law.voltage(density, temperature, acid), name="voltage at the start")
    end = end_voltage(start, film, temperature.estimate.value)
    if supply is not None:
        start, end = (_given_by(supply, volts, drop) for volts in (start, end))
        if supply.mode is Mode.VOLTAGE:
            end = Figure("voltage at the end", start.estimate, "V", "held by the supply", _HELD, (start,))
    mean = worked("voltage over the run", "V", "mean of start and end", _MEAN, lambda a, b: 0.5 * (a + b), start, end)
    at_supply = replace(end, name="voltage at the supply") if drop is None else worked(
        "voltage at the supply", "V", "voltage at the end + drop along the rack", _SERIES, lambda v, d: v + d, end, drop
    )  # fmt: skip
    return VoltsPlan(start, end, mean, at_supply)


def _given_by(supply: Supply, volts: Figure, drop: Figure | None) -> Figure:
    """The volts, as far as the supply's limit lets them, less what the rack takes of it."""
    if volts.estimate.high + (drop.estimate.high if drop else 0.0) <= supply.limit_v:
        return volts
    limit = given("the supply's voltage limit", supply.limit_v, "V")
    return worked(volts.name, "V", "what the current wants, at most the supply's limit - drop along the rack", _SERIES,
                  lambda v, most, d: min(v, most - d), replace(volts, name="volts that the current wants"), limit,
                  drop or given_or_none("drop along the rack", 0.0, "V"))  # fmt: skip


def most_volts(
    law: Polarisation, currents: CurrentPlan, film: Figure, temperature: Figure, acid: Figure, series_ohm: float
) -> float:
    """The most that the top of the density window may ask of a supply [V], with film [um] and rack [ohm]."""
    top = given("most density", currents.window.most_a_per_dm2, "A/dm2", currents.window.source)
    end = end_voltage(law.voltage(top, temperature, acid), film, temperature.estimate.value)
    return end.estimate.high + currents.most.estimate.high * series_ohm


def demand(
    law: Polarisation, bath: BathToday, area_mm2: float, shift_v: float = 0.0, rule: ThicknessRule = DEFAULT_RULE
) -> Demand:
    """Volts at the tank for a current [A] after a charge [C] over an area [mm2]; shift_v moves the law up or down."""
    rise = rise_per_um(bath.temperature_c).value
    dm2 = area_mm2 * 1e-4

    def volts(current_a: float, charge_c: float) -> float:
        film = charge_c / 60.0 / dm2 * rule.film_per_charge.value
        return max(0.0, law.volts_v(current_a / dm2, bath.temperature_c, bath.acid_g_per_l) + shift_v + rise * film)

    return volts


def shifts_v(start: Estimate) -> tuple[float, float]:
    """How far the law may lie below and above its value [V], from the volts at the start."""
    return start.low - start.value, start.high - start.value
