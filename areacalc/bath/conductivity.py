"""How well the bath conducts: strength, temperature, dissolved aluminium; and the volts lost across a gap."""

from __future__ import annotations

import math
from dataclasses import replace

from areacalc.bath.electrolyte import ACID_WT_PCT, BATH_TEMPERATURE, acid_wt_pct, density_kg_per_m3, kelvin
from areacalc.bath.electrolyte import MOLAR_MASS_ACID as ACID
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

TIEDEMANN_NEWMAN = Source(
    Kind.FROM_MEMORY,
    "Tiedemann & Newman, in Battery Design and Optimization, Electrochem. Soc. Proc. 79-1 (1979) 23; its terms in "
    "concentration agree with Gu, Wang & Liaw, J. Electrochem. Soc. 144 (1997) 2053, as coded in PyBaMM",
)
_AGREEMENT = "against the 18 C table of Kohlrausch & Holborn, itself from memory"
NEAR_ROOM = Constant(0.02, "", Source(Kind.DERIVED, f"the equation agrees within 2 % from 10 to 30 C {_AGREEMENT}"))
AWAY_FROM_ROOM = Constant(0.05, "", Source(Kind.DERIVED, f"below 10 and above 30 C 5 %, by its slope {_AGREEMENT}"))
LOSS_PER_ALUMINIUM = Constant(
    0.006, "per g/L",
    Source(Kind.FROM_MEMORY, "a few per cent less for 5 g/L; that it falls in proportion is published: Kunimoto et "
           "al., J. Japan Inst. Light Metals 1953 No. 9, 63"),
    low=0.0, high=0.012,
)  # fmt: skip
_STRONGEST_WT_PCT = 30.5  # where the equation is largest at 18 C; the corners of an interval may lie either side
_OHM = Source(Kind.DERIVED, "Ohm's law between flat faces")


def conductivity_s_per_m(wt_pct: float, temperature_c: float, aluminium_g_per_l: float = 0.0) -> float:
    """Conductivity of 5 to 40 wt% acid from -5 to 40 C [S/m]. Raises OutOfRange.

    kappa [S/cm] = c exp(1.1104 + (199.475 - 16097.8 c) c + (3916.95 - 99406 c - 721960 / T) / T), c in mol/cm3, T in K.
    From memory, see TIEDEMANN_NEWMAN; too low by up to 9 % under 2 wt%, so not for rinse water.

    >>> [round(conductivity_s_per_m(w, t), 1) for w, t in ((15.0, 20.0), (18.0, 20.0), (15.0, 0.0))]
    [55.1, 62.6, 39.5]
    """
    ACID_WT_PCT.check("acid", wt_pct)
    t_k = kelvin(BATH_TEMPERATURE.check("bath temperature", temperature_c))
    c = wt_pct * 1e-5 * density_kg_per_m3(wt_pct, temperature_c) / ACID.value  # mol/cm3
    power = 1.1104 + (199.475 - 16097.8 * c) * c + (3916.95 - 99406.0 * c - 721960.0 / t_k) / t_k
    return 100.0 * c * math.exp(power) * (1.0 - LOSS_PER_ALUMINIUM.value * aluminium_g_per_l)


def trusted_within(temperature_c: float) -> Constant:
    """How far the equation is from an independent table, as a share, at this temperature."""
    return NEAR_ROOM if 10.0 <= temperature_c <= 30.0 else AWAY_FROM_ROOM


def conductivity(acid: Figure, temperature: Figure, aluminium: Figure | None = None) -> Figure:
    """Conductivity [S/m] with its bounds from acid [g/L], temperature [C] and dissolved aluminium [g/L].

    >>> bath = conductivity(given("acid", 180.0, "g/L"), given("temperature", 20.0, "C"))
    >>> [round(x, 1) for x in (bath.estimate.low, bath.estimate.value, bath.estimate.high)]
    [57.1, 58.3, 59.4]
    """
    metal = aluminium or given("dissolved aluminium", 0.0, "g/L")
    share = max(
        (trusted_within(t) for t in (temperature.estimate.low, temperature.estimate.high)), key=lambda c: c.value
    )
    trust = Figure("equation against table", Estimate(1.0, 1.0 - share.value, 1.0 + share.value,
                   "conductivity equation"), "", "1 +/- agreement", share.source)  # fmt: skip
    loss = constant("loss per dissolved aluminium", LOSS_PER_ALUMINIUM)

    def formula(acid_g_per_l: float, t_c: float, al_g_per_l: float, factor: float, loss_per_g_per_l: float) -> float:
        return conductivity_s_per_m(acid_wt_pct(acid_g_per_l), t_c) * factor * (1.0 - loss_per_g_per_l * al_g_per_l)

    figure = worked(
        "conductivity", "S/m", "kappa(acid, temperature) x agreement x (1 - loss x aluminium)", TIEDEMANN_NEWMAN,
        formula, acid, temperature, metal, trust, loss,
    )  # fmt: skip
    return _with_the_top(figure, acid, temperature, share.value)


def _with_the_top(figure: Figure, acid: Figure, temperature: Figure, share: float) -> Figure:
    """The equation has a top near 30 wt%: an interval of strength across it holds more than its corners."""
    low, high = (acid_wt_pct(x) for x in (acid.estimate.low, acid.estimate.high))
    if not low < _STRONGEST_WT_PCT < high:
        return figure
    steps = [low + (high - low) * i / 64 for i in range(65)]
    top = max(conductivity_s_per_m(w, temperature.estimate.high) for w in steps) * (1.0 + share)
    e = figure.estimate
    return replace(figure, estimate=replace(e, high=max(e.high, top)))


def gap_drop(density: Figure, gap: Figure, kappa: Figure) -> Figure:
    """Volts across a gap [mm] of bath between flat faces, from density [A/dm2] and conductivity [S/m].

    >>> made = gap_drop(given("density", 1.5, "A/dm2"), given("gap", 100.0, "mm"), given("kappa", 60.0, "S/m"))
    >>> round(made.estimate.value, 3)
    0.25
    """
    return worked("volts across the bath", "V", "density x distance / conductivity", _OHM,
                  lambda i, mm, k: i * 100.0 * mm * 1e-3 / k, density, gap, kappa)  # fmt: skip
