"""Where the current goes: the wet bores of a load, what they take of it, and the area that the current is set by."""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from areacalc.bath.electrolyte import conductivity
from areacalc.bath.film import UM_312, UM_720
from areacalc.bath.voltage import Polarisation, rise_per_um
from areacalc.estimate import Estimate, total
from areacalc.fact import Fact, Quantity, fact, quantity
from areacalc.figure import Figure, given
from areacalc.load.load import USUAL_BATH, Finish
from areacalc.part.part import Part
from areacalc.plan.area import PartArea, Plugs, plugs_of
from areacalc.plan.film import wanted_film
from areacalc.sources import Kind, Source
from areacalc.surface.sides import mouth_names
from areacalc.surface.skin import BoreStep, Feature, FeatureKind, State
from areacalc.surface.wetted import Row
from areacalc.throw.bore_line import Bore, Stretch, bore_line, plain_bore, slit_conducts
from areacalc.throw.thrown import Evening, Thrown, down_the_bore

_BORE_KINDS = (FeatureKind.THROUGH_BORE, FeatureKind.BLIND_BORE)
_PRISMS = (FeatureKind.PASSAGE, FeatureKind.POCKET, FeatureKind.SLOT)
_ENDS = ("floor", "drill-point")
_CLOSED = 0.98  # of a round wall, keyways and cross-bores counted in: of less, some is open along the side
_SAME = 0.02  # of the depth: steps that add up to it lie one behind the other
_PRISM = 0.1  # by how much the walls of a passage may differ from its rim times its depth
_WALL = 0.5  # of a bore's diameter: how thick the wall is taken that a slit goes through; the bounds hold any


@dataclass(frozen=True, slots=True)
class WetBores:
    """Bores of one part that are alike: their names, the shape of one, how far its first mouth is plugged [mm], and the
    keyways in them, whose skin is that of their bores."""

    names: tuple[str, ...]
    bore: Bore
    plugged_mm: float = 0.0
    keyways: tuple[str, ...] = ()
    mouth: str = "the mouth"

    @property
    def skin_mm2(self) -> float:
        return len(self.names) * self.bore.skin_mm2


def wet_bores(rows: Sequence[Row], plugs: Plugs | None = None) -> tuple[WetBores, ...]:
    """The bores of one part with skin in the bath, and what the current meets as one: passages, pockets and slots with
    walls all round that are deeper than wide. Alike ones together, in the order of their first.

    One that opens into other bores alone is left out: its skin counts as the outside does, see left_even.
    """
    wet = [row for row in rows if row.state is State.WET and row.area_mm2.value > 0.0]
    beside: defaultdict[str, list[Row]] = defaultdict(list)
    for row in wet:
        for name in set(row.feature.into):
            beside[name].append(row)
    alike: dict[tuple[object, ...], WetBores] = {}
    for row in wet:
        name, plugged = row.feature.name, (plugs or {}).get(row.feature.name, {})
        bore, first_mm = _bore(row, plugged, beside[name]), plugged.get(1, 0.0)
        if bore is not None:
            keyways = tuple(each.feature.name for each in _keyways(beside[name]))
            first = alike.get(key := (_rounded(bore), first_mm), WetBores((), bore, first_mm, (), _mouth(row.feature)))
            alike[key] = replace(first, names=(*first.names, name), keyways=(*first.keyways, *keyways))
    return tuple(alike.values())


def _mouth(feature: Feature) -> str:
    if len(feature.mouths) < 2:
        return "the mouth"
    name = mouth_names(feature)[0]
    return name if name.startswith("mouth") else f"the {name} mouth"


def left_even(rows: Sequence[Row], found: Sequence[WetBores]) -> tuple[Feature, ...]:
    """The bores with wet skin that no line runs down, so that they count as the outside does."""
    known = {name for bores in found for name in bores.names}
    return tuple(
        row.feature
        for row in rows
        if row.state is State.WET and row.feature.kind in _BORE_KINDS and row.feature.name not in known
    )


def _keyways(beside: Sequence[Row]) -> list[Row]:
    return [row for row in beside if row.feature.kind is FeatureKind.KEYWAY]


def _bore(row: Row, plugs: Mapping[int, float], beside: Sequence[Row]) -> Bore | None:
    """The shape of one bore, its skin scaled to what is wet of it; None where no line runs down it.

    beside: what opens into it; keyways widen it, and their skin is its own. Mouths between its ends count as openings
    along its side.
    """
    feature, last = row.feature, len(row.feature.mouths)
    stretches = _stretches(feature)
    if not stretches:
        return None
    mouths = [n not in plugs and n in feature.outer_mouths for n in range(1, last + 1)]
    keyways = [each.feature for each in _keyways(beside)]
    depth = math.fsum(s.length_mm for s in stretches)
    wider = math.fsum((k.width_mm or 0.0) * (k.depth_mm or 0.0) * (k.length_mm or 0.0) for k in keyways) / depth
    stretches = [replace(s, section_mm2=s.section_mm2 + wider) for s in stretches]
    stretches = _cut(stretches, plugs.get(1, 0.0))
    if last > 1:
        stretches = _cut(stretches[::-1], plugs.get(last, 0.0))[::-1]
    skin = math.fsum(s.wall_mm2 + s.end_mm2 for s in stretches)
    side = _side(feature, [each.feature for each in beside], depth) + sum(mouths[1:-1]) * 2.0 * (
        feature.diameter_mm or 0.0
    ) / depth  # fmt: skip
    ends = mouths[0], last > 1 and mouths[-1]
    if not any(ends) or skin <= 0.0:
        return None
    share = (row.area_mm2.value + math.fsum(each.area_mm2.value for each in _keyways(beside))) / skin
    scaled = tuple(replace(s, wall_mm2=s.wall_mm2 * share, end_mm2=s.end_mm2 * share) for s in stretches)
    return Bore(scaled, *ends, side)


def _side(feature: Feature, beside: Sequence[Feature], depth_mm: float) -> float:
    """What a bore's open side conducts, for each mm, over kappa: of its round wall, what nothing that opens into it
    takes away."""
    whole = math.fsum(s.round_mm2 or 0.0 for s in feature.steps)
    taken = math.fsum(0.25 * math.pi * f.diameter_mm**2 if f.diameter_mm else (f.width_mm or 0.0) * (f.length_mm or 0.0)
                      for f in beside)  # fmt: skip
    missing = math.fsum(s.open_mm2 for s in feature.steps) - taken
    if not feature.diameter_mm or missing <= (1.0 - _CLOSED) * whole:
        return 0.0
    return slit_conducts(missing / depth_mm, feature.diameter_mm, _WALL * feature.diameter_mm)


def _stretches(feature: Feature) -> list[Stretch]:
    """The lengths of a bore; one of its least diameter where its steps do not lie one behind the other."""
    depth, diameter = feature.depth_mm, feature.diameter_mm
    if feature.kind in _PRISMS:
        return _prism(feature)
    if feature.kind not in _BORE_KINDS or not depth or not diameter or not feature.mouths:
        return []
    if abs(math.fsum(s.depth_mm for s in feature.steps) - depth) > _SAME * depth:
        end = feature.floor_mm2 or 0.0
        return [_stretch(BoreStep(diameter, depth, feature.area_mm2), feature.area_mm2.value - end, end)]
    made: list[Stretch] = []
    flat = 0.0
    for step in feature.steps:
        if step.kind in _ENDS or step.depth_mm <= 1e-3 * depth:
            if made:
                made[-1] = replace(made[-1], end_mm2=made[-1].end_mm2 + step.area_mm2.value)
            else:
                flat += step.area_mm2.value
            continue
        made.append(_stretch(step, step.area_mm2.value + flat, 0.0))
        flat = 0.0
    return made


def _prism(feature: Feature) -> list[Stretch]:
    """A passage, pocket or slot with one section all the way, none where it has not: a line of its own section and skin
    needs no round bore to stand for it."""
    depth, section, around = feature.depth_mm, feature.section_mm2, feature.around_mm
    mouths = len(feature.mouths)
    if not depth or not section or not around or mouths not in (1, 2) or len(feature.opens) != mouths:
        return []
    floor = section if mouths == 1 else 0.0
    wall = feature.area_mm2.value - floor
    if abs(wall / (around * depth) - 1.0) > _PRISM or depth < (feature.width_mm or 0.0):
        return []
    return [Stretch(depth, section, wall, floor)]


def _stretch(step: BoreStep, wall_mm2: float, end_mm2: float) -> Stretch:
    return Stretch(step.depth_mm, 0.25 * math.pi * step.diameter_mm**2, wall_mm2, end_mm2)


def _cut(stretches: list[Stretch], depth_mm: float) -> list[Stretch]:
    """What a plug of this depth leaves, from the first one's side."""
    left = list(stretches)
    while left and depth_mm > 0.0:
        first = left.pop(0)
        if first.length_mm > depth_mm * (1.0 + 1e-9):
            share = 1.0 - depth_mm / first.length_mm
            left.insert(0, replace(first, length_mm=first.length_mm * share, wall_mm2=first.wall_mm2 * share))
        depth_mm -= first.length_mm
    return left


def _rounded(bore: Bore) -> tuple[object, ...]:
    """What tells bores apart: the same to four figures is alike."""
    sizes = tuple(
        float(f"{x:.4g}") for s in bore.stretches for x in (s.length_mm, s.section_mm2, s.wall_mm2, s.end_mm2)
    )
    return sizes, bore.first_open, bore.last_open, float(f"{bore.side:.4g}")


_OUTSIDE = Source(Kind.DERIVED, "the density asked for; less where the power supply gives less")
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
    mouth: str = "the mouth"

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
        return next((t.mean_share.estimate.value for b, t in self.bores if feature in b.names + b.keyways), 1.0)


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
            (part.name, bores.names, thrown, thrown.least_film(film), bores.plugged_mm, bores.mouth)
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
    effective = Figure("area that sets the current", total(f.estimate for f in taking), "mm2",
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
    BORE = "bore counted in full"


def counted_whole(part: Part, density_a_per_dm2: float) -> tuple[Fact, ...]:
    """The bores of a part that a current by area alone counts for more than they take.

    spared: the area that so takes no current.
    """
    bath = USUAL_BATH
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
    area, count = part.all.estimate, part.line.count
    wet = {row.feature.name: row.area_mm2.low for row in part.rows if row.state is State.WET}
    shares = [t.mean_share.estimate for _, t in thrown]
    spared_mm2 = sum(b.skin_mm2 * (1.0 - s.value) for b, s in zip(found, shares, strict=True))
    least_mm2 = [sum(wet[name] for name in b.names + b.keyways) for b in found]  # a bore in doubt is in area.low once
    low_mm2 = area.low - count * sum(a * (1.0 - s.low) for a, s in zip(least_mm2, shares, strict=True))
    low_mm2 = max(low_mm2, area.low * min(s.low for s in shares))  # where what is in doubt may be a bore's
    estimate = Estimate(area.value - count * spared_mm2, low_mm2, area.high, (*area.because, _BORES))
    inputs = (part.all, *(t.mean_share for _, t in thrown))
    formula = "area less, for each bore, its surface x (1 - its share)"
    figure = Figure(f"effective area of all {part.line.name}", estimate, "mm2", formula, _EFFECTIVE, inputs)
    return PartThrow(part.line.name, thrown, figure)
