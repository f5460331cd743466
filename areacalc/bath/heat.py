"""Heat of a run: what the current and the oxide give off, what warms the bath by a degree, and what takes it out."""

from __future__ import annotations

from areacalc.bath.electrolyte import acid_wt_pct
from areacalc.bath.heat_capacity import LALIBERTE_2009, heat_capacity_kj_per_l_k
from areacalc.errors import BadInput, CannotRun
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
BALANCE = Source(Kind.DERIVED, "heat balance of the bath; walls and air left out, so the most")
CHILLED_RISE_K = 5.0
W_PER_BTU_PER_H = 1055.05585262 / 3600.0


def heat_held(volume: Figure, acid: Figure, temperature: Figure) -> Figure:
    """Heat that warms the whole bath by a degree [kJ/K], from volume [L], acid [g/L] and temperature [C]."""
    if volume.estimate.low <= 0.0:
        raise BadInput("bath volume", f"{volume.estimate.low:g} L holds no heat", "give a volume above zero")
    return worked(
        "heat held by the bath", "kJ/K", "volume x density x heat capacity", LALIBERTE_2009,
        lambda v, c, t: v * heat_capacity_kj_per_l_k(acid_wt_pct(c), t), volume, acid, temperature,
    )  # fmt: skip


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
