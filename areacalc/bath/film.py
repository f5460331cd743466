"""How thick the film gets from the charge.

Two charge rules stand on one page and differ by 2.3 %: 720 A min/ft2 a mil, and 312, which is minutes = 3.12 um /
(A/dm2). Growth that was measured runs wider: so the default is the middle of it, and every rule has its bounds, until a
person's own run takes their place. Another way is Faraday's law with an efficiency and a film density.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.faraday import BY_FARADAY, FILM_DENSITY, film_um
from areacalc.bath.window import DM2_PER_FT2
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source, Valid

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
    thin, thick = (FILM_DENSITY.high or FILM_DENSITY.value, FILM_DENSITY.low or FILM_DENSITY.value)
    ends = [film_um(1.0, d, efficiency) for d in (FILM_DENSITY.value, thin, thick)]
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
