"""The usual cautions of each step that can hurt; data sheets, local codes and licensed practice come first.

Each is a sentence for the sheet and the source of what it states; limits in air are those of gas.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.gas import MIST_LIMITS, THIN_SHARE
from areacalc.bath.series import Said
from areacalc.errors import UnknownName
from areacalc.sources import Kind, Source

_PRACTICE = Source(Kind.COMMON_PRACTICE, "what every safety data sheet of these asks for")
_EU = Source(Kind.PUBLISHED, "EU classification: sulphuric acid H314, severe burns; bands of strength from memory")
_CAUSTIC_EU = Source(Kind.PUBLISHED, "EU classification: sodium hydroxide H314, severe burns; steps at 0.5, 2 and 5 %")
_IARC = Source(Kind.PUBLISHED, "safety tables of chemicals 1.5.2: strong acid mist with sulphuric acid, IARC group 1")
_NICKEL = Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2012-13, p. 386: nickel salts, carcinogen and sensitiser")
_LEAD = Source(Kind.SECOND_HAND, "platers' forum 344/13: lead cathodes put lead in the waste; H360FD from memory")
_FLAMMABLE = Source(
    Kind.SECOND_HAND, "NEN-EN 50272-3 as makers of batteries report it: hydrogen burns in air from 4 % by volume"
)
_MIST = Source(Kind.SECOND_HAND, "; ".join(dict.fromkeys(limit.source.text for limit in MIST_LIMITS.values())))
_SHEETS = Source(Kind.COMMON_PRACTICE, "what has a law, a code or a licence is not decided here")

FIRST = Said(
    "Follow the safety data sheets of what you use, local codes and licensed practice; they come before anything here.",
    _SHEETS,
)
_ACID = Said("Acid of bath strength burns skin and eyes: goggles or face shield, gauntlets, apron, running water.", _EU)
_INTO_WATER = Said("Acid into water, slowly, stirring; never water into acid: it boils and throws acid.", _PRACTICE)
_MIST_SAID = Said(
    "Gas carries acid mist, which causes cancer: cover or draw off the tank. Limits in air: "
    + ", ".join(f"{name} {limit.value:g} {limit.unit}" for name, limit in MIST_LIMITS.items() if name != "IDLH") + ".",
    Source(Kind.SECOND_HAND, f"{_IARC.text}; {_MIST.text}"),
)  # fmt: skip
_HYDROGEN = Said(
    f"Hydrogen comes off: keep it under {100.0 * THIN_SHARE.value:g} % of the air, with openings high up; no flame, "
    "spark or smoking near the tank.", Source(Kind.SECOND_HAND, f"{_FLAMMABLE.text}; {THIN_SHARE.source.text}"),
)  # fmt: skip
_CURRENT = Said(
    "Switch off at the supply before you touch rack, bar or parts; hands and leads dry; no bare metal across the bars; "
    "a fuse or limit for what the cables carry.", _PRACTICE,
)  # fmt: skip
_CAUSTIC = Said(
    "Caustic soda blinds and burns: goggles, gauntlets, apron. Soda into cold water, a little at a time: it heats, and "
    "never into hot water. Lids loose: the etch gives off hydrogen and caustic mist.", _CAUSTIC_EU,
)  # fmt: skip
_DESMUT = Said(
    "Nitric acid and deoxidisers give off poisonous fumes and burn: draw off, and never let them meet caustic, organic "
    "matter or each other's drips.", _PRACTICE,
)  # fmt: skip
_FLUORIDE = Said("Hydrofluoric acid and fluoride dips are for industry alone: small splashes kill.", _PRACTICE)
_LEAD_SAID = Said(
    "Lead is poisonous to you and to the unborn: gloves, wash, no food in the room; sludge and first rinses are "
    "hazardous waste.", _LEAD,
)  # fmt: skip
_HOT = Said("Dye and seal baths scald: lid on, tongs, steam away from the face.", _PRACTICE)
_NICKEL_SAID = Said("Nickel seals cause cancer and allergy: gloves, no splashes or dust; hazardous waste.", _NICKEL)
_WASTE = Said("Spent baths and first rinses are waste: neutralise slowly, and hand in as local rules say.", _SHEETS)
_SPILL = Said(
    "The tank stands in an outer one that holds the whole bath; soda ash or lime at hand for spills.", _PRACTICE
)
_LAW = Said(
    "In some countries acid over 15 % is sold on licence only: ask before you buy.",
    Source(Kind.FROM_MEMORY, "EU Regulation 2019/1148 and its like; check where you live"),
)
_ALONE = Said("Not alone, and not where children or animals can reach the tank.", _PRACTICE)

CAUTIONS: dict[str, tuple[Said, ...]] = {
    "mix": (_ACID, _INTO_WATER, _LAW),
    "tank": (_SPILL, _ALONE),
    "etch": (_CAUSTIC, _HYDROGEN),
    "desmut": (_DESMUT, _FLUORIDE),
    "anodise": (_ACID, _HYDROGEN, _MIST_SAID, _CURRENT),
    "lead cathodes": (_LEAD_SAID,),
    "dye": (_HOT,),
    "seal": (_HOT,),
    "nickel seal": (_HOT, _NICKEL_SAID),
    "waste": (_WASTE,),
}
"""By step, worst first. `FIRST` stands before them all."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution and the steps it stands at."""

    said: Said
    steps: tuple[str, ...]


def cautions_at(step: str) -> tuple[Said, ...]:
    """The cautions of one step. Raises UnknownName.

    >>> cautions_at("seal")[0].text
    'Dye and seal baths scald: lid on, tongs, steam away from the face.'
    """
    if step not in CAUTIONS:
        raise UnknownName.among("step", step, CAUTIONS)
    return CAUTIONS[step]


def cautions_of(*steps: str) -> tuple[Caution, ...]:
    """FIRST and then every caution of the steps once, each with the steps it stands at. Raises UnknownName.

    >>> [c.steps for c in cautions_of("etch", "anodise")][2]
    ('etch', 'anodise')
    """
    found: dict[Said, list[str]] = {FIRST: list(steps)}
    for step in steps:
        for said in cautions_at(step):
            found.setdefault(said, []).append(step)
    return tuple(Caution(said, tuple(at)) for said, at in found.items())
