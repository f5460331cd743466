"""Sentences for what is wrong with a run: what happens to the part, then what to do."""

from areacalc.bath.alloy import AlloyFault
from areacalc.bath.burn import Burning
from areacalc.bath.ceiling import Ceiling
from areacalc.bath.dissolved import Aluminium
from areacalc.bath.film import Stated
from areacalc.bath.seal import SealFault
from areacalc.plan.fault import FaultKind, Idle, Weight
from areacalc.plan.room import NoPlace
from areacalc.report.words.bores import LONGER, NO_LONGER
from areacalc.report.words.fits import FITS
from areacalc.report.words.telling import Catalogue, Telling, joined

WEIGHTS = {Weight.STOPS: "stops the run", Weight.SPOILS: "spoils the part", Weight.WATCH: "watch"}


def _cool(t: Telling) -> str:
    ice = t(" ({ice:high} of ice in closed bottles)") if "ice" in t else ""
    sure = t(", by {cooling:high} to be sure") if t("{cooling}") != t("{cooling:high}") else ""
    return t("Cool it by {cooling}") + sure + ice + ", use more liquid, or run fewer parts at a time." + _dyed(t)


def _dyed(t: Telling) -> str:
    return t(" Dyed work needs it no warmer than {dyed:about}.") if "dyed" in t else ""


def _hanging(t: Telling) -> str:
    whose = t(" of {parts}") if "parts" in t else ""
    said = " is not given: a bore that traps air stays bare. Give {key:up}; {key:hang} finds the best way."
    return t("Which way is up" + whose + said)


def _bore(t: Telling, then: str) -> str:
    alike = t.count("alike")
    more = f" and {alike - 1} like it" if alike > 1 else ""
    return t(
        "{part}, {bore}" + more + ": the coating is {film:bounds} at its thinnest, {at} from {mouth}; the outside "
        "gets {outside}. "
    ) + t(then)


def _dye_not_known(t: Telling) -> str:
    holds = "up to a {shade} shade" if "shade" in t else "no shade well"
    return t(f"This coating takes {holds}. Which shade is wanted is not known: say how deep, such as {{dye}}, dark, in "
             "{key:finish.dye}, or give {key:finish.shade} in place of a thickness.")  # fmt: skip


def _wires_assumed(t: Telling) -> str:
    unsaid = t.fact["unsaid"]
    assert isinstance(unsaid, tuple)
    keys = joined([f"{{key:rack.{key}}}" for key in unsaid])
    return t(
        "The rack counts as bare {metal}, {thick:metric} thick: {bare:bounds} of it in the liquid, {share:percent} of the "
        f"area, {{current}} of the {{of}} set. That is partly assumed: give {keys}."
    )


def _would_do(t: Telling, what: str) -> str:
    return t(f" The smallest tank for {what}: {{tank}} of liquid, {{litres}}.") if "tank" in t else ""


def _too_large(t: Telling) -> str:
    between = " between the cathodes" if t.count("between_cathodes") else ""
    return t("{part}, {size}, does not fit in {room} of liquid" + between + ", upright, lying or leaned.") + _would_do(
        t, "it alone"
    )


def _with_air(t: Telling) -> str:
    """What the current set comes to at either end, where that lies outside the window."""
    burns = " With air, on the rest {current} is {density:high}, above the {most} usual for this finish: that may burn."
    soft = " Filled, {current} is only {density:low}, under the {least} usual here: a softer, thinner coating."
    return (t(burns) if "most" in t else "") + (t(soft) if "least" in t else "")


def _stands_out(t: Telling) -> str:
    said = "{part}, {high} high as it hangs, stands out of {liquid} of liquid. Hang it another way, or give its {key:liquid_line}."
    return t(said) + _would_do(t, "it alone")


_OUTSIDE_RULE = "the charge rule, {rule}, is published for {stated:range}; this bath has {value}."

FAULTS: Catalogue = {
    FaultKind.SUPPLY_BELOW_WINDOW: "The power supply gives {current}, only {density}: below the window of {least:number} to "
    "{most} ({source}). The coating gets soft, thin and uneven. See the ways out.",
    FaultKind.SUPPLY_IN_OTHER_WINDOW: "The power supply gives {current}, {density}: under the {least:number} to {most} asked "
    "for, inside the {source} window '{other}', {range:range}. The coating is sound, and takes {time}.",
    FaultKind.SUPPLY_SETS_CURRENT: "The power supply gives less than the middle setting, {wanted}. The run takes "
    "longer.",
    FaultKind.FILM_OF_OTHER_ALLOY: "The coating measured in this bath was on {measured}; for {alloy} the plan uses the charge rule "
    "{rule}. Measure one of these parts after the run.",
    FaultKind.BORES_NOT_KNOWN: "The current that the bores take is uncertain, so the density may leave the window. "
    "This setting is the likeliest to stay inside.",
    FaultKind.AREA_NOT_KNOWN: "The area is too uncertain for one current to stay inside the window. Make the "
    "area more certain first.",
    FaultKind.AREA_IN_NARROW_BORES: lambda t: t("{part}: {bores} may keep air or fill with acid.") + _with_air(t) + t(
        " Fill each with a syringe (say so with {key:fill}), or plug it."),
    FaultKind.DENSITY_MAY_BE_LOW: "The density may be only {density:low}, under the window's {least}: a softer, thinner "
    "coating than planned.",
    FaultKind.NO_SUPPLY: "No power supply is given. Use one of {current} and {voltage} or more, which has a quarter to spare.",
    FaultKind.VOLTS_HOLD_DOWN: "From {start:number} to {stop} the power supply is at its limit of {limit}: it drives "
    "{least:number} to {most}, not the {set} set.",
    FaultKind.CURRENT_LIMIT: "From {start:number} to {stop} the power supply is at its limit of {limit}.",
    FaultKind.VOLTS_TOO_LOW: "At {voltage} the power supply drives {current} at most, {density} over the run; the window is "
    "{least:number} to {most}. See the ways out.",
    FaultKind.RAMP_TOO_LONG: "The ramp of {ramp} is longer than the run: after {time} the current is still rising, at {reached} of the {set} set. Shorten the ramp.",
    FaultKind.NO_RAMP: "No ramp: raise the current over a few minutes, or sharp edges burn.",
    FaultKind.AGITATION_NOT_GIVEN: "How the bath is stirred is not given; the plan assumes {counted}. Give {key:bath.agitation}: "
    "still, air or pump.",
    FaultKind.BATH_BOILS: lambda t: t("The bath boils after {after}, with the current still on. ") + _cool(t),
    FaultKind.BATH_TOO_HOT: lambda t: t("The bath ends at {end}; the rules used here stop at {known} ({source}). ") + _cool(t),
    FaultKind.BATH_WARMS: lambda t: t("The bath warms by {rise:bounds}, more than the {band} allowed. ") + _cool(t),
    FaultKind.HARD_BATH_WARMS: lambda t: t("A hard coating needs a cold bath: the bath warms by {rise:bounds}, more than the {band} "
                                           "allowed. ") + _cool(t),
    FaultKind.BATH_MAY_WARM: lambda t: t("The bath may warm by {rise:high}, more than the {band} allowed. Watch it.") + _dyed(t),
    FaultKind.TOO_WARM_FOR_DYE: "The bath is {now}; dyed work needs {most:about} or less ({source}). Cool it.",
    FaultKind.MAY_BE_TOO_WARM_FOR_DYE: "Dyed work needs a bath no warmer than {most:about}; this one may reach {end:high} ({source}).",
    FaultKind.TOO_WARM_FOR_HARD: "A hard coating needs a cooled bath near 0 C ({source}); this one is {now}.",
    FaultKind.ODD_STRIPS: "An odd number of cathodes, {count}, cannot hang evenly on both sides: the side with fewer gets a thinner coating. "
    "Hang an even number.",
    FaultKind.UNEVEN: "On the outside the coating is up to {strays:bounds} thicker or thinner than its mean. Hang more strips, spread "
    "along the row and as deep as the parts, or fewer parts.",
    FaultKind.DISTANCE_NOT_KNOWN: "The distance from part to cathode is not known. Give {key:cathodes.distance}, or part "
    "files and the tank's sizes. Usual is {usual} or more ({source}).",
    FaultKind.TANK_NARROW: "The tank is narrow: {distance} from part to cathode. The usual {usual} ({source}) takes a tank "
    "{wide} wide. Keep both sides alike.",
    FaultKind.DISTANCE_DOES_NOT_FIT: "A cathode distance of {told} does not fit: in a tank {width} wide there is {room} on "
    "each side, between the parts and the cathodes. Measure it again, or leave out {key:cathodes.distance}.",
    FaultKind.NO_TRIAL_ETCH: "The sizes use an etch rate from memory. Weigh a trial piece before and after an etch, and "
    "give {key:finish.etch_trial_loss+etch_trial_area}.",
    FaultKind.KEYS_WITHOUT_FILE: "{part}: {keys} cannot change an area that is given as a number. Give a part file instead.",
    FaultKind.AIR_TRAPPED: "{part}, {bores}: air is trapped, and {bare:small} stays bare, up to {most:small}. Turn it "
    "mouth up, hang it another way, or plug it.",
    FaultKind.AIR_IF_TILTED: "{part}, {bores}: if it tilts, air is trapped, and up to {most:small} stays bare. Hang it "
    "true and move it as it goes in.",
    FaultKind.PART_NOTE: "{part}: {note}.",
    FaultKind.UNIT_DOUBTED: "{part}: {note}. The current for that size would burn it. If {unit} is right, give unit = \"{unit}, checked\".",
    FaultKind.UNIT_ASSUMED: "The files of {parts} state no unit; the plan took mm. Give {key:unit}.",
    FaultKind.AIR_HELD: "Narrow bores of {part}: {note}.",
    Idle.NO_ETCH: "Not used: {keys}. The surface is gloss, so nothing is etched; give {key:finish.surface} as matte for an etch.",
    Idle.NO_SEAL: "Not used: {keys}. The coating is left unsealed; give {key:finish.seal} to seal it.",
    FaultKind.HANGING_NOT_GIVEN: _hanging,
    FaultKind.BARE_WIRES: "Bare wires add {bare}, {share:percent}, not counted. Say under {key:rack} what the wires are.",
    FaultKind.WIRES_ASSUMED: _wires_assumed,
    FaultKind.RACK_NOT_MADE: "The plan counts no rack: it needs part files, and the tank's length, width and depth.",
    FaultKind.TURNS: "On one contact, askew or lying, {parts} can turn or tip as the acid moves. Hold each by two, and "
    "say so in {key:rack.contacts}.",
    FaultKind.MOVED_NOTHING: "{part} does not hang there: take it out of {key:rack.moved}.",
    FaultKind.NOT_ON_RACK: "The rack is laid out without {parts}, whose files are not given: keep room beside the others.",
    FaultKind.SEALED_HARD_COAT: "A seal, {seal} for {time:range}, costs a hard coat up to {softer:percent} of its hardness: left "
    "unsealed it wears better ({source}). Give seal = \"none\" unless it must keep out corrosion.",
    FaultKind.THIN_FOR_DYE: "Dye {dye}: a {shade} shade needs a coating of {wants} ({source}); this one is {film:bounds}, "
    "so it comes out paler. Plan the coating by {key:finish.shade}: {shade}, or take another dye.",
    FaultKind.DYE_NOT_KNOWN: _dye_not_known,
    FaultKind.BORE_THIN: lambda t: _bore(t, LONGER if t.count("catches_up") else NO_LONGER),
    FaultKind.BORE_THIN_DYED: lambda t: _bore(t, "There the dye reaches a {shade} shade at most."),
    FaultKind.BORE_TAKES_NO_DYE: lambda t: _bore(t, "Dye does not take well there."),
    **FITS,
    NoPlace.PART_TOO_LARGE: _too_large,
    NoPlace.PART_STANDS_OUT: _stands_out,
    NoPlace.TOO_MANY_PARTS: lambda t: t("{count} parts do not fit in {room} of liquid at once.") + _would_do(t, "all"),
    NoPlace.PARTS_OVERLAP: "{part} and {other} hang in the same place. Move one of them.",
    NoPlace.PART_OUTSIDE: "{part} sticks out of the liquid. Move it in.",
    NoPlace.CATHODES_TOO_LONG: "{a_side:cathode} of {width} a side do not fit in a tank {tank} long. Hang fewer or narrower ones.",
    NoPlace.CATHODES_TOO_DEEP: "The liquid is {liquid} deep: cathodes cannot hang {deep} deep in it. Correct {key:cathodes.immersed}.",
    Ceiling.PAST: "The coating turns to powder: this bath carries at most {ceiling:high} (from memory), the run makes "
    "{film:low} or more. Aim thinner, or cool the bath.",
    Ceiling.NEAR: "The coating may turn to powder: this bath may carry only {ceiling:low} (from memory), the run may make "
    "{film:high}. Aim thinner, or cool the bath.",
    Aluminium.TOO_MUCH: "Dissolved aluminium is {held}, above {limit} ({source}). Replace part of the bath.",
    Aluminium.RENEW_SOON: "Dissolved aluminium is {held}; many shops renew the bath from {limit} (common practice).",
    Aluminium.NEW_BATH: "A new bath with less than {limit} of aluminium coats unevenly at first ({source}).",
    Aluminium.NOT_GIVEN: "Dissolved aluminium is not given, so the plan counts 0 g/L. A new bath with less than {limit} coats unevenly at first ({source}).",
    SealFault.DOES_NOT_SEAL: "Seal bath, {seal}: {measured} {value} does not seal; at least {wanted} does ({source}).",
    SealFault.FAR_OFF: "Seal bath, {seal}: {measured} {value} is far from {wanted} ({source}).",
    SealFault.OUTSIDE: "Seal bath, {seal}: {measured} {value} is outside {wanted:range} ({source}).",
    AlloyFault.MIXED: "Run {alloys} apart: mixed alloys coat poorly in one load ({source}).",
    AlloyFault.OVER_LIMIT: "{alloy} holds {share:range} {element}, more than the {limit} a hard coat is made on without "
    "special procedures ({composition}; {source}). Ask for the certificate and give its {element}.",
    AlloyFault.MAY_BE_OVER_LIMIT: "{alloy} holds {share:range} {element}, perhaps more than the {limit} a hard coat is made "
    "on without special procedures ({composition}; {source}). Ask for the certificate and give its {element}.",
    AlloyFault.DIE_CASTING: "{alloy} is a die casting and needs special procedures ({source}).",
    Stated.ACID: "Acid: " + _OUTSIDE_RULE,
    Stated.TEMPERATURE: "Temperature: " + _OUTSIDE_RULE,
    Stated.ALUMINIUM: "Dissolved aluminium: " + _OUTSIDE_RULE,
    Burning.ABOVE_WINDOW: "{density:high} is above the {most} usual for this finish ({source}).",
    Burning.MAY_BE_ABOVE_WINDOW: "If the area is the least it can be, the current set is {density:high}, above the {most} "
    "usual for this finish ({source}): that may burn.",
    Burning.VOLTS_MAY_DRIVE_MORE: "The volts set may drive up to {density:high}, above the {most} usual for this finish "
    "({source}): that may burn. Watch the ammeter.",
    Burning.HOT_SURFACE: "{heat:high} at the surface, where sharp edges burn ({source}).",
    Burning.UNSTABLE: "The surface stands {rise} above the bath. Above {stable} a hot spot grows and burns. Stir more: this "
    "run needs a heat transfer of {needs} ({source}).",
    Burning.MAY_BE_UNSTABLE: "The surface may stand {rise:high} above the bath. Above {stable} a hot spot grows and burns. "
    "Stir well: this run needs a heat transfer of {needs} ({source}).",
}  # fmt: skip
