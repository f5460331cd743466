"""How thick the film gets from the charge, and the time a wanted thickness takes.

Two charge rules are published on one page and differ by 2.3 %: 720 A min/ft2 a mil, the default, and 312, which is
minutes = 3.12 um / (A/dm2). Each is the bound of the other. The third way is Faraday's
law with an efficiency and a film density.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.faraday import BY_FARADAY, FILM_DENSITY, film_um
from areacalc.bath.window import DM2_PER_FT2
from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source, Valid

_PAGE = "Products Finishing (pfonline.com), 'Calculating anodizing rate for Type II and Type III coatings'"
_MIL_UM = 25.4
UM_720 = _MIL_UM * DM2_PER_FT2 / 720.0
UM_312 = 1.0 / 3.12
PRODUCT = Source(Kind.DERIVED, "charge is current density times time; film is charge times the charge rule")


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
        """Whether it is Faraday's law with the person's own efficiency."""
        return self.name == "faraday"

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
RULES: dict[str, ThicknessRule] = {r.name: r for r in (
    ThicknessRule("720", Constant(
        UM_720, _UNIT, Source(Kind.PUBLISHED, f"{_PAGE}: 720 A min/ft2 for a mil"), UM_312, UM_720), *_STATED),
    ThicknessRule("312", Constant(
        UM_312, _UNIT, Source(Kind.PUBLISHED, f"{_PAGE}: minutes = 3.12 um / (A/dm2)"), UM_312, UM_720), *_STATED),
    ThicknessRule("round", Constant(0.3, _UNIT, Source(Kind.COMMON_PRACTICE, "the round figure of shops"))),
)}  # fmt: skip
DEFAULT_RULE = RULES["720"]


def rule_named(name: str) -> ThicknessRule:
    """The charge rule of that name. Raises UnknownName."""
    if name not in RULES:
        raise UnknownName.among("thickness rule", name, RULES)
    return RULES[name]


def faraday_rule(efficiency: float, film_density: Constant = FILM_DENSITY) -> ThicknessRule:
    """Faraday's law with a mass efficiency (0 to 1) and a film density as a rule. Raises BadInput.

    >>> round(faraday_rule(0.776).film_per_charge.value, 3)
    0.328
    """
    if not 0.0 < efficiency <= 1.0:
        raise BadInput("film efficiency", f"{efficiency:g} is not a share of the charge", "give one above 0, up to 1")
    thin, thick = (film_density.high or film_density.value, film_density.low or film_density.value)
    ends = [film_um(1.0, d, efficiency) for d in (film_density.value, thin, thick)]
    because = f"{BY_FARADAY.text}; efficiency {efficiency:g}; film density {film_density.source}"
    return ThicknessRule("faraday", Constant(ends[0], _UNIT, Source(Kind.DERIVED, because), ends[1], ends[2]))


def thickness_um(charge_a_min_per_dm2: float, rule: ThicknessRule = DEFAULT_RULE) -> float:
    """Film for a charge [um].

    >>> round(thickness_um(1.5 * 30), 2)
    14.75
    """
    return charge_a_min_per_dm2 * rule.film_per_charge.value


def charge_a_min_per_dm2(thickness_um: float, rule: ThicknessRule = DEFAULT_RULE) -> float:
    """Charge for a film [A min/dm2].

    >>> round(charge_a_min_per_dm2(25.4) * 9.290304, 6)
    720.0
    """
    return thickness_um / rule.film_per_charge.value


def film_thickness(charge: Figure, rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None) -> Figure:
    """Film [um] for a charge [A min/dm2]; alloy_factor is what this alloy makes of it (see alloy.py)."""
    return worked(
        "film thickness", "um", "charge x film per charge x alloy factor", PRODUCT, lambda q, k, f: q * k * f,
        charge, constant(f"charge rule {rule.name}", rule.film_per_charge), _factor(alloy_factor),
    )  # fmt: skip


def charge_for(thickness: Figure, rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None) -> Figure:
    """Charge [A min/dm2] for a wanted film [um]."""
    return worked(
        "charge on the surface", "A min/dm2", "film / (film per charge x alloy factor)", PRODUCT,
        lambda h, k, f: h / (k * f),
        thickness, constant(f"charge rule {rule.name}", rule.film_per_charge), _factor(alloy_factor),
    )  # fmt: skip


def time_for(
    thickness: Figure, density: Figure, rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None
) -> Figure:
    """Time [s] at a density [A/dm2] for a wanted film [um], the ramp left out.

    >>> from areacalc.figure import given
    >>> round(time_for(given("film", 12.0, "um"), given("density", 1.5, "A/dm2")).estimate.value / 60, 1)
    24.4
    """
    charge = charge_for(thickness, rule, alloy_factor)
    return worked("time at the setting", "s", "charge / density x 60", PRODUCT, lambda q, i: 60.0 * q / i,
                  charge, density)  # fmt: skip


def _factor(alloy_factor: Constant | None) -> Figure:
    whole = Source(Kind.DERIVED, "no alloy named: the charge rule as it stands")
    return constant("alloy factor", alloy_factor or Constant(1.0, "", whole))
