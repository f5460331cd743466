"""Where the current goes: what the bores of a load take of it, and the area that the current is set by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from areacalc.bath.conductivity import conductivity
from areacalc.bath.film import UM_312, UM_720
from areacalc.bath.voltage import Polarisation, rise_per_um
from areacalc.estimate import Estimate, total
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.figure import Figure, given
from areacalc.load.load import Finish
from areacalc.part.part import Part
from areacalc.plan.area import PartArea, plugs_of
from areacalc.plan.bores import WetBores, left_even, wet_bores
from areacalc.plan.film import wanted_film
from areacalc.plan.tank_duty import Bath
from areacalc.sources import Kind, Source
from areacalc.throw.bore import plain_bore
from areacalc.throw.bore_line import bore_line
from areacalc.throw.thrown import Evening, Thrown, down_the_bore

_OUTSIDE = Source(Kind.DERIVED, "the density asked for; less where the supply's limit brings less")
_EFFECTIVE = Source(
    Kind.DERIVED, "area that takes the same current at the outside's density; at most the whole area, where the bores "
    "take as much as the outside",
)  # fmt: skip
_BORES = "how much the bores take"
MATTERS = UM_312 / UM_720
"""A film that differs from the outside's by less than the two published charge rules do is as good as even."""


@dataclass(frozen=True, slots=True)
class BoreThrow:
    """What the bores of one kind of part that are alike take; film is the film where it is thinnest [um].

    number is their place in the list, from 1.
    """

    number: int
    part: str
    names: tuple[str, ...]
    thrown: Thrown
    film: Figure
    plugged_mm: float = 0.0

    @property
    def least_at_mm(self) -> float:
        """Where the film is thinnest, from the first mouth, plugged or not."""
        return self.plugged_mm + self.thrown.least_at_mm

    @property
    def key(self) -> str:
        """What its figures are called by."""
        return f"bores-{self.number}"

    @property
    def figures(self) -> dict[str, Figure]:
        """By the names that explain takes."""
        found = self.thrown
        named = {"mouth": found.mouth, "mean": found.mean, "least": found.least, "coating": self.film}
        return {f"{self.key}.{name}": figure for name, figure in named.items()}


@dataclass(frozen=True, slots=True)
class PartThrow:
    """One kind of part: its bores with what each takes, and the effective area of all of its parts [mm2]."""

    name: str
    bores: tuple[tuple[WetBores, Thrown], ...]
    effective: Figure

    def share(self, feature: str) -> float:
        """What a feature takes of the outside's density, in the mean; 1 where it is no wet bore."""
        return next((t.mean_share.estimate.value for b, t in self.bores if feature in b.names), 1.0)


@dataclass(frozen=True, slots=True)
class Throw:
    """The effective area of the load [mm2], which is its wetted area where no bore is wet, and of each kind of part.

    lengths are what evens the current out, by the names that explain takes; none where no bore is wet. whole names the
    deep bores that no line runs down.
    """

    effective: Figure
    parts: tuple[PartThrow, ...]
    lengths: dict[str, Figure]
    whole: tuple[str, ...] = ()

    def with_films(self, films: Sequence[Figure]) -> tuple[BoreThrow, ...]:
        """The bores whose thinnest film is told apart from the outside's [um, one a kind of part]."""
        told = [
            (part.name, bores.names, thrown, thrown.least_film(film), bores.plugged_mm)
            for part, film in zip(self.parts, films, strict=True)
            for bores, thrown in part.bores
            if thrown.least_share.estimate.value < MATTERS
        ]
        return tuple(BoreThrow(number, *each) for number, each in enumerate(told, 1))

    def figures(self, told: Sequence[BoreThrow]) -> dict[str, Figure]:
        """By the names that explain takes: none where no bore is wet, else the effective area and the bores told."""
        if not self.lengths:
            return {}
        named = {"effective-area": self.effective, **self.lengths}
        return named | {name: figure for bore in told for name, figure in bore.figures.items()}


def plan_throw(
    parts: Sequence[PartArea], area: Figure, density: Estimate, limit_a: float | None, evening: Evening,
    rack: Figure | None = None,
) -> Throw:  # fmt: skip
    """What the bores take at the density wanted on the outside [A/dm2], or at what a supply of limit_a [A] brings.

    area is that of the load [mm2], rack what of it is rack.
    """
    found = [wet_bores(part.rows, part.plugs) for part in parts]
    beside_mm2 = rack.estimate.value if rack else 0.0
    brought = _outside(parts, found, density.value, limit_a, evening, beside_mm2)
    outside = given("density on the outside", density.scaled(brought / density.value), "A/dm2", _OUTSIDE)
    lengths = {"wagner-length": evening.wagner_length(outside), "coating-length": evening.film_length(outside)}
    if not any(found):
        bare = tuple(PartThrow(p.line.name, (), p.all) for p in parts)
        return Throw(area, bare, {}, _whole(parts, found, lengths))
    made = tuple(_part(p, bores, evening, outside) for p, bores in zip(parts, found, strict=True))
    taking = (*(p.effective for p in made), *((rack,) if rack else ()))
    effective = Figure("effective area of the load", total(f.estimate for f in taking), "mm2",
                       "sum over the parts and the rack", _EFFECTIVE, taking)  # fmt: skip
    return Throw(effective, made, lengths, _whole(parts, found, lengths))


def _whole(
    parts: Sequence[PartArea], found: Sequence[Sequence[WetBores]], lengths: dict[str, Figure]
) -> tuple[str, ...]:
    """The bores left even that would matter were they plain: part and name."""
    wagner_mm, film_mm = (figure.estimate.value for figure in lengths.values())
    return tuple(
        f"{part.line.name} {bore.name}"
        for part, known in zip(parts, found, strict=True)
        for bore in left_even(part.rows, known)
        if bore.diameter_mm and bore.depth_mm
        and bore_line(plain_bore(bore.diameter_mm, bore.depth_mm, len(bore.mouths) > 1), wagner_mm, film_mm).least
        < MATTERS
    )  # fmt: skip


class CountedWhole(Enum):
    """Bores that a current by area alone counts for more than they take."""

    BORE = "bore counted in full"


def counted_whole(part: Part, density_a_per_dm2: float) -> tuple[Fact, ...]:
    """The bores of a part that a current by area alone counts for more than they take.

    spared: the area that so takes no current.
    """
    bath = Bath()
    kappa = conductivity(given("acid", bath.acid_g_per_l, "g/L"), given("bath", bath.temperature_c, "C"))
    evening = Evening(kappa, Polarisation(), wanted_film(Finish()), rise_per_um(bath.temperature_c))
    outside = given("density outside", density_a_per_dm2, "A/dm2")
    told = []
    for bores in wet_bores(part.wetted().rows, plugs_of(part)):
        share = down_the_bore(bores.bore, evening, outside).mean_share
        if share.estimate.value < MATTERS:
            spared = quantity(bores.skin_mm2 * (1.0 - share.estimate.value), "mm2")
            kind, alike = CountedWhole.BORE, len(bores.names)
            told.append(fact(kind, part=part.name, bore=bores.names[0], alike=alike, share=share, spared=spared))
    return tuple(told)


def spared_mm2(told: Fact) -> float:
    """The area [mm2] of a bore counted in full that takes no current."""
    spared = told["spared"]
    assert isinstance(spared, Quantity)
    return spared.estimate.value


def _outside(
    parts: Sequence[PartArea], found: Sequence[Sequence[WetBores]], density: float, limit_a: float | None,
    evening: Evening, beside_mm2: float,
) -> float:  # fmt: skip
    """The density outside: that asked for, or the one at which outside and bores take just what the supply gives."""
    if limit_a is None or not any(found):
        return density
    at = density
    for _ in range(30):
        now = given("density", at, "A/dm2")
        wagner_mm, film_mm = (f(now).estimate.value for f in (evening.wagner_length, evening.film_length))
        taken_mm2 = beside_mm2 + sum(
            p.line.count * (p.each.estimate.value - sum(
                b.skin_mm2 * (1.0 - bore_line(b.bore, wagner_mm, film_mm).mean) for b in bores))
            for p, bores in zip(parts, found, strict=True)
        )  # fmt: skip
        before, at = at, min(density, limit_a / (taken_mm2 * 1e-4))
        if abs(at - before) <= 1e-9 * at:
            break
    return at


def _part(part: PartArea, found: Sequence[WetBores], evening: Evening, outside: Figure) -> PartThrow:
    """One kind of part; its own area where it has no wet bore."""
    thrown = tuple((b, down_the_bore(b.bore, evening, outside, f"{part.line.name} {b.names[0]}")) for b in found)
    if not thrown:
        return PartThrow(part.line.name, (), part.all)
    area, shares = part.all.estimate, [(b.skin_mm2, t.mean_share.estimate) for b, t in thrown]
    value, low = (
        1.0 - sum(skin * (1.0 - share) for skin, share in ends) / part.each.estimate.value
        for ends in ([(skin, s.value) for skin, s in shares], [(skin, s.low) for skin, s in shares])
    )
    because = "; ".join(filter(None, (area.because, _BORES)))
    estimate = Estimate(area.value * value, area.low * low, area.high, because)
    inputs = (part.all, *(t.mean_share for _, t in thrown))
    formula = "area less, for each bore, its surface x (1 - its share)"
    figure = Figure(f"effective area of all {part.line.name}", estimate, "mm2", formula, _EFFECTIVE, inputs)
    return PartThrow(part.line.name, thrown, figure)
