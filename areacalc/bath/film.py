"""How thick the film gets from the charge, how much of it stands above the old surface, and how much metal it took.

Two charge rules stand on one page and differ by 2.3 %: 720 A min/ft2 a mil, and 312, which is minutes = 3.12 um /
(A/dm2). Growth that was measured runs wider: so the default is the middle of it, and every rule has its bounds, until a
person's own run takes their place. Another way is Faraday's law with an efficiency and a film density.

Growth follows from the charge: the metal that Faraday's law takes away lies below, the rest of the film above. On
alloys with copper a part of the charge makes oxygen and takes no metal. Hard coaters reckon sizes with half the film
outward, textbooks say a third. They cannot all be exact: the one used is named, the metal is always Faraday's.
"""

from dataclasses import dataclass, replace
from enum import Enum

from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.window import DM2_PER_FT2
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source, Valid

FARADAY = Constant(96485.33212, "C/mol", Source(Kind.PUBLISHED, "CODATA 2018; exact in the SI of 2019"))
_MASSES = Source(Kind.PUBLISHED, "IUPAC atomic masses 2021, as in periodictable 2.1.0")
MOLAR_MASS_ALUMINIUM = Constant(26.9815384, "g/mol", _MASSES)
MOLAR_MASS_OXYGEN = Constant(15.999, "g/mol", _MASSES)
ALUMINIUM_DENSITY = Constant(
    2.699, "g/cm3", Source(Kind.PUBLISHED, "density of pure aluminium at 20 C, as in handbooks of the elements")
)
FILM_DENSITY = Constant(
    2.5, "g/cm3", Source(Kind.FROM_MEMORY, "apparent density of porous coating, 2.3 to 2.7 typical"), low=2.3, high=2.7
)
SECONDS_PER_HOUR, SECONDS_PER_MINUTE = 3600.0, 60.0
MG_PER_C_ALUMINIUM = 1e3 * MOLAR_MASS_ALUMINIUM.value / (3.0 * FARADAY.value)
MG_PER_C_OXIDE = 1e3 * (2.0 * MOLAR_MASS_ALUMINIUM.value + 3.0 * MOLAR_MASS_OXYGEN.value) / (6.0 * FARADAY.value)
BY_FARADAY = Source(Kind.DERIVED, "Faraday's law, 3 electrons an atom: M / (3F), Al2O3 of 6F")


def aluminium_oxidised_g(charge_ah: float) -> float:
    """Aluminium that a charge oxidises [g]: M t I / (3F)."""
    return charge_ah * SECONDS_PER_HOUR * MG_PER_C_ALUMINIUM * 1e-3


def metal_depth_um(charge_a_min_per_dm2: float) -> float:
    """Depth of aluminium that becomes oxide or dissolves [um].

    >>> round(metal_depth_um(1.0), 5)
    0.20722
    """
    grams_per_cm2 = charge_a_min_per_dm2 * SECONDS_PER_MINUTE * 1e-2 * MG_PER_C_ALUMINIUM * 1e-3
    return grams_per_cm2 / ALUMINIUM_DENSITY.value * 1e4


def film_um(charge_a_min_per_dm2: float, film_density_g_per_cm3: float, efficiency: float = 1.0) -> float:
    """Film of a density that a charge forms at a mass efficiency from 0 to 1 [um].

    >>> round(film_um(1.0, 2.5), 4)
    0.4227
    """
    grams_per_cm2 = charge_a_min_per_dm2 * SECONDS_PER_MINUTE * 1e-2 * MG_PER_C_OXIDE * 1e-3
    return efficiency * grams_per_cm2 / film_density_g_per_cm3 * 1e4


def film_g(charge_ah: float, um_per_a_min_per_dm2: float, film_density_g_per_cm3: float) -> float:
    """Mass of the film [g] that a charge makes at a thickness per charge and a density."""
    return charge_ah * 60.0 * um_per_a_min_per_dm2 * film_density_g_per_cm3 * 1e-2


_PAGE = "Products Finishing (pfonline.com), 'Calculating anodizing rate for Type II and Type III coatings'"
_MIL_UM = 25.4
UM_720 = _MIL_UM * DM2_PER_FT2 / 720.0
UM_312 = 1.0 / 3.12
PRODUCT = Source(Kind.DERIVED, "charge is current density times time; coating is charge times the charge rule")


class Stated(Enum):
    """A quantity of the bath that a charge rule is stated for, and that lies outside."""

    ACID = "acid outside the charge rule"
    TEMPERATURE = "temperature outside the charge rule"
    ALUMINIUM = "aluminium outside the charge rule"


@dataclass(frozen=True, slots=True)
class ThicknessRule:
    """Film for a charge [um per A min/dm2], and where its source says that it holds."""

    name: str
    film_per_charge: Constant
    acid_wt_pct: Valid | None = None
    temperature: Valid | None = None
    aluminium: Valid | None = None

    @property
    def is_own(self) -> bool:
        """Whether it rests on the person's own run or efficiency, so that it holds for their alloy as it is."""
        return self.name in ("faraday", "measured")

    def outside(self, bath: Electrolyte) -> tuple[Fact, ...]:
        """Each quantity of the bath that lies outside what the rule's source states."""
        asked = (
            (Stated.ACID, bath.wt_pct, self.acid_wt_pct), (Stated.TEMPERATURE, bath.temperature_c, self.temperature),
            (Stated.ALUMINIUM, bath.aluminium_g_per_l, self.aluminium),
        )  # fmt: skip
        return tuple(
            fact(kind, rule=self.name, value=quantity(value, v.unit), stated=quantity(_between(v), v.unit))
            for kind, value, v in asked
            if v is not None and not v.low <= value <= v.high
        )


def _between(valid: Valid) -> Estimate:
    return Estimate(0.5 * (valid.low + valid.high), valid.low, valid.high)


_PAGE_SOURCE = Source(Kind.PUBLISHED, f"{_PAGE}; 12 to 20 wt%, 4 to 27 C, 2 to 20 g/L aluminium")
_STATED = (
    Valid(12.0, 20.0, "wt%", _PAGE_SOURCE), Valid(4.0, 27.0, "C", _PAGE_SOURCE), Valid(2.0, 20.0, "g/L", _PAGE_SOURCE),
)  # fmt: skip
_UNIT = "um/(A min/dm2)"
_LEAST, _MOST = 0.26, 0.35
_MIDDLE = Source(
    Kind.DERIVED, "the middle of what is published: coatings of 1.26 to 1.67 times the metal, Poznyak et al.: 0.26 to "
    "0.35; 0.29 to 0.31 on 6063, iasj.net article 26865; 0.32 and 0.33 by the two charge rules of the trade",
)  # fmt: skip
RULES: dict[str, ThicknessRule] = {r.name: r for r in (
    ThicknessRule("middle", Constant(0.305, _UNIT, _MIDDLE, _LEAST, _MOST), *_STATED),
    ThicknessRule("720", Constant(
        UM_720, _UNIT, Source(Kind.PUBLISHED, f"{_PAGE}: 720 A min/ft2 for a mil"), _LEAST, _MOST), *_STATED),
    ThicknessRule("312", Constant(
        UM_312, _UNIT, Source(Kind.PUBLISHED, f"{_PAGE}: minutes = 3.12 um / (A/dm2)"), _LEAST, _MOST), *_STATED),
    ThicknessRule("round", Constant(
        0.3, _UNIT, Source(Kind.COMMON_PRACTICE, "the round figure of shops"), _LEAST, _MOST)),
)}  # fmt: skip
DEFAULT_RULE = RULES["middle"]
AS_THE_RULE = Constant(1.0, "", Source(Kind.DERIVED, "no alloy named: the charge rule as it stands"))
MARGIN = 4.0 / 3.0
"""Of the most film that is published for a charge: chosen. A film thicker than that was measured or typed wrongly."""
GAUGE_UM = Constant(1.0, "um", Source(Kind.COMMON_PRACTICE, "a thickness gauge on thin coatings reads to about 1 um"))


def faraday_rule(efficiency: float) -> ThicknessRule:
    """Faraday's law with a mass efficiency (0 to 1) as a rule. Raises BadInput.

    >>> round(faraday_rule(0.776).film_per_charge.value, 3)
    0.328
    """
    if not 0.0 < efficiency <= 1.0:
        raise BadInput("coating efficiency", f"{efficiency:g} is not a share of the charge", "give above 0, up to 1")
    ends = [film_um(1.0, d, efficiency) for d in (FILM_DENSITY.value, FILM_DENSITY.high, FILM_DENSITY.low)]
    because = f"{BY_FARADAY.text}; efficiency {efficiency:g}; coating density {FILM_DENSITY.source}"
    return ThicknessRule("faraday", Constant(ends[0], _UNIT, Source(Kind.DERIVED, because), ends[1], ends[2]))


def measured_rule(
    measured_um: float, density_a_per_dm2: float, time_s: float, within_um: float = GAUGE_UM.value
) -> ThicknessRule:
    """The rule of a run of one's own: the film measured, its density, and its time at full current, half the ramp.

    within_um is the most that the film is off.

    Raises BadInput for a film that a gauge cannot tell, or that no charge makes.

    >>> round(measured_rule(12.0, 2.4, 1000.0).film_per_charge.value, 3)
    0.3
    """
    charge, off = density_a_per_dm2 * time_s / 60.0, within_um
    if not 2.0 * off < measured_um <= most_film_um(charge):
        raise BadInput("coating measured", f"{measured_um:g} um after {charge:.3g} A min/dm2 cannot be right",
                       "measure coating, density and time of one run, the ramp at half its time")  # fmt: skip
    words = f"the coating you measured, {measured_um:g} um after {charge:.3g} A min/dm2, to {off:g} um"
    own = Constant(measured_um / charge, _UNIT, Source(Kind.ENTERED, words), (measured_um - off) / charge,
                   (measured_um + off) / charge)  # fmt: skip
    return ThicknessRule("measured", own)


def most_film_um(charge_a_min_per_dm2: float) -> float:
    """The film that no charge makes more of [um]: what is published at most, and a margin that is chosen.

    >>> round(most_film_um(40.0), 2)
    18.67
    """
    return charge_a_min_per_dm2 * _MOST * MARGIN


def film_per_charge(rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None) -> Figure:
    """Film for a charge [um per A min/dm2] by a rule, with what an alloy makes of it (see alloy.py)."""
    return worked("coating per charge", _UNIT, "charge rule x alloy factor", PRODUCT, lambda k, f: k * f,
                  constant(f"charge rule {rule.name}", rule.film_per_charge), factor_figure(alloy_factor))  # fmt: skip


def factor_figure(alloy_factor: Constant | None = None) -> Figure:
    """What an alloy makes of a film, as a figure; 1 where no alloy is named."""
    return constant("alloy factor", alloy_factor or AS_THE_RULE)


def film_thickness(charge: Figure, per_charge: Figure) -> Figure:
    """Film [um] for a charge [A min/dm2] and the film for a charge [um per A min/dm2].

    >>> from areacalc.figure import given
    >>> round(film_thickness(given("charge", 45.0, "A min/dm2"), film_per_charge(RULES["720"])).estimate.value, 2)
    14.75
    """
    return worked(
        "coating thickness", "um", "charge x coating per charge", PRODUCT, lambda q, k: q * k, charge, per_charge
    )


BY_CHARGE = Source(Kind.DERIVED, "coating by the charge rule less the metal oxidised by Faraday's law")
METAL = Source(Kind.DERIVED, "Faraday's law, 0.2072 um for each A min/dm2 that does not make oxygen")
NO_OXYGEN = Constant(0.0, "", Source(Kind.DERIVED, "all of the current oxidises metal: little oxygen without copper"))
SHARES: dict[str, Constant] = {
    "half": Constant(0.5, "", Source(
        Kind.REPORTED, "ISO 10074:2021 as reported by lonroy.com: a surface grows by about half the coating")),
    "third": Constant(1.0 / 3.0, "", Source(Kind.COMMON_PRACTICE, "Type II: one third out, two thirds in")),
    "measured": Constant(0.3, "", Source(
        Kind.PUBLISHED, "coatings at 280 K grow 1.26 to 1.67 times the metal, Poznyak et al.: 21 to 40 % out"),
        low=0.21, high=0.40),
}  # fmt: skip
HARD = "hard"
"""How sizes of a hard coat are reckoned where nothing was chosen: half, and as little as the charge can give."""
WAYS = ("charge", *SHARES)


@dataclass(frozen=True, slots=True)
class Takes:
    """What an alloy makes of a charge: film over the charge rule, and how much of what it lacks went into oxygen."""

    film_factor: Constant = AS_THE_RULE
    oxygen: Constant = NO_OXYGEN

    @property
    def figures(self) -> tuple[Figure, Figure]:
        return constant("alloy factor", self.film_factor), constant("oxygen's part of what is lacking", self.oxygen)


@dataclass(frozen=True, slots=True)
class Growth:
    """A film [um]: how far it stands above the old surface, and how deep the metal is that it took."""

    film: Figure
    outward: Figure
    inward: Figure


def metal_share(alloy_factor: float, oxygen_share: float) -> float:
    """The share of a charge that oxidises metal; the rest makes oxygen.

    >>> metal_share(1.0, 0.5), metal_share(0.75, 0.5)
    (1.0, 0.875)
    """
    return 1.0 - oxygen_share * (1.0 - alloy_factor)


def growth(
    charge: Figure, way: str = "charge", rule: ThicknessRule = DEFAULT_RULE, takes: Takes | None = None
) -> Growth:
    """The film of a charge [A min/dm2], its growth outward by `way`, and the metal it took. Raises UnknownName.

    way: charge (film less metal), a share of the film (half, third, measured), or HARD.

    >>> from areacalc.figure import given
    >>> made = growth(given("charge", 40.0, "A min/dm2"))
    >>> [round(f.estimate.value, 2) for f in (made.film, made.outward, made.inward)]
    [12.2, 3.91, 8.29]
    """
    alloy = takes or Takes()
    film = film_thickness(charge, film_per_charge(rule, alloy.film_factor))
    into = worked("metal consumed (growth inward)", "um", "charge x 0.2072 x (1 - oxygen's share)", METAL,
                  lambda q, f, g: metal_depth_um(q) * metal_share(f, g), charge, *alloy.figures)  # fmt: skip
    by_charge = worked("growth outward, on each side", "um", "coating - metal consumed", BY_CHARGE, _outward, charge,
                       constant(f"charge rule {rule.name}", rule.film_per_charge), *alloy.figures)  # fmt: skip
    if way == "charge":
        return Growth(film, by_charge, into)
    if way != HARD and way not in SHARES:
        raise UnknownName.among("growth", way, WAYS)
    share = SHARES["half" if way == HARD else way]
    out = worked("growth outward, on each side", "um", "coating x share that stands outward", share.source,
                 lambda h, s: h * s, film, constant("share outward", share))  # fmt: skip
    if way == HARD:
        e = out.estimate
        wide = Estimate(e.value, min(e.low, by_charge.estimate.low), e.high, ("half by practice, less by the charge",))
        inputs = (*out.inputs, replace(by_charge, name="growth outward by the charge"))
        out = replace(out, estimate=wide, formula=f"{out.formula}; the least by the charge", inputs=inputs)
    return Growth(film, out, into)


def _outward(charge: float, um_per_charge: float, alloy_factor: float, oxygen_share: float) -> float:
    """Never below nothing: a film thinner than the metal it took ends below the old surface."""
    each = um_per_charge * alloy_factor - metal_depth_um(1.0) * metal_share(alloy_factor, oxygen_share)
    return charge * max(0.0, each)
