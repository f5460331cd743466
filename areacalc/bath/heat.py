"""Heat of a run: what the current and the oxide give off, how fast the bath warms, and what takes it out again."""

from __future__ import annotations

from dataclasses import replace

from areacalc.bath.electrolyte import BOILING, acid_wt_pct
from areacalc.bath.heat_capacity import LALIBERTE_2009, heat_capacity_kj_per_l_k
from areacalc.errors import BadInput, CannotRun
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

DISSOLVED_TERM = Constant(
    1.834476, "V",
    Source(Kind.DERIVED, "2 Al + 6 H+ -> 2 Al3+ + 3 H2, enthalpy of formation of Al3+ -531 kJ/mol (CRC), over 6 F"),
)  # fmt: skip
CHEMICAL_TERM = Constant(
    1.413384, "V",
    Source(Kind.DERIVED, "2 Al + 3 H2O -> Al2O3 + 3 H2, enthalpies of formation -1675.7 and -285.825 kJ/mol (CRC, in "
           "chemicals 1.5.2), over 6 F; amorphous oxide gives a few per cent less, metal that dissolves 1.834"),
    high=DISSOLVED_TERM.value,
)  # fmt: skip
ICE_HEAT = Constant(333.6, "kJ/kg", Source(Kind.PUBLISHED, "heat of fusion of water, 6.010 kJ/mol, chemicals 1.5.2"))
WATER_HEAT_CAPACITY = Constant(
    4.18, "kJ/(kg K)", Source(Kind.PUBLISHED, "heat capacity of water between 5 and 30 C, handbooks, to 3 figures")
)
BALANCE = Source(
    Kind.DERIVED, "heat balance of the bath; walls and air left out and a ramp counted at full current, so the most"
)
CHILLED_RISE_K = 5.0
W_PER_BTU_PER_H = 1055.05585262 / 3600.0


def heat_w(current_a: float, voltage_v: float) -> float:
    """Heat of a run [W]: I (V + 1.413), V at the tank; the chemical term is the oxide's. Derived.

    >>> round(heat_w(15.0, 15.0), 1)
    246.2
    """
    return current_a * (voltage_v + CHEMICAL_TERM.value)


def heat(current: Figure, voltage: Figure) -> Figure:
    """Heat into the bath [W] from current [A] and voltage at the tank [V], up to that of metal that dissolves."""
    return worked("heat into the bath", "W", "current x (voltage + chemical term)", CHEMICAL_TERM.source,
                  lambda i, v, term: i * (v + term), current, voltage,
                  constant("chemical term", CHEMICAL_TERM))  # fmt: skip


def heat_held(volume: Figure, acid: Figure, temperature: Figure) -> Figure:
    """Heat that warms the whole bath by a degree [kJ/K], from volume [L], acid [g/L] and temperature [C]."""
    if volume.estimate.low <= 0.0:
        raise BadInput("bath volume", f"{volume.estimate.low:g} L holds no heat", "give a volume above zero")
    return worked(
        "heat held by the bath", "kJ/K", "volume x density x heat capacity", LALIBERTE_2009,
        lambda v, c, t: v * heat_capacity_kj_per_l_k(acid_wt_pct(c), t), volume, acid, temperature,
    )  # fmt: skip


def warming(
    heat_in: Figure, time: Figure, held: Figure, cooling: Figure | None = None, temperature: Figure | None = None
) -> Figure:
    """How much the bath warms [K] in a time [s] with heat in [W], heat held [kJ/K] and cooling [W, none unless given].

    Never below zero: cooling is taken to be switched by a thermostat. Where the bath's temperature [C] is given, no
    further than to the boil.
    """
    out = cooling or given("cooling", 0.0, "W")
    up = worked("bath warms by", "K", "(heat - cooling) x time / heat held", BALANCE,
                lambda q, t, c, out: max(q - out, 0.0) * t / (1e3 * c), heat_in, time, held, out)  # fmt: skip
    if temperature is None or up.estimate.high + temperature.estimate.high <= BOILING.value:
        return up
    return worked("bath warms by", "K", "heat for its warming, up to the boil", BALANCE,
                  lambda k, boil, now: min(k, boil - now), replace(up, name="heat for its warming"),
                  constant("boiling point", BOILING), temperature)  # fmt: skip


def time_to_boil(heat_in: Figure, held: Figure, temperature: Figure, cooling: Figure | None = None) -> Figure | None:
    """How long until the bath boils [s], or None where the cooling always keeps up."""
    to_go = worked("warming to the boil", "K", "boiling point - bath now", BALANCE, lambda boil, now: boil - now,
                   constant("boiling point", BOILING), temperature)  # fmt: skip
    return time_in_band(heat_in, to_go, held, cooling)


def time_in_band(heat_in: Figure, band: Figure, held: Figure, cooling: Figure | None = None) -> Figure | None:
    """How long until the bath has warmed by the band [K]: [s], or None where the cooling always keeps up.

    Where cooling may or may not keep up, the figure is for the heat that is left in the worst case throughout.
    """
    out = cooling or given("cooling", 0.0, "W")
    if heat_in.estimate.high <= out.estimate.low:
        return None
    least = heat_in.estimate.low - out.estimate.high
    inputs = (heat_in, band, held, out)
    if least <= 0.0:
        worst = Estimate.exact(heat_in.estimate.high)
        inputs = (Figure("heat, at most", worst, "W", "upper bound", BALANCE, (heat_in,)), band, held,
                  given("cooling, at least", out.estimate.low, "W"))  # fmt: skip
    return worked("time in the band", "s", "band x heat held / (heat - cooling)", BALANCE,
                  lambda q, k, c, w: k * 1e3 * c / (q - w), *inputs)  # fmt: skip


def cooling_wanted(heat_in: Figure, time: Figure, band: Figure, held: Figure) -> Figure:
    """Cooling that keeps the bath inside its band over the run [W]: the heat, less what the band itself takes up."""
    return worked("cooling wanted", "W", "heat - band x heat held / time, at least 0", BALANCE,
                  lambda q, t, k, c: max(q - k * 1e3 * c / t, 0.0), heat_in, time, band, held)  # fmt: skip


def ice_kg(heat_j: float, bath_c: float) -> float:
    """Ice in closed bottles that takes up a heat, melting and warming to the bath's temperature [kg].

    >>> round(ice_kg(1e6, 20.0), 2)
    2.4
    """
    return heat_j * 1e-3 / (ICE_HEAT.value + WATER_HEAT_CAPACITY.value * max(bath_c, 0.0))


def ice(cooling: Figure, time: Figure, temperature: Figure) -> Figure:
    """Ice in closed bottles [kg] for a cooling [W] over a time [s] in a bath at a temperature [C].

    Raises CannotRun in a bath that is not warmer than ice.
    """
    if temperature.estimate.low <= 1.0:
        raise CannotRun("ice", f"a bath at {temperature.estimate.low:g} C is no warmer than ice", "use a chiller")
    return worked("ice in closed bottles", "kg", "cooling x time / (heat of fusion + heat capacity x bath)",
                  ICE_HEAT.source, lambda q, t, c: ice_kg(q * t, c), cooling, time, temperature)  # fmt: skip


def chilled_water(cooling: Figure, rise_k: float = CHILLED_RISE_K) -> Figure:
    """Chilled water through a coil [L/min] for a cooling [W] at a rise of its own temperature, 5 K unless told.

    A bath that is not warmer than the rise above ice wants brine instead.

    >>> round(chilled_water(given("cooling", 246.2, "W")).estimate.value, 2)
    0.71
    """
    if rise_k <= 0.0:
        raise BadInput("chilled water", f"a rise of {rise_k:g} K takes no heat", "give a rise above zero, such as 5 K")
    return worked("chilled water through a coil", "L/min", "cooling / (heat capacity x rise)", BALANCE,
                  lambda q, k, c: q * 60.0 / (1e3 * c * k), cooling, given("rise of the water", rise_k, "K"),
                  constant("heat capacity of water", WATER_HEAT_CAPACITY))  # fmt: skip


def refuse_uncooled_hard_coating(cooling_w: float, heat_w: float) -> None:
    """Raises CannotRun for a hard coating with no cooling, or with less than the heat of the run."""
    if cooling_w >= heat_w:
        return
    cooled = "nothing cools the bath" if cooling_w <= 0.0 else f"the cooling takes {cooling_w:.0f} W"
    raise CannotRun(
        "hard coating", f"{cooled} and the run gives off {heat_w:.0f} W",
        "cool it by that much and agitate, or choose another density window",
    )  # fmt: skip
