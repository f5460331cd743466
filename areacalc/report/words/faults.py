"""Sentences for what is wrong with a run: what happens to the part, then what to do."""

from areacalc.bath.fits import Verdict
from areacalc.plan.fault import KINDS, FaultKind, Weight
from areacalc.report.words.bores import LONGER, NO_LONGER
from areacalc.report.words.telling import Catalogue, Telling, joined, sentences

WEIGHTS = {Weight.STOPS: "stops the run", Weight.SPOILS: "spoils the part", Weight.WATCH: "watch"}


def _cool(t: Telling) -> str:
    sure = ", by {cooling:high} to be sure" if t("{cooling}") != t("{cooling:high}") else ""
    return t(
        " Cool it by {cooling}" + sure + "[ice| ({ice:high} of ice in closed bottles)], use more liquid, or run fewer "
        "parts at a time.[dyed| Dyed work needs it no warmer than {dyed:about}.]"
    )


def _bore(t: Telling, then: str) -> str:
    alike = t.count("alike")
    more = f" and {alike - 1} like it" if alike > 1 else ""
    return t(
        "{part}, {bore}" + more + ": the coating is {film:bounds} at its thinnest, {at} from {mouth}; the outside "
        "gets {outside}. "
    ) + t(then)


def _wires_assumed(t: Telling) -> str:
    unsaid = t.fact["unsaid"]
    assert isinstance(unsaid, tuple)
    keys = joined([f"{{key:rack.{key}}}" for key in unsaid])
    return t(
        "The rack counts as bare {metal}, {thick:metric} thick: {bare:bounds} of it in the liquid, {share:percent} of the "
        f"area, {{current}} of the {{of}} set. That is partly assumed: give {keys}."
    )


_COURSE = "{turned:size} as turned[etched|, {etched:size} after the etch], ends at {end:size}"
_REMEDY = "[aim|Turn it to {aim:size}.|Mask the surface, or fit it after coating.]"


def _out_of_tolerance(t: Telling) -> str:
    return t("{part}, {size}: {verdict}[end|: " + _COURSE + "]; wanted {wanted:size}. " + _REMEDY)


def _in_tolerance(t: Telling) -> str:
    return t("{part}, {size}: [end|" + _COURSE + ": in tolerance.|" + _REMEDY + "]")


FAULTS: Catalogue = {
    **sentences(*KINDS),
    FaultKind.BATH_BOILS: lambda t: t("The bath boils after {after}, with the current still on.") + _cool(t),
    FaultKind.BATH_TOO_HOT: lambda t: t("The bath ends at {end}; the rules used here stop at {known} ({source}).") + _cool(t),
    FaultKind.BATH_WARMS: lambda t: t("The bath warms by {rise:bounds}, more than the {band} allowed.") + _cool(t),
    FaultKind.HARD_BATH_WARMS: lambda t: t("A hard coating needs a cold bath: the bath warms by {rise:bounds}, more than the {band} "
                                           "allowed.") + _cool(t),
    FaultKind.WIRES_ASSUMED: _wires_assumed,
    FaultKind.BORE_THIN: lambda t: _bore(t, LONGER if t.count("catches_up") else NO_LONGER),
    FaultKind.BORE_THIN_DYED: lambda t: _bore(t, "There the dye reaches a {shade} shade at most."),
    FaultKind.BORE_TAKES_NO_DYE: lambda t: _bore(t, "Dye does not take well there."),
    **dict.fromkeys((Verdict.LOST, Verdict.LIKELY_LOST, Verdict.MAY_BE_LOST, Verdict.NO_ROOM), _out_of_tolerance),
    **dict.fromkeys((Verdict.KEPT, Verdict.UNKNOWN), _in_tolerance),
}  # fmt: skip
