"""The usual cautions of a run, each where its step can hurt; the data sheets and local codes come first."""

from __future__ import annotations

from areacalc.run.load import Load, Look

FIRST = (
    "Follow the safety data sheets of what you use, local codes and licensed practice; they come before anything here."
)
ACID = "Acid burns skin and eyes: goggles, gauntlets, apron, water at hand; acid into water, never water into acid."
MIST = "Gas bubbles carry acid mist: cover or draw off the tank, and keep your face away from it."
HYDROGEN = "The cathode gives off hydrogen: air the room, no flame, spark or smoking over the tank."
CURRENT = "Switch the supply off before you touch rack, bar or parts; keep hands and leads dry."
CAUSTIC = "Caustic soda blinds: goggles and gauntlets; it gives off hydrogen and heat as it etches."
LEAD = "Lead is poisonous: gloves, no food in the room; its sludge is hazardous waste."
HEAT = "Dye and seal baths are near boiling: steam and splashes scald."
WASTE = "Spent baths and first rinses are waste: neutralise and hand in as local rules say."
DESMUT = "Acids for desmutting give off fumes: draw them off, and never mix them with caustic."


def tank_cautions(metal: str) -> tuple[str, ...]:
    """What can hurt at a new tank, by the metal of its cathodes."""
    return (FIRST, ACID, MIST, HYDROGEN, CURRENT, *((LEAD,) if metal == "lead" else ()), WASTE)


def cautions(load: Load) -> tuple[str, ...]:
    """What can hurt in this load, in the order of the day."""
    etched = load.finish.look is Look.MATTE
    lead = load.cathodes is not None and load.cathodes.strip_metal.name == "lead"
    return (
        FIRST, *((CAUSTIC, DESMUT) if etched else ()), ACID, MIST, HYDROGEN, CURRENT, *((LEAD,) if lead else ()), HEAT,
        WASTE,
    )  # fmt: skip
