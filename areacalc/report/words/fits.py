"""Sentences for sizes that must end in tolerance."""

from areacalc.bath.fits import Verdict
from areacalc.plan.fault import FaultKind
from areacalc.report.words.telling import Catalogue, Telling


def _course(t: Telling) -> str:
    if "turned" not in t or "end" not in t:
        return ""
    etched = t(", {etched:size} after the etch") if "etched" in t else ""
    return t("{turned:size} as turned") + etched + t(", ends at {end:size}")


def _remedy(t: Telling) -> str:
    if "aim" not in t:
        return "Mask the surface, or fit it after coating."
    return t("Turn it to {aim:size}.")


def _wrong(t: Telling, verdict: str) -> str:
    course = _course(t)
    wanted = t("wanted {wanted:size}")
    return (
        t("{part}, {size}: ")
        + "; ".join(filter(None, (f"{verdict}: {course}" if course else verdict, wanted)))
        + (f". {_remedy(t)}")
    )


def _kept(t: Telling) -> str:
    course = _course(t)
    return t("{part}, {size}: ") + (f"{course}: in tolerance." if course else _remedy(t))


FITS: Catalogue = {
    FaultKind.FIT_LOST: lambda t: _wrong(t, "out of tolerance"),
    FaultKind.FIT_LIKELY_LOST: lambda t: _wrong(t, "likely out of tolerance"),
    FaultKind.FIT_AT_RISK: lambda t: _wrong(t, "may be out of tolerance"),
    FaultKind.FIT_NO_ROOM: lambda t: _wrong(t, "no turned size is sure to end in tolerance"),
    Verdict.LOST: lambda t: _wrong(t, "out of tolerance"),
    Verdict.LIKELY_LOST: lambda t: _wrong(t, "likely out of tolerance"),
    Verdict.MAY_BE_LOST: lambda t: _wrong(t, "may be out of tolerance"),
    Verdict.NO_ROOM: lambda t: _wrong(t, "no turned size is sure to end in tolerance"),
    Verdict.KEPT: _kept,
    Verdict.UNKNOWN: _kept,
}
