"""What alloy the part is: how it films, looks and takes dye, what it may not go into the bath with, what is refused.

Compositions of the common alloys are from memory, so they refuse nothing: where one is over a limit it is told, and the
person's own certificate decides.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from areacalc.bath.film import Takes
from areacalc.bath.table import rows
from areacalc.errors import BadInput, CannotRun, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.sources import Constant, Kind, Source

GUIDE_478 = Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 478")
_GUIDE_477 = Source(
    Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 477: smut of alloying elements after an etch"
)
_PAGE = "Products Finishing (pfonline.com): the charge rule holds for most 5000 to 7000 alloys, 2000 not necessarily"
_RULE = Source(Kind.PUBLISHED, _PAGE)
_RATIOS = "coating ratios against 1100, recalled from Wernick & Pinner and Mason & Fowle"
_MEMORY = Source(Kind.FROM_MEMORY, "recalled from handbooks of anodising")
_PRACTICE = Source(Kind.COMMON_PRACTICE, "small shops")


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence and where it comes from."""

    text: str
    source: Source


@dataclass(frozen=True, slots=True)
class Family:
    """A series: what it makes of a charge, its look, the smut an etch leaves, how it dyes."""

    name: str
    takes: Takes
    look: Said
    smut: Said
    dye: Said


def _follows(least: float) -> Takes:
    """The rule as it stands; the least is where recalled coating ratios lie."""
    text = f"{_PAGE}; least {least:g} from memory: {_RATIOS}"
    return Takes(Constant(1.0, "", Source(Kind.PUBLISHED, text), low=least, high=1.0))


def _recalled(value: float, least: float, most: float) -> Takes:
    text = f"{_RATIOS}: {least:g} to {most:g}"
    return Takes(Constant(value, "", Source(Kind.FROM_MEMORY, text), low=least, high=most))


_COPPER = Constant(
    0.75, "", Source(Kind.PUBLISHED, "Products Finishing (pfonline.com) on 2000 alloys: about 20 % less coating "
                     "('Hardness of hardcoat anodize'), up to 50 % more time ('Hardcoat anodize thickness "
                     f"problem'); most from memory: {_RATIOS}"), low=0.667, high=0.85,
)  # fmt: skip
_OXYGEN = Constant(
    0.5, "", Source(Kind.DERIVED, "copper enriched under the coating makes oxygen (Corros. Sci. 2006); no share "
                    "was found: none to all of the growth that is lacking, the rest dissolves"), low=0.0, high=1.0,
)  # fmt: skip
_ASSUMED = Constant(
    1.0, "", Source(Kind.FROM_MEMORY, f"no ratio of its own is held: the charge rule as it stands; {_PAGE}")
)
_AS_ASSUMED = Takes(_ASSUMED)
_TAKES = {
    "unknown": Takes(), "1xxx": _AS_ASSUMED, "2xxx": Takes(_COPPER, _OXYGEN), "3xxx": _AS_ASSUMED,
    "4xxx": _recalled(0.75, 0.60, 0.90), "5xxx": _follows(0.90), "6xxx": _follows(0.95), "7xxx": _follows(0.85),
    "cast": _recalled(0.75, 0.60, 0.90), "cast-magnesium": _recalled(0.95, 0.90, 1.0),
}  # fmt: skip
_SOURCES = {
    "page 478": GUIDE_478, "page 477": _GUIDE_477, "charge rule": _RULE, "memory": _MEMORY, "practice": _PRACTICE,
}  # fmt: skip
FAMILIES: dict[str, Family] = {
    row["name"]: Family(
        row["name"], _TAKES[row["name"]],
        *(Said(row[what], _SOURCES[row[f"{what}_source"]]) for what in ("look", "smut", "dye")),
    )
    for row in rows("alloy_families")
}  # fmt: skip
"""By series of wrought alloys, `cast`, `cast-magnesium`, and `unknown` where none is named."""


COMPOSITION = Source(
    Kind.FROM_MEMORY, "registered composition limits of wrought and cast alloys; your material certificate overrules"
)
_ISO_10074 = Source(
    Kind.REPORTED, "ISO 10074:2021 as reported by lonroy.com: over this, and for die castings, special procedures"
)
MOST_COPPER = Constant(5.0, "%", _ISO_10074)
MOST_SILICON = Constant(8.0, "%", _ISO_10074)
COPPER_WEARS = Constant(2.0, "%", Source(
    Kind.REPORTED, "rawgoods.org on MIL-A-8625: hard coating may wear 3.5 mg from here on, else 1.5"))  # fmt: skip
SILICON_BRIGHT = Constant(5.0, "%", Source(GUIDE_478.kind, f"{GUIDE_478.text}: over this not for bright colours"))
MAGNESIUM_BRIGHT = Constant(2.0, "%", Source(GUIDE_478.kind, f"{GUIDE_478.text}: over this the coating is duller"))
ONE_ALLOY = Source(
    Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 478: volts and current differ, so mixed loads coat unevenly"
)
EATEN = {row["metal"]: tuple(row["called"].split()) for row in rows("eaten_metals")}
"""Metals that the acid or the current eats, by the words people call them."""
_FILLERS = {"ALUMINIUM", "ALUMINUM", "ALLOY", "EN", "AW", "AA", "AC"}
_TEMPER = re.compile(r"[THOF]\d*")
_TEMPER_OR_ISSUE = re.compile(r"T\d+$|(?<=\d)\.\d$")


@dataclass(frozen=True, slots=True)
class Alloy:
    """An alloy and what to expect of it; its shares of copper, silicon and magnesium [%], as far as they are known.

    certified: the elements whose shares are from a certificate; the others are from memory and refuse nothing.
    """

    name: str
    family: Family
    form: str  # wrought, cast, die-cast
    shares_pct: Mapping[str, Estimate] = field(default_factory=dict)
    certified: frozenset[str] = frozenset()

    @property
    def takes(self) -> Takes:
        return self.family.takes

    @property
    def expects(self) -> tuple[Said, ...]:
        """What to expect: look, smut, dye, and what its copper, silicon and magnesium add."""
        return (self.family.look, self.family.smut, self.family.dye, *_of_shares(self))


def alloy_named(
    name: str | None, where: str = "alloy", copper_pct: float | None = None, silicon_pct: float | None = None,
    magnesium_pct: float | None = None,
) -> Alloy:  # fmt: skip
    """The alloy of a name such as '6061', '6061-T6', 'EN AW-6082', 'AlMg3', 'A356', '7xxx', 'casting', or None.

    None is an ordinary wrought alloy of which nothing is known. Shares [%] from a certificate overrule those held.
    Raises BadInput for a metal that the acid eats or an impossible share, UnknownName for a name that is no alloy.

    >>> alloy_named("EN AW-6082 T6").name, alloy_named("2024").takes.film_factor.source.kind.value
    ('6082', 'published')
    """
    alloy = Alloy("aluminium", FAMILIES["unknown"], "wrought") if name is None else _found(name, where)
    told = {"copper": copper_pct, "silicon": silicon_pct, "magnesium": magnesium_pct}
    shares = {element: _share(element, pct) for element, pct in told.items() if pct is not None}
    return replace(alloy, shares_pct={**alloy.shares_pct, **shares}, certified=frozenset(shares))


def refuse_metal(name: str, where: str = "alloy") -> None:
    """Raises BadInput for brass, steel, copper, magnesium and other metals that are no aluminium."""
    words = set(re.split(r"[\s,/+()]+", name.lower()))
    for metal, called in EATEN.items():
        if words & set(called):
            what = f"{metal} is eaten in the bath and spoils it"
            raise BadInput(where, what, "take it out or plug it: aluminium alone is anodised here")
    if "titanium" in words:
        raise BadInput(where, "titanium takes another kind of coating", "take it out: aluminium alone is anodised here")


class AlloyFault(Enum):
    OVER_LIMIT = "over a published limit"
    MAY_BE_OVER_LIMIT = "may be over a published limit"
    DIE_CASTING = "die casting"
    MIXED = "several alloys in one load"


def over_limits(alloy: Alloy) -> tuple[Fact, ...]:
    """Each limit of hard coating that the alloy is, or may be, over by the recalled composition, till certified."""
    found = []
    for element, share, limit in _limited(alloy):
        if share.high <= limit.value or element in alloy.certified:
            continue
        kind = AlloyFault.OVER_LIMIT if share.low >= limit.value else AlloyFault.MAY_BE_OVER_LIMIT
        found.append(fact(
            kind, alloy=alloy.name, element=element, share=quantity(share, "%"), limit=quantity(limit.value, "%"),
            composition=COMPOSITION, source=limit.source,
        ))  # fmt: skip
    if alloy.form == "die-cast":
        found.append(fact(AlloyFault.DIE_CASTING, alloy=alloy.name, source=_ISO_10074))
    return tuple(found)


def refuse_for_hard_coating(alloy: Alloy) -> None:
    """Raises CannotRun where a certificate puts copper or silicon over the limit; recalled shares refuse nothing."""
    for element, share, limit in _limited(alloy):
        if element in alloy.certified and share.low >= limit.value:
            said = f"{alloy.name} holds {share.value:g} % {element}, over {limit.value:g} % ({limit.source})"
            raise CannotRun("hard coating", said, "choose another alloy or window")


def _limited(alloy: Alloy) -> Iterable[tuple[str, Estimate, Constant]]:
    """The elements that hard coating limits, as far as their shares are known."""
    for element, limit in (("copper", MOST_COPPER), ("silicon", MOST_SILICON)):
        if element in alloy.shares_pct:
            yield element, alloy.shares_pct[element], limit


def mixed(alloys: Iterable[Alloy]) -> Fact | None:
    """What there is to say where a load holds more than one alloy."""
    names = sorted({alloy.name for alloy in alloys})
    return fact(AlloyFault.MIXED, alloys=tuple(names), source=ONE_ALLOY) if len(names) > 1 else None


def _found(name: str, where: str) -> Alloy:
    refuse_metal(name, where)
    words = [w.upper() for w in re.split(r"[\s,\-_/]+", name.strip()) if w]
    words = [re.sub(r"^(?:EN|AW|AA|AC)(?=\d)", "", w) for w in words if not _TEMPER.fullmatch(w) and w not in _FILLERS]
    for word in words:
        for row in rows("alloy_limits_from_memory"):
            called = {row["name"].upper(), row["also"].upper() or "-"}
            if {word, _TEMPER_OR_ISSUE.sub("", word)} & called:
                return _of_row(row)
    for word in words:
        if match := re.fullmatch(r"([1-7])(?:\d{3}|X{3})(?:T\d+)?", word):
            return Alloy(word.partition("T")[0].replace("X", "x"), FAMILIES[f"{match[1]}xxx"], "wrought")
        if word in ("CASTING", "CAST", "DIECAST", "DIE"):
            return Alloy("casting", FAMILIES["cast"], "die-cast" if "DIE" in name.upper() else "cast")
    if not words:
        return Alloy("aluminium", FAMILIES["unknown"], "wrought")
    known = (row["name"] for row in rows("alloy_limits_from_memory"))
    raise UnknownName.among(where, name, (*known, "casting", "die casting"))


def _of_row(row: dict[str, str]) -> Alloy:
    name, form = row["name"], row["form"]
    shares = {}
    for metal in ("copper", "silicon", "magnesium"):
        low, high = float(row[f"{metal}_least"]), float(row[f"{metal}_most"])
        shares[metal] = Estimate(0.5 * (low + high), low, high, ("composition limits, from memory",))
    family = FAMILIES[f"{name[0]}xxx"] if form == "wrought" else FAMILIES["cast"]
    if form == "cast" and shares["silicon"].high < 1.0:
        family = FAMILIES["cast-magnesium"]
    return Alloy(name, family, form, shares)


def _share(metal: str, share_pct: float) -> Estimate:
    if not 0.0 <= share_pct <= 25.0:
        raise BadInput(metal, f"{share_pct:g} % of {metal} is not an aluminium alloy", "give its share, 0 to 25 %")
    return Estimate.exact(share_pct)


def _of_shares(alloy: Alloy) -> Iterable[Said]:
    asked = (
        ("copper", COPPER_WEARS, "a hard coating wears sooner"),
        ("silicon", SILICON_BRIGHT, "grey to dark, no bright colour"),
        ("magnesium", MAGNESIUM_BRIGHT, "a duller coating"),
    )
    for element, limit, words in asked:
        if (share := alloy.shares_pct.get(element)) is not None and share.value >= limit.value:
            percent = f"{share.value:g}" if share.width == 0.0 else f"{share.low:g} to {share.high:g}"
            yield Said(f"{percent} % {element}: {words}.", limit.source)
