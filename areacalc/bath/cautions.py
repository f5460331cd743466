"""What can hurt at each piece of work: typed hazards with their harm, their source and the values that they quote.

Safety data sheets, local codes and licensed practice come before all.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum, IntEnum, StrEnum
from typing import Literal, cast

from areacalc.bath.gas import MIST_LIMITS, THIN_SHARE
from areacalc.bath.mixing import Recipe
from areacalc.errors import UnknownName
from areacalc.fact import Fact, Quantity, Value, fact, quantity
from areacalc.figure import Figure
from areacalc.sources import Constant, Kind, Source


class Work(StrEnum):
    """A piece of work at which something can hurt."""

    MIX = "mix"
    TANK = "tank"
    ETCH = "etch"
    DESMUT = "desmut"
    ANODISE = "anodise"
    CATHODES = "cathodes"
    DYE = "dye"
    SEAL = "seal"
    STRIP = "strip"
    WASTE = "waste"


class Harm(IntEnum):
    """How badly it can hurt; the worst comes first."""

    CARE = 1
    INJURES = 2
    KILLS = 3

    @property
    def word(self) -> HarmWord:
        """As it stands in a document."""
        return cast("HarmWord", self.name.lower())


HarmWord = Literal["care", "injures", "kills"]


_PRACTICE = Source(Kind.COMMON_PRACTICE, "as safety data sheets ask")
_LAW = Source(Kind.COMMON_PRACTICE, "local law, codes and licences decide")
_ELECTRIC = Source(Kind.COMMON_PRACTICE, "low-voltage direct current in wet rooms")
_CAUSTIC = Source(Kind.REPORTED, "EU classification as a sheet gives it: H314 severe burns; steps at 0.5, 2 and 5 %")
_WET_CODE = (
    "US National Electrical Code 411.1 as a site on it gives it: 60 V direct current where dry, 30 V where wet contact "
    "is likely; IEC 60598-1, 8.2.3, as a forum quotes it, has the same pair"
)
WET_LIMIT = Constant(30.0, "V", Source(Kind.REPORTED, _WET_CODE))
DRY_LIMIT = Constant(60.0, "V", Source(Kind.REPORTED, f"{_WET_CODE}; NEC 669 guards anodising lines above it"))
RESIDUAL = Constant(30.0, "mA", Source(Kind.COMMON_PRACTICE, "30 mA on the mains side"))


class Hazard(Enum):
    """What can hurt, how badly, and who says so."""

    DATA_SHEETS = "data sheets first", Harm.KILLS, _LAW
    SHOCK = "shock over the dry limit", Harm.KILLS, DRY_LIMIT.source
    SHOCK_WET = "shock over the wet limit", Harm.INJURES, WET_LIMIT.source
    ISOLATED_SUPPLY = "isolated power supply", Harm.KILLS, _ELECTRIC
    RESIDUAL_CURRENT = "residual-current device", Harm.KILLS, RESIDUAL.source
    LIVE_PARTS = "live rack and bars", Harm.INJURES, _ELECTRIC
    FUSE = "fuse", Harm.INJURES, _ELECTRIC
    CONCENTRATED_ACID = "concentrated acid", Harm.KILLS, _PRACTICE
    ACID_INTO_WATER = "order of mixing", Harm.INJURES, _PRACTICE
    BATH_ACID = "bath acid", Harm.INJURES, Source(
        Kind.PUBLISHED, "EU classification: sulphuric acid H314, severe burns; bands of strength from memory"
    )  # fmt: skip
    SPLASH = "splash", Harm.INJURES, _PRACTICE
    HYDROGEN = "hydrogen", Harm.KILLS, Source(
        Kind.REPORTED, "NEN-EN 50272-3 as makers of batteries report it: hydrogen burns in air from 4 % by volume; "
        f"{THIN_SHARE.source.text}")  # fmt: skip
    MIST = "acid mist", Harm.KILLS, Source(
        Kind.REPORTED, "safety tables of chemicals 1.5.2: strong acid mist with sulphuric acid, IARC group 1; "
        + "; ".join(dict.fromkeys(limit.source.text for limit in MIST_LIMITS.values())))  # fmt: skip
    CAUSTIC = "caustic soda", Harm.INJURES, _CAUSTIC
    HOT_CAUSTIC = "hot caustic", Harm.INJURES, _CAUSTIC
    NITRIC = "nitric acid", Harm.KILLS, _PRACTICE
    FLUORIDE_DIP = "fluoride dip", Harm.KILLS, _PRACTICE
    STRIPPING = "stripping in caustic", Harm.INJURES, Source(
        Kind.PUBLISHED, "Products Finishing (pfonline.com), 'Stripping anodic coating'")  # fmt: skip
    LEAD = "lead", Harm.KILLS, Source(
        Kind.REPORTED, "platers' forum 344/13: lead cathodes put lead in the waste; H360FD from memory")  # fmt: skip
    NICKEL = "nickel salts", Harm.KILLS, Source(
        Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 386: nickel salts, carcinogen and sensitiser"
    )  # fmt: skip
    FLUORIDE_SEAL = "fluoride seal", Harm.KILLS, _PRACTICE
    SCALD = "scalds", Harm.INJURES, _PRACTICE
    ALONE = "working alone", Harm.CARE, _PRACTICE
    SPILL = "spill", Harm.CARE, _PRACTICE
    LICENCE = "licence for acid", Harm.CARE, Source(
        Kind.FROM_MEMORY, "EU Regulation 2019/1148 and its like; check where you live")  # fmt: skip
    WASTE = "waste", Harm.CARE, _LAW

    harm: Harm
    source: Source

    def __new__(cls, name: str, harm: Harm, source: Source) -> Hazard:
        made = object.__new__(cls)
        made._value_, made.harm, made.source = name, harm, source
        return made


ALWAYS: dict[Work, tuple[Hazard, ...]] = {
    Work.MIX: (Hazard.ACID_INTO_WATER, Hazard.BATH_ACID, Hazard.SPLASH, Hazard.LICENCE),
    Work.TANK: (Hazard.SPILL, Hazard.ALONE),
    Work.ETCH: (Hazard.CAUSTIC, Hazard.SPLASH, Hazard.HYDROGEN),
    Work.DESMUT: (Hazard.NITRIC, Hazard.FLUORIDE_DIP),
    Work.ANODISE: (
        Hazard.BATH_ACID, Hazard.SPLASH, Hazard.HYDROGEN, Hazard.MIST, Hazard.LIVE_PARTS, Hazard.ISOLATED_SUPPLY,
        Hazard.FUSE, Hazard.RESIDUAL_CURRENT,
    ),
    Work.CATHODES: (),
    Work.DYE: (Hazard.SCALD,),
    Work.SEAL: (),
    Work.STRIP: (Hazard.CAUSTIC, Hazard.STRIPPING, Hazard.HYDROGEN),
    Work.WASTE: (Hazard.WASTE,),
}  # fmt: skip
"""What can hurt at each piece of work, whatever the load; the rest depends on it."""


_ALWAYS_QUOTED: dict[Hazard, dict[str, Quantity]] = {
    Hazard.HYDROGEN: {"share": quantity(100.0 * THIN_SHARE.value, "%")},
    Hazard.MIST: {short: quantity(MIST_LIMITS[name].value, MIST_LIMITS[name].unit) for short, name in (
        ("osha", "OSHA PEL"), ("acgih", "ACGIH TLV, thoracic"), ("eu", "EU indicative, thoracic"))},
    Hazard.RESIDUAL_CURRENT: {"current": quantity(RESIDUAL.value, RESIDUAL.unit)},
    Hazard.SHOCK: {"limit": quantity(DRY_LIMIT.value, "V")},
    Hazard.SHOCK_WET: {"limit": quantity(WET_LIMIT.value, "V")},
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard with the values that its words quote, and the work at which it stands."""

    fact: Fact
    at: tuple[Work, ...] = ()

    @property
    def hazard(self) -> Hazard:
        assert isinstance(self.fact.kind, Hazard)
        return self.fact.kind

    @property
    def harm(self) -> Harm:
        return self.hazard.harm

    @property
    def source(self) -> Source:
        return self.hazard.source


def caution(hazard: Hazard, *at: Work, **of_load: Value | Figure) -> Caution:
    """A caution with the values of this load and those that its words always quote."""
    return Caution(fact(hazard, **of_load, **_ALWAYS_QUOTED.get(hazard, {})), at)


def cautions_at(work: str, *more: Hazard) -> tuple[Caution, ...]:
    """What can hurt at one piece of work, and `more` that this load brings to it. Raises UnknownName.

    >>> [each.hazard.value for each in cautions_at("tank")]
    ['spill', 'working alone']
    """
    if work not in ALWAYS:
        raise UnknownName.among("work", work, list(Work))
    at = Work(work)
    return tuple(caution(hazard, at) for hazard in (*ALWAYS[at], *more))


def shock(most: Figure) -> tuple[Caution, ...]:
    """The shock that the most volts [V] between the bars can give; none up to the limit for wet contact.

    >>> from areacalc.figure import given
    >>> [c.hazard.value for c in shock(given("most", 48.0, "V"))], shock(given("most", 20.0, "V"))
    (['shock over the wet limit'], ())
    """
    for hazard, limit in ((Hazard.SHOCK, DRY_LIMIT), (Hazard.SHOCK_WET, WET_LIMIT)):
        if most.estimate.high > limit.value:
            return (caution(hazard, Work.ANODISE, most=most),)
    return ()


def of_mixing(made: Recipe) -> tuple[Caution, ...]:
    """What can hurt when a recipe is followed; concentrated acid has hazards of its own."""
    if not made.is_concentrated:
        return cautions_at(Work.MIX)
    stock = quantity(made.stock.wt_pct, "wt%")
    strong = caution(Hazard.CONCENTRATED_ACID, Work.MIX, stock=stock, portion=made.portion)
    return (strong, *cautions_at(Work.MIX))


def gathered(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Each caution once with all the work it stands at, the data sheets first, then the worst first.

    >>> found = gathered((*cautions_at("etch"), *cautions_at("anodise")))
    >>> found[0].hazard.value, [c.at for c in found if c.hazard is Hazard.SPLASH]
    ('data sheets first', [(<Work.ETCH: 'etch'>, <Work.ANODISE: 'anodise'>)])
    """
    found: dict[Fact, tuple[Work, ...]] = {}
    for each in cautions:
        found[each.fact] = tuple(dict.fromkeys((*found.get(each.fact, ()), *each.at)))
    first = caution(Hazard.DATA_SHEETS, *dict.fromkeys(at for works in found.values() for at in works))
    return (first, *sorted((Caution(fact, at) for fact, at in found.items()), key=lambda c: -c.harm))
