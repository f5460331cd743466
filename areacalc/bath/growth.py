"""How much of the film stands above the old surface and how much metal it took.

The default follows from the charge: the metal that Faraday's law takes away lies below, the rest of the film above. On
alloys with copper a part of the charge makes oxygen and takes no metal. Hard coaters reckon sizes with half the film
outward, textbooks say a third. They cannot all be exact: the one used is named, the metal is always Faraday's.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.bath.faraday import metal_depth_um
from areacalc.bath.film import AS_THE_RULE, DEFAULT_RULE, ThicknessRule, film_per_charge, film_thickness
from areacalc.errors import UnknownName
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, worked
from areacalc.sources import Constant, Kind, Source

BY_CHARGE = Source(Kind.DERIVED, "coating by the charge rule less the metal oxidised by Faraday's law")
METAL = Source(Kind.DERIVED, "Faraday's law, 0.2072 um for each A min/dm2 that does not make oxygen")
NO_OXYGEN = Constant(0.0, "", Source(Kind.DERIVED, "all of the current oxidises metal: little oxygen without copper"))
SHARES: dict[str, Constant] = {
    "half": Constant(0.5, "", Source(
        Kind.SECOND_HAND, "ISO 10074:2021 as reported by lonroy.com: a surface grows by about half the coating")),
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
    by_charge = worked("growth outward", "um", "coating - metal consumed", BY_CHARGE, _outward, charge,
                       constant(f"charge rule {rule.name}", rule.film_per_charge), *alloy.figures)  # fmt: skip
    if way == "charge":
        return Growth(film, by_charge, into)
    if way != HARD and way not in SHARES:
        raise UnknownName.among("growth", way, WAYS)
    share = SHARES["half" if way == HARD else way]
    out = worked("growth outward", "um", "coating x share that stands outward", share.source, lambda h, s: h * s, film,
                 constant("share outward", share))  # fmt: skip
    if way == HARD:
        e = out.estimate
        wide = Estimate(e.value, min(e.low, by_charge.estimate.low), e.high, "half by practice, less by the charge")
        inputs = (*out.inputs, replace(by_charge, name="growth outward by the charge"))
        out = replace(out, estimate=wide, formula=f"{out.formula}; the least by the charge", inputs=inputs)
    return Growth(film, out, into)


def _outward(charge: float, um_per_charge: float, alloy_factor: float, oxygen_share: float) -> float:
    """Never below nothing: a film thinner than the metal it took ends below the old surface."""
    each = um_per_charge * alloy_factor - metal_depth_um(1.0) * metal_share(alloy_factor, oxygen_share)
    return charge * max(0.0, each)
