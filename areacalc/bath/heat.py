"""Heat of a run: what current and oxide give off, how warm the surface stands for it, what warms and cools the bath.

The heat is made at the part's surface and leaves through the acid beside it, so the surface is warmer than the bath: by
the heat over the coefficient of heat transfer. The coefficients are worked out from correlations of other fields; no
measured one of an anodising bath was found.
"""

from enum import StrEnum

import numpy as np

from areacalc.arrays import Number
from areacalc.bath.electrolyte import ACID_WT_PCT, BATH_TEMPERATURE, ROOM_C, acid_wt_pct, density_kg_per_m3
from areacalc.bath.table import between, columns
from areacalc.errors import BadInput, CannotRun
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

LALIBERTE_2009 = Source(
    Kind.PUBLISHED,
    "Laliberte, J. Chem. Eng. Data 54 (2009) 1725, as returned by thermo 0.6.1, electrochem.Laliberte_heat_capacity",
)


def heat_capacity_j_per_kg_k(wt_pct: float, temperature_c: float) -> float:
    """Heat capacity of 5 to 40 wt% acid from -5 to 40 C [J/(kg K)], straight between rows 5 wt% and 5 K apart.

    Raises OutOfRange.

    >>> round(heat_capacity_j_per_kg_k(15.0, 20.0))
    3682
    """
    ACID_WT_PCT.check("acid", wt_pct)
    BATH_TEMPERATURE.check("bath temperature", temperature_c)
    table = columns("laliberte_2009_heat_capacity")
    rows = {float(head[3:-2]): row for head, row in table.items() if head.startswith("at_")}  # at_-5_c, at_0_c, ...
    return between(temperature_c, list(rows), [between(wt_pct, table["wt_pct"], row) for row in rows.values()])


def heat_capacity_kj_per_l_k(wt_pct: float, temperature_c: float) -> float:
    """Heat that warms a litre by a degree [kJ/(L K)]."""
    return heat_capacity_j_per_kg_k(wt_pct, temperature_c) * density_kg_per_m3(wt_pct, temperature_c) * 1e-6


class Agitation(StrEnum):
    STILL = "still"
    AIR = "air"
    PUMP = "pump"


DEFAULT_AGITATION = Agitation.AIR
_PLATE = "Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323, from memory: a plate 100 mm high in 17 wt% acid"
STILL_POWER = 0.305
TRANSFER: dict[Agitation, Constant] = {
    Agitation.STILL: Constant(
        293.0, "W/(m2 K)", Source(
            Kind.DERIVED, f"{_PLATE} at 20 C, at a rise of 1 K; it grows as the rise to the {STILL_POWER}, within 1 % "
            "from 2 to 30 K; the width is that of the correlation and of other sizes"), 220.0, 380.0),
    Agitation.AIR: Constant(
        1000.0, "W/(m2 K)", Source(
            Kind.DERIVED, "20 C; between still acid and a fully bubbled column, 1520 to 2490 for 5 to 36 m3/h of air a "
            "m2 of bath by Deckwer's correlation, from memory"), 500.0, 2000.0),
    Agitation.PUMP: Constant(
        2000.0, "W/(m2 K)", Source(
            Kind.DERIVED, "20 C; laminar flow along 100 mm, 0.664 Re^0.5 Pr^(1/3), from memory: 690 at 0.1 m/s, 2180 "
            "at 1 m/s"), 700.0, 2500.0),
}  # fmt: skip
"""Heat transfer from surface to bath; of still acid at a rise of 1 K."""
COLD = Constant(
    0.008, "1/K", Source(Kind.DERIVED, "cold acid is thicker: all three correlations give 13 to 17 % less at 0 C")
)


def surface_rise_k(
    heat_w_per_dm2: Number, bath_c: Number, agitation: Agitation, transfer_w_per_m2_k: Number | None = None
) -> Number:
    """How far the surface stands above the bath [K] for the heat made on it; arrays as well. Derived.

    Moved acid carries off at least as much as still acid does.

    >>> [round(float(surface_rise_k(24.6, 20.0, way)), 1) for way in Agitation]
    [5.1, 2.5, 1.2]
    """
    still = TRANSFER[Agitation.STILL].value
    own = TRANSFER[agitation].value if transfer_w_per_m2_k is None else transfer_w_per_m2_k
    flux = 100.0 * heat_w_per_dm2 / (1.0 + COLD.value * (bath_c - ROOM_C))
    power = 1.0 / (1.0 + STILL_POWER)
    if agitation is Agitation.STILL:
        return (flux / own) ** power  # type: ignore[no-any-return]
    moved: Number = np.minimum(flux / own, (flux / still) ** power)
    return moved


DISSOLVED_TERM = Constant(
    1.834476, "V",
    Source(Kind.DERIVED, "2 Al + 6 H+ -> 2 Al3+ + 3 H2, enthalpy of formation of Al3+ -531 kJ/mol (CRC), over 6F"),
)  # fmt: skip
CHEMICAL_TERM = Constant(
    1.413384, "V",
    Source(Kind.DERIVED, "2 Al + 3 H2O -> Al2O3 + 3 H2, enthalpies of formation -1675.7 and -285.825 kJ/mol (CRC, in "
           "chemicals 1.5.2), over 6F; amorphous oxide gives a few per cent less, metal that dissolves 1.834"),
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


def ice(cooling: Figure, time: Figure, temperature: Figure) -> Figure:
    """Ice in closed bottles [kg] for a cooling [W] over a time [s] in a bath at a temperature [C].

    Raises CannotRun in a bath that is not warmer than ice.

    >>> made = ice(given("cooling", 1e3, "W"), given("time", 1e3, "s"), given("bath", 20.0, "C"))
    >>> round(made.estimate.value, 2)
    2.4
    """

    def formula(cooling_w: float, time_s: float, bath_c: float) -> float:
        return cooling_w * time_s * 1e-3 / (ICE_HEAT.value + WATER_HEAT_CAPACITY.value * max(bath_c, 0.0))

    if temperature.estimate.low <= 1.0:
        raise CannotRun("ice", f"a bath at {temperature.estimate.low:g} C is no warmer than ice", "use a chiller")
    return worked("ice in closed bottles", "kg", "cooling x time / (heat of fusion + heat capacity x bath)",
                  ICE_HEAT.source, formula, cooling, time, temperature)  # fmt: skip


def chilled_water(cooling: Figure) -> Figure:
    """Chilled water through a coil [L/min] for a cooling [W] at a rise of its own temperature of 5 K.

    A bath that is not warmer than the rise above ice wants brine instead.

    >>> round(chilled_water(given("cooling", 246.2, "W")).estimate.value, 2)
    0.71
    """
    return worked("chilled water through a coil", "L/min", "cooling / (heat capacity x rise)", BALANCE,
                  lambda q, k, c: q * 60.0 / (1e3 * c * k), cooling, given("rise of the water", CHILLED_RISE_K, "K"),
                  constant("heat capacity of water", WATER_HEAT_CAPACITY))  # fmt: skip
