"""How much of the film stands above the old surface and how much lies below it.

The default follows from the charge: the metal that Faraday's law takes away lies below, the rest of the film above.
Shops that hard coat say half and half; textbooks say a third outward. They cannot all be exact: the one used is named.
"""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.faraday import metal_depth_um
from areacalc.bath.film import DEFAULT_RULE, ThicknessRule
from areacalc.errors import UnknownName
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

BY_CHARGE = Source(Kind.DERIVED, "1 - metal oxidised by Faraday's law / film by the charge rule")
SHARES: dict[str, Constant] = {
    "half": Constant(0.5, "", Source(
        Kind.SECOND_HAND, "ISO 10074:2021 as reported by lonroy.com: a surface grows by about half the film")),
    "third": Constant(1.0 / 3.0, "", Source(Kind.COMMON_PRACTICE, "Type II: one third out, two thirds in")),
    "measured": Constant(0.3, "", Source(
        Kind.PUBLISHED, "sulphuric films at 280 K grow 1.26 to 1.67 times the metal, Poznyak et al.: 21 to 40 % out"),
        low=0.21, high=0.40),
}  # fmt: skip
WAYS = ("charge", *SHARES)


@dataclass(frozen=True, slots=True)
class Growth:
    """A film and how it divides [um]: `outward` above the old surface, `inward` below it."""

    film: Figure
    outward: Figure
    inward: Figure


def outward_by_charge(um_per_a_min_per_dm2: float, alloy_factor: float = 1.0) -> float:
    """The outward share that a charge rule implies: 1 - 0.2072 / (rule x factor), never below 0. Derived.

    >>> round(outward_by_charge(0.3277413), 3), round(outward_by_charge(0.3205128), 3)
    (0.368, 0.353)
    """
    return max(0.0, 1.0 - metal_depth_um(1.0) / (um_per_a_min_per_dm2 * alloy_factor))


def outward_share(
    way: str = "charge", rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None
) -> Figure:
    """The share of the film above the old surface, by charge, half, third or measured. Raises UnknownName."""
    if way in SHARES:
        return constant(f"outward share ({way})", SHARES[way])
    if way != "charge":
        raise UnknownName.among("growth", way, WAYS)
    factor = constant("alloy factor", alloy_factor) if alloy_factor else given("alloy factor", 1.0, "", BY_CHARGE)
    return worked("outward share (charge)", "", "1 - metal per charge / (film per charge x alloy factor)", BY_CHARGE,
                  outward_by_charge, constant(f"charge rule {rule.name}", rule.film_per_charge), factor)  # fmt: skip


def growth(
    film: Figure, way: str = "charge", rule: ThicknessRule = DEFAULT_RULE, alloy_factor: Constant | None = None
) -> Growth:
    """How a film [um] divides.

    >>> both = growth(given("film", 10.0, "um"), "half")
    >>> both.outward.estimate.value, both.inward.estimate.value
    (5.0, 5.0)
    """
    share = outward_share(way, rule, alloy_factor)
    out = worked("growth outward", "um", "film x share", BY_CHARGE, lambda h, s: h * s, film, share)
    into = worked("growth inward", "um", "film x (1 - share)", BY_CHARGE, lambda h, s: h * (1.0 - s), film, share)
    return Growth(film, out, into)
