"""Dilute sulphuric acid as a bath: g/L, wt%, mol/L, what a hydrometer shows, when it freezes, how well it conducts.

The fraction by weight is what stays the same when a bath warms; g/L is meant at 20 C unless a temperature is given.
"""

import math
from dataclasses import dataclass, replace

from areacalc.arrays import Number
from areacalc.bath.table import between, columns, segment
from areacalc.errors import BadInput, OutOfRange
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given_or_none, worked
from areacalc.quantity import ABSOLUTE_ZERO_C
from areacalc.sources import Constant, Kind, Source, Valid

ICT_1928 = Source(
    Kind.PUBLISHED, "International Critical Tables (1928), densities of sulphuric acid, straight in temperature; read "
    "in the source of an atmosphere model (CARMA, sulfate_utils)",
)  # fmt: skip
OD_1002 = Source(
    Kind.PUBLISHED, "freezing points of battery acid by relative density, US Army OD1002 and service manuals, to 1-2 F"
)
ACID_WT_PCT = Valid(5.0, 40.0, "wt%", ICT_1928)
BATH_TEMPERATURE = Valid(
    -5.0, 40.0, "C", Source(Kind.DERIVED, "the conductivity and heat capacity used here are checked from -5 to 40 C")
)
BOILING = Constant(
    99.97, "C", Source(
        Kind.PUBLISHED, "IAPWS-95: water at 1013 hPa; bath acid boils a few degrees higher, which is left out"),
)  # fmt: skip
MOLAR_MASS_ACID = Constant(98.07, "g/mol", Source(Kind.PUBLISHED, "IUPAC atomic masses 2021: 2 H + S + 4 O"))
_IAPWS = Source(Kind.PUBLISHED, "IAPWS-95: density of water at 1 atm")
WATER_AT_60_F = Constant(0.99902, "g/cm3", _IAPWS)
WATER_AT_25_C = Constant(0.99705, "g/cm3", _IAPWS)
HEAVY_SCALE = Constant(
    145.0, "", Source(Kind.PUBLISHED, "degrees Baume of liquids heavier than water, US scale: 145 - 145 / sg at 60 F")
)
ROOM_C = 20.0
IN_A_ROOM = Source(Kind.ASSUMED, "a room of 20 C")
SIXTY_F_C = (60.0 - 32.0) / 1.8


def kelvin(temperature_c: Number) -> Number:
    """C in K; arrays as well."""
    return temperature_c - ABSOLUTE_ZERO_C


def density_kg_per_m3(wt_pct: float, temperature_c: float = ROOM_C) -> float:
    """Density of 5 to 40 wt% acid [kg/m3, the same as g/L]. Raises OutOfRange.

    Published: International Critical Tables (1928). Lines in T at each row, straight between rows.

    >>> [round(density_kg_per_m3(w), 1) for w in (10.0, 20.0, 40.0)]
    [1065.8, 1139.4, 1302.8]
    """
    ACID_WT_PCT.check("acid", wt_pct)
    BATH_TEMPERATURE.check("bath temperature", temperature_c)
    return between(wt_pct, columns("ict_1928_density")["wt_pct"], _density_rows(temperature_c))


def _density_rows(temperature_c: float) -> list[float]:
    table = columns("ict_1928_density")
    t_k = kelvin(temperature_c)
    return [1e3 * (c0 + c1 * t_k) for c0, c1 in zip(table["c0_g_per_cm3"], table["c1_g_per_cm3_k"], strict=True)]


def acid_g_per_l(wt_pct: float, temperature_c: float = ROOM_C) -> float:
    """wt% in g/L."""
    return wt_pct * 1e-2 * density_kg_per_m3(wt_pct, temperature_c)


def acid_wt_pct(acid_g_per_l: float, temperature_c: float = ROOM_C) -> float:
    """g/L in wt%: the root of w rho(w) / 100 = c, exact on each straight piece. Raises OutOfRange.

    >>> [round(acid_wt_pct(c), 2) for c in (100.0, 165.0, 200.0, 250.0)]
    [9.42, 14.97, 17.81, 21.69]
    """
    BATH_TEMPERATURE.check("bath temperature", temperature_c)
    wt, rho = columns("ict_1928_density")["wt_pct"], _density_rows(temperature_c)
    held = [w * 1e-2 * r for w, r in zip(wt, rho, strict=True)]
    if not held[0] * (1 - 1e-12) <= acid_g_per_l <= held[-1] * (1 + 1e-12):
        what = (f"{acid_g_per_l:g} g/L is outside {held[0]:.0f} to {held[-1]:.0f} g/L, which is {wt[0]:g} to "
                f"{wt[-1]:g} wt% at {temperature_c:g} C")  # fmt: skip
        raise OutOfRange("acid", what, "give a strength inside; a bath is 150 to 225 g/L")
    i = segment(acid_g_per_l, held)
    slope = (rho[i + 1] - rho[i]) / (wt[i + 1] - wt[i])
    b = rho[i] - slope * wt[i]
    root = (-b + math.sqrt(b * b + 400.0 * slope * acid_g_per_l)) / (2.0 * slope)
    return min(max(root, wt[0]), wt[-1])


def acid_mol_per_l(acid_g_per_l: float) -> float:
    """g/L in mol/L."""
    return acid_g_per_l / MOLAR_MASS_ACID.value


def acid_g_per_l_from_mol(acid_mol_per_l: float) -> float:
    return acid_mol_per_l * MOLAR_MASS_ACID.value


def wt_pct_at_density(density_g_per_cm3: float, temperature_c: float = 25.0) -> float:
    """wt% of an acid of a density at a temperature [C]. Raises OutOfRange for a density outside 5 to 40 wt%.

    >>> round(wt_pct_at_density(1.265), 1)
    36.0
    """
    return _wt_pct(density_g_per_cm3, temperature_c, 1.0, " g/cm3")


def _wt_pct(shown: float, temperature_c: float, water_g_per_cm3: float, unit: str) -> float:
    """wt% of an acid by its density over that of water. Raises OutOfRange with the ends as they would be shown."""
    BATH_TEMPERATURE.check("acid temperature", temperature_c)
    rho = [1e-3 * row / water_g_per_cm3 for row in _density_rows(temperature_c)]
    if not rho[0] * (1 - 1e-12) <= shown <= rho[-1] * (1 + 1e-12):
        ends = f"{rho[0]:.3f} to {rho[-1]:.3f}, 5 to 40 wt% at {temperature_c:.3g} C"
        raise OutOfRange("acid density", f"{shown:g}{unit} is outside {ends}", "give the strength in wt%")
    return between(min(max(shown, rho[0]), rho[-1]), rho, columns("ict_1928_density")["wt_pct"])


def relative_density(wt_pct: float, temperature_c: float = SIXTY_F_C) -> float:
    """What a hydrometer marked for 60 F shows in an acid at a temperature [C]. Raises OutOfRange.

    >>> round(relative_density(20.0), 4), round(relative_density(20.0, 20.0), 4)
    (1.1433, 1.1405)
    """
    return density_kg_per_m3(wt_pct, temperature_c) * 1e-3 / WATER_AT_60_F.value


def wt_pct_at_relative_density(relative_density: float, temperature_c: float = SIXTY_F_C) -> float:
    """wt% of an acid at a temperature [C] by a hydrometer marked for 60 F. Raises OutOfRange outside 5 to 40 wt%.

    >>> round(wt_pct_at_relative_density(1.1433), 1)
    20.0
    """
    return _wt_pct(relative_density, temperature_c, WATER_AT_60_F.value, " over water at 60 F")


def degrees_baume(relative_density: float) -> float:
    """Degrees Baume, heavy scale, of a relative density at 60 F.

    >>> round(degrees_baume(1.16), 1)
    20.0
    """
    return HEAVY_SCALE.value - HEAVY_SCALE.value / relative_density


def relative_density_at_baume(degrees_baume: float) -> float:
    """Relative density at 60 F of degrees Baume, heavy scale."""
    return HEAVY_SCALE.value / (HEAVY_SCALE.value - degrees_baume)


def freezing_c(wt_pct: float) -> Estimate:
    """Where ice begins to form [C], straight between the published relative densities; their rounding is the width.

    >>> round(freezing_c(15.0).value, 1)
    -8.4
    """
    table = columns("od1002_freezing")
    sg = min(relative_density(wt_pct), table["relative_density"][-1])  # no row colder than that
    ends = [between(sg, table["relative_density"], table[k]) for k in ("freezing_c", "least_c", "most_c")]
    return Estimate(ends[0], min(ends), max(ends), ("published freezing points are rounded to 1-2 F",))


@dataclass(frozen=True, slots=True)
class Electrolyte:
    """A bath as measured: free acid [g/L at 20 C], temperature [C], dissolved aluminium [g/L].

    Raises OutOfRange for acid outside 5 to 40 wt% or a temperature outside -5 to 40 C, BadInput where it would be
    frozen or the aluminium is not a number from 0 to 100.
    """

    acid_g_per_l: float
    temperature_c: float = ROOM_C
    aluminium_g_per_l: float = 0.0

    def __post_init__(self) -> None:
        BATH_TEMPERATURE.check("bath temperature", self.temperature_c)
        ice = freezing_c(self.wt_pct)
        if self.temperature_c < ice.low:
            what = (f"{self.wt_pct:.3g} wt% acid is frozen at {self.temperature_c:g} C; ice forms at about "
                    f"{ice.value:.0f} C ({OD_1002})")  # fmt: skip
            raise BadInput("bath temperature", what, "warm it or make it stronger")
        if not 0.0 <= self.aluminium_g_per_l <= 100.0:
            what = f"{self.aluminium_g_per_l:g} g/L is not possible here"
            raise BadInput("dissolved aluminium", what, "give 0 to 100 g/L")

    @property
    def wt_pct(self) -> float:
        return acid_wt_pct(self.acid_g_per_l)

    @property
    def density_kg_per_m3(self) -> float:
        """At the bath's temperature, the dissolved aluminium left out [kg/m3]."""
        return density_kg_per_m3(self.wt_pct, self.temperature_c)


TIEDEMANN_NEWMAN = Source(
    Kind.FROM_MEMORY,
    "Tiedemann & Newman, in Battery Design and Optimization, Electrochem. Soc. Proc. 79-1 (1979) 23; its terms in "
    "concentration agree with Gu, Wang & Liaw, J. Electrochem. Soc. 144 (1997) 2053",
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
    c = wt_pct * 1e-5 * density_kg_per_m3(wt_pct, temperature_c) / MOLAR_MASS_ACID.value  # mol/cm3
    power = 1.1104 + (199.475 - 16097.8 * c) * c + (3916.95 - 99406.0 * c - 721960.0 / t_k) / t_k
    return 100.0 * c * math.exp(power) * (1.0 - LOSS_PER_ALUMINIUM.value * aluminium_g_per_l)


def trusted_within(temperature_c: float) -> Constant:
    """How far the equation is from an independent table, as a share, at this temperature."""
    return NEAR_ROOM if 10.0 <= temperature_c <= 30.0 else AWAY_FROM_ROOM


def conductivity(
    acid: Figure, temperature: Figure, aluminium: Figure | None = None, name: str = "conductivity"
) -> Figure:
    """Conductivity [S/m] with its bounds from acid [g/L], temperature [C] and dissolved aluminium [g/L].

    >>> from areacalc.figure import given
    >>> bath = conductivity(given("acid", 180.0, "g/L"), given("temperature", 20.0, "C"))
    >>> [round(x, 1) for x in (bath.estimate.low, bath.estimate.value, bath.estimate.high)]
    [57.1, 58.3, 59.4]
    """
    metal = aluminium or given_or_none("dissolved aluminium", 0.0, "g/L")
    share = max(
        (trusted_within(t) for t in (temperature.estimate.low, temperature.estimate.high)), key=lambda c: c.value
    )
    trust = Figure("how near the equation is to the table", Estimate(1.0, 1.0 - share.value, 1.0 + share.value,
                   ("conductivity equation",)), "", "1 +/- agreement", share.source)  # fmt: skip
    loss = constant("loss per dissolved aluminium", LOSS_PER_ALUMINIUM)

    def formula(acid_g_per_l: float, t_c: float, al_g_per_l: float, factor: float, loss_per_g_per_l: float) -> float:
        return conductivity_s_per_m(acid_wt_pct(acid_g_per_l), t_c) * factor * (1.0 - loss_per_g_per_l * al_g_per_l)

    figure = worked(
        name, "S/m", "kappa(acid, temperature) x agreement x (1 - loss x aluminium)", TIEDEMANN_NEWMAN,
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

    >>> from areacalc.figure import given
    >>> made = gap_drop(given("density", 1.5, "A/dm2"), given("gap", 100.0, "mm"), given("kappa", 60.0, "S/m"))
    >>> round(made.estimate.value, 3)
    0.25
    """
    return worked("volts across the bath", "V", "density x distance / conductivity", _OHM,
                  lambda i, mm, k: i * 100.0 * mm * 1e-3 / k, density, gap, kappa)  # fmt: skip
