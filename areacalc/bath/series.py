"""The series of aluminium alloys and what each makes of film, look, smut and dye."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.film import AS_THE_RULE
from areacalc.bath.growth import NO_OXYGEN, Takes
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
    """A series: what it makes of the charge rule (1: as it stands), its look, the smut an etch leaves, how it dyes."""

    name: str
    film_factor: Constant
    look: Said
    smut: Said
    dye: Said
    oxygen: Constant = NO_OXYGEN

    @property
    def takes(self) -> Takes:
        """What the series makes of a charge."""
        return Takes(self.film_factor, self.oxygen)


def _follows(least: float) -> Constant:
    """The rule as it stands; the least is where recalled coating ratios lie."""
    text = f"{_PAGE}; least {least:g} from memory: {_RATIOS}"
    return Constant(1.0, "", Source(Kind.PUBLISHED, text), low=least, high=1.0)


def _recalled(value: float, least: float, most: float) -> Constant:
    return Constant(value, "", Source(Kind.FROM_MEMORY, f"{_RATIOS}: {least:g} to {most:g}"), low=least, high=most)


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
_LIGHT = Said("An etch leaves little smut; desmut all the same.", _GUIDE_477)
_GREY = Said("An etch leaves a grey smut that wipes off: desmut until a wiped glove stays clean.", _GUIDE_477)
_BLACK_SMUT = Said("An etch leaves heavy dark smut of copper: desmut in nitric acid or a deoxidiser.", _MEMORY)
_TAKES = Said("Takes dye evenly.", _PRACTICE)

FAMILIES: dict[str, Family] = {f.name: f for f in (
    Family("unknown", AS_THE_RULE, Said("No alloy was named: try one piece first.", _PRACTICE), _GREY, _TAKES),
    Family("1xxx", _ASSUMED, Said("The clearest, brightest film.", GUIDE_478), _LIGHT, _TAKES),
    Family("2xxx", _COPPER,
           Said("A thinner, duller and less durable coating; off the charge rule.", GUIDE_478), _BLACK_SMUT,
           Said("Dyes weaker and less evenly than 6xxx: test the shade.", _PRACTICE), _OXYGEN),
    Family("3xxx", _ASSUMED, Said("Slightly grey-brown; protects well.", _MEMORY), _GREY,
           Said("Pale shades look muddy.", _MEMORY)),
    Family("4xxx", _recalled(0.75, 0.60, 0.90), Said("Dark grey from its silicon.", _MEMORY),
           Said("An etch bares black silicon that nitric acid alone does not take off.", GUIDE_478),
           Said("Dark shades only.", GUIDE_478)),
    Family("5xxx", _follows(0.90), Said("Good to about 2 % magnesium, duller above.", GUIDE_478), _LIGHT, _TAKES),
    Family("6xxx", _follows(0.95), Said("Good, clear coating; follows the charge rule.", _RULE), _LIGHT, _TAKES),
    Family("7xxx", _follows(0.85), Said("Follows the charge rule; colour varies with its zinc and copper.", _MEMORY),
           _GREY, Said("Shades drift from batch to batch: dye by eye.", _MEMORY)),
    Family("cast", _recalled(0.75, 0.60, 0.90),
           Said("Castings up to 13 % silicon are difficult: grey, uneven, pores hold acid.", GUIDE_478),
           Said("Smut of silicon needs a dip with hydrofluoric acid: for industry alone, never here.", GUIDE_478),
           Said("Dark shades at best; acid that bleeds from pores spots the dye.", _PRACTICE)),
    Family("cast-magnesium", _recalled(0.95, 0.90, 1.0),
           Said("The castings that anodise best, clear to slightly dull.", _MEMORY), _LIGHT, _TAKES),
)}  # fmt: skip
"""By series of wrought alloys, `cast`, `cast-magnesium`, and `unknown` where none is named."""
