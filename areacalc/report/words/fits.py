"""Sentences for sizes that must end in tolerance."""

from areacalc.bath.fits import Verdict
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


def _wrong(t: Telling) -> str:
    course = _course(t)
    verdict, wanted = t("{verdict}"), t("wanted {wanted:size}")
    return (
        t("{part}, {size}: ")
        + "; ".join(filter(None, (f"{verdict}: {course}" if course else verdict, wanted)))
        + (f". {_remedy(t)}")
    )


def _kept(t: Telling) -> str:
    course = _course(t)
    return t("{part}, {size}: ") + (f"{course}: in tolerance." if course else _remedy(t))


FITS: Catalogue = {
    **dict.fromkeys((Verdict.LOST, Verdict.LIKELY_LOST, Verdict.MAY_BE_LOST, Verdict.NO_ROOM), _wrong),
    **dict.fromkeys((Verdict.KEPT, Verdict.UNKNOWN), _kept),
}
