"""The words of every caution, and a caution as a document."""

from collections.abc import Iterable
from typing import TypedDict

from areacalc.bath.cautions import Caution, HarmWord, Hazard, caution
from areacalc.report.words.telling import Catalogue, Telling

CAUTIONS: Catalogue = {
    Hazard.DATA_SHEETS: "Follow safety data sheets, local codes and licensed practice before anything here.",
    Hazard.SHOCK: "Up to {most:high} can stand between the bars: over {limit} direct current can kill. Guard every live part, lock "
    "the guard to the switch, and leave it to trained people.",
    Hazard.SHOCK_WET: "Up to {most:high} can stand between the bars: over {limit} shocks through wet hands. Cover the bars, keep "
    "hands out of the bath, and keep a switch within reach.",
    Hazard.ISOLATED_SUPPLY: "Use a power supply whose output is isolated from the mains; a bare rectifier or a dimmer "
    "puts the mains into the bath.",
    Hazard.RESIDUAL_CURRENT: "Feed the power supply, pumps and heaters through a residual-current device of {current}. It "
    "guards the mains side, not the bars.",
    Hazard.LIVE_PARTS: "Switch off at the power supply before you touch rack, bar or parts. Hands and leads dry; no bare "
    "metal across the bars.",
    Hazard.FUSE: "Put a fuse at the power supply that blows before the cables get hot.",
    Hazard.CONCENTRATED_ACID: "Acid of {stock} chars skin, blinds, and boils the water it meets. Dry glass or polyethylene "
    "vessels, no metal; face shield; at most {portion:high} at a time, then let the bath cool.",
    Hazard.ACID_INTO_WATER: "Acid goes into water or into a dilute bath, in a thin stream, stirred. Water into strong "
    "acid boils and throws acid.",
    Hazard.BATH_ACID: "Acid of bath strength burns skin and eyes: goggles or face shield, gauntlets, apron, running "
    "water.",
    Hazard.SPLASH: "Lower and lift parts slowly, keep air and pumps gentle, and keep an eye wash within reach.",
    Hazard.HYDROGEN: "Hydrogen comes off: keep it under {share} of the air, with openings high up. No flame, spark or "
    "smoking near the tank.",
    Hazard.MIST: "Gas carries acid mist, which causes cancer: cover the tank or draw the mist off. Limits in air: {osha} (OSHA); of mist fine enough for the lungs {acgih} (ACGIH), {eu} (EU).",
    Hazard.CAUSTIC: "Caustic soda blinds and burns: goggles, gauntlets, apron. Put soda into cold water, a little at a "
    "time. Lids loose: hydrogen and caustic mist come off.",
    Hazard.HOT_CAUSTIC: "Hot caustic scalds as well as burns: {etch} here. Never add soda to it hot; lower parts slowly.",
    Hazard.NITRIC: "Nitric acid and deoxidisers burn and give off poisonous fumes. Draw them off; keep them from caustic, "
    "from organic matter and from each other's drips.",
    Hazard.FLUORIDE_DIP: "Hydrofluoric acid and fluoride dips are for industry alone: small splashes kill.",
    Hazard.STRIPPING: "Stripping racks and contacts in caustic heats and foams with hydrogen: few at a time; take them out as "
    "soon as the metal is bare.",
    Hazard.LEAD: "Lead is poisonous to you and to the unborn: gloves, wash, no food in the room. Sludge and first rinses "
    "are hazardous waste.",
    Hazard.NICKEL: "Nickel salts cause cancer and allergy: gloves, no splashes, no dust. Spent bath is hazardous waste.",
    Hazard.FLUORIDE_SEAL: "A cold seal holds fluoride, which poisons through the skin: gloves, and never acid into it.",
    Hazard.SCALD: "Dye and seal baths scald: lid on, tongs, steam away from the face.",
    Hazard.ALONE: "Never work alone. Keep children and animals away from the tank.",
    Hazard.SPILL: "Stand the tank in a spill tray that holds the whole bath; keep soda ash or lime at hand.",
    Hazard.LICENCE: "In some countries acid over 15 % is sold on licence only: ask before you buy.",
    Hazard.WASTE: "Spent baths and first rinses are waste: neutralise slowly, and dispose of them as local rules say.",
}
_SHORT = {
    Hazard.DATA_SHEETS: "Safety data sheets and local codes come first.",
    Hazard.BATH_ACID: "Acid burns skin and eyes: goggles, gauntlets, running water.",
    Hazard.HYDROGEN: "Hydrogen burns: air the room, no flame.",
    Hazard.MIST: "Acid mist causes cancer: cover the tank or draw the mist off.",
    Hazard.LIVE_PARTS: "Switch off before you touch rack, bar or parts.",
    Hazard.LEAD: "Lead is poisonous: gloves, wash.",
    Hazard.ACID_INTO_WATER: "Acid into water, never water into acid.",
    Hazard.SPLASH: "Lower and lift slowly.",
    Hazard.ALONE: "Never work alone; no children, no animals.",
}
AT_ANY_BATH = (Hazard.DATA_SHEETS, Hazard.BATH_ACID, Hazard.HYDROGEN, Hazard.MIST, Hazard.LIVE_PARTS)
"""What can hurt wherever a current flows through the acid."""


def caution_text(each: Caution, inch: bool = False) -> str:
    """A caution in words, its values in metric or US units."""
    return Telling(each.fact, inch).tell(CAUTIONS[each.hazard])


def caution_lines(cautions: Iterable[Caution], inch: bool = False) -> tuple[str, ...]:
    """Cautions in words, each with its source."""
    return tuple(f"{caution_text(each, inch)} ({each.source})" for each in cautions)


def short_cautions(*hazards: Hazard) -> str:
    """A few hazards in one paragraph, as short as they can be."""
    return shortened(map(caution, hazards))


def shortened(cautions: Iterable[Caution], inch: bool = False) -> str:
    """Cautions in one paragraph, as short as they can be."""
    return " ".join(_SHORT.get(each.hazard) or caution_text(each, inch) for each in cautions)


class CautionDocument(TypedDict):
    """What can hurt: the hazard, how badly, its words, its source and the work it stands at."""

    hazard: str
    harm: HarmWord
    text: str
    source: str
    at: list[str]


def caution_document(each: Caution, inch: bool = False) -> CautionDocument:
    """One caution."""
    return {"hazard": each.hazard.value, "harm": each.harm.word, "text": caution_text(each, inch),
            "source": str(each.source), "at": [at.value for at in each.at]}  # fmt: skip
