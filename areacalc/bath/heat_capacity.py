"""Heat capacity of the bath."""

from __future__ import annotations

from areacalc.bath.electrolyte import ACID_WT_PCT, BATH_TEMPERATURE, density_kg_per_m3
from areacalc.bath.table import between_rows
from areacalc.sources import Kind, Source

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
    return between_rows(wt_pct, temperature_c, "laliberte_2009_heat_capacity")


def heat_capacity_kj_per_l_k(wt_pct: float, temperature_c: float) -> float:
    """Heat that warms a litre by a degree [kJ/(L K)].

    >>> round(heat_capacity_kj_per_l_k(18.0, 20.0), 2)
    4.02
    """
    return heat_capacity_j_per_kg_k(wt_pct, temperature_c) * density_kg_per_m3(wt_pct, temperature_c) * 1e-6
