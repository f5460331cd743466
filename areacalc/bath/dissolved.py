"""Dissolved aluminium: how it grows with the charge, the free acid it uses up, and when the bath wants renewing."""

from collections.abc import Sequence
from enum import Enum

from areacalc.bath import film
from areacalc.bath.electrolyte import MOLAR_MASS_ACID
from areacalc.errors import BadInput
from areacalc.estimate import total
from areacalc.fact import Fact, fact, quantity
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

ACID_PER_ALUMINIUM = Constant(
    1.5 * MOLAR_MASS_ACID.value / film.MOLAR_MASS_ALUMINIUM.value, "g/g",
    Source(Kind.DERIVED, "Al2(SO4)3 binds 3 H2SO4 for 2 Al"),
)  # fmt: skip
MOST_CONVENTIONAL = Constant(
    20.0, "g/L", Source(Kind.PUBLISHED, "Products Finishing (pfonline.com): the charge rule holds from 2 to 20 g/L; "
                        "shops stop at 15 to 20 (common practice)"),
    low=15.0,
)  # fmt: skip
MOST_HARD = Constant(
    15.0, "g/L", Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 480: hard coating, 4 to 15 g/L")
)
STARTER = Constant(2.0, "g/L", Source(Kind.COMMON_PRACTICE, "2 to 5 g/L in a new bath helps"), low=2.0, high=5.0)
ALUMINIUM_IN_FILM = Constant(
    0.448, "g/g", Source(
        Kind.DERIVED, "a coating of 72 % Al2O3 and 13 % SO3 before a seal adds its water (as a blog reports, 2010); "
        "least with 15 % of water, most dry with 7.4 % SO3 (Spathis et al., J. Corros. Sci. Eng. 3 (2000) paper 3)"),
    low=0.381, high=0.490,
)  # fmt: skip
GROWTH = Source(Kind.DERIVED, "aluminium oxidised less that in the coating: thickness by the charge rule x density")


def aluminium_per_ah(rule: film.ThicknessRule = film.DEFAULT_RULE, takes: film.Takes | None = None) -> Figure:
    """Aluminium that each ampere hour leaves in the bath [g/Ah].

    >>> made = aluminium_per_ah().estimate
    >>> [round(x, 3) for x in (made.low, made.value, made.high)]
    [0.058, 0.131, 0.199]
    """

    def formula(um_per_charge: float, density: float, held: float, alloy_factor: float, oxygen_share: float) -> float:
        oxidised = film.aluminium_oxidised_g(1.0) * film.metal_share(alloy_factor, oxygen_share)
        return max(0.0, oxidised - held * film.film_g(1.0, um_per_charge * alloy_factor, density))

    return worked(
        "aluminium dissolved per Ah", "g/Ah", "aluminium oxidised - coating x aluminium in it", GROWTH, formula,
        constant(f"charge rule {rule.name}", rule.film_per_charge), constant("coating density", film.FILM_DENSITY),
        constant("aluminium in the coating", ALUMINIUM_IN_FILM), *(takes or film.Takes()).figures,
    )  # fmt: skip


def aluminium_of_several(shares: Sequence[float], each: Sequence[Figure]) -> Figure:
    """Aluminium per ampere hour [g/Ah] of a load of several alloys, by their shares of the charge."""
    whole = total(figure.estimate.scaled(share) for share, figure in zip(shares, each, strict=True))
    return Figure("aluminium dissolved per Ah", whole, "g/Ah", "shares of the area x each alloy's", GROWTH, tuple(each))


def aluminium_dissolved(charge: Figure, per_ah: Figure | None = None) -> Figure:
    """Aluminium that a run leaves in the bath [g] from its charge [Ah] and what each Ah leaves [g/Ah]."""
    return worked("aluminium dissolved", "g", "charge x aluminium dissolved per Ah", GROWTH, lambda q, m: q * m, charge,
                  per_ah or aluminium_per_ah())  # fmt: skip


def aluminium_rise(dissolved: Figure, volume: Figure) -> Figure:
    """How much dissolved aluminium rises [g/L] in a bath of a volume [L]."""
    if volume.estimate.low <= 0.0:
        raise BadInput("bath volume", f"{volume.estimate.low:g} L must be above zero", "give a volume above zero")
    return worked("aluminium rises by", "g/L", "aluminium dissolved / volume", film.BY_FARADAY, lambda m, v: m / v,
                  dissolved, volume)  # fmt: skip


def acid_used(dissolved: Figure) -> Figure:
    """Free acid that a run uses up [g], from the aluminium it dissolves [g]; drag-out comes on top."""
    return worked("free acid used", "g", "aluminium dissolved x 5.452", ACID_PER_ALUMINIUM.source, lambda m, k: m * k,
                  dissolved, constant("acid per aluminium", ACID_PER_ALUMINIUM))  # fmt: skip


def charge_until_renewal(
    now: Figure, volume: Figure, limit: Constant = MOST_CONVENTIONAL, per_ah: Figure | None = None
) -> Figure:
    """Charge [Ah] until dissolved aluminium reaches the limit, from what is there now [g/L]; 0 where it is over it."""
    return worked(
        "charge until the bath is renewed", "Ah", "(limit - aluminium now) x volume / aluminium dissolved per Ah",
        GROWTH, lambda al, v, top, m: max(0.0, top - al) * v / m, now, volume,
        constant("most dissolved aluminium", limit), per_ah or aluminium_per_ah(),
    )  # fmt: skip


class Aluminium(Enum):
    TOO_MUCH = "too much aluminium"
    RENEW_SOON = "renew soon"
    NEW_BATH = "new bath"
    NOT_GIVEN = "aluminium not given"


def aluminium_fact(aluminium_g_per_l: float, hard: bool = False) -> Fact | None:
    """What there is to say of the aluminium in a bath for conventional or hard coating; None where it is in order.

    >>> aluminium_fact(18.0).kind, aluminium_fact(18.0, hard=True).kind, aluminium_fact(10.0)
    (<Aluminium.RENEW_SOON: 'renew soon'>, <Aluminium.TOO_MUCH: 'too much aluminium'>, None)
    """
    limit, held = MOST_HARD if hard else MOST_CONVENTIONAL, quantity(aluminium_g_per_l, "g/L")
    if aluminium_g_per_l > limit.value:
        return fact(Aluminium.TOO_MUCH, held=held, limit=quantity(limit.value, "g/L"), source=limit.source)
    if aluminium_g_per_l > limit.low:
        return fact(Aluminium.RENEW_SOON, held=held, limit=quantity(limit.low, "g/L"))
    if aluminium_g_per_l < STARTER.value:
        kind = Aluminium.NEW_BATH if aluminium_g_per_l else Aluminium.NOT_GIVEN
        return fact(kind, limit=quantity(STARTER.value, "g/L"), source=STARTER.source)
    return None
