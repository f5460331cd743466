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
from areacalc.report.words.telling import Catalogue, Telling, joined, sentences

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


FAULTS: Catalogue = {
    **sentences(FaultKind, Idle, NoPlace, Ceiling, Aluminium, SealFault, AlloyFault, Stated, Burning),
    FaultKind.AREA_IN_NARROW_BORES: lambda t: t("{part}: {bores} may keep air or fill with acid.") + _with_air(t) + t(
        " Fill each with a syringe (say so with {key:fill}), or plug it."),
    FaultKind.BATH_BOILS: lambda t: t("The bath boils after {after}, with the current still on. ") + _cool(t),
    FaultKind.BATH_TOO_HOT: lambda t: t("The bath ends at {end}; the rules used here stop at {known} ({source}). ") + _cool(t),
    FaultKind.BATH_WARMS: lambda t: t("The bath warms by {rise:bounds}, more than the {band} allowed. ") + _cool(t),
    FaultKind.HARD_BATH_WARMS: lambda t: t("A hard coating needs a cold bath: the bath warms by {rise:bounds}, more than the {band} "
                                           "allowed. ") + _cool(t),
    FaultKind.BATH_MAY_WARM: lambda t: t("The bath may warm by {rise:high}, more than the {band} allowed. Watch it.") + _dyed(t),
    FaultKind.HANGING_NOT_GIVEN: _hanging,
    FaultKind.WIRES_ASSUMED: _wires_assumed,
    FaultKind.DYE_NOT_KNOWN: _dye_not_known,
    FaultKind.BORE_THIN: lambda t: _bore(t, LONGER if t.count("catches_up") else NO_LONGER),
    FaultKind.BORE_THIN_DYED: lambda t: _bore(t, "There the dye reaches a {shade} shade at most."),
    FaultKind.BORE_TAKES_NO_DYE: lambda t: _bore(t, "Dye does not take well there."),
    **FITS,
    NoPlace.PART_TOO_LARGE: _too_large,
    NoPlace.PART_STANDS_OUT: _stands_out,
    NoPlace.TOO_MANY_PARTS: lambda t: t("{count} parts do not fit in {room} of liquid at once.") + _would_do(t, "all"),
}  # fmt: skip
