"""Sentences about what the bores take of the current."""

from collections.abc import Iterable

from areacalc.fact import Fact, fact, quantity
from areacalc.plan.throw import BoreThrow, CountedWhole, Throw
from areacalc.report.words.places import Keys
from areacalc.report.words.telling import Catalogue, Telling, joined

LEFT_OUT = (
    "No published measurement down a bore was found, so these figures are computed. Gas and spent acid are not "
    "counted. Most of the uncertainty comes from two values from memory: how fast the volts rise with the "
    "current and with the coating. Split one tube after a run, measure its coating, and write it under {:split_tube}."
)
LONGER = "A longer run lets the bore catch up a little, since a thick coating itself resists."
NO_LONGER = "A longer run does not make the bore catch up."
REMEDY = (
    "A lower density, both mouths open, or acid moving through the bore does. So does a thin cathode wire down the "
    "middle of the bore, touching nothing (common practice). Place it with the power supply off, since it shorts where it "
    "touches, and leave its hydrogen a way up. Plug a bore that needs no coating."
)


def bore_name(bore: BoreThrow) -> str:
    """The bores that are alike, as they stand in a list."""
    more = f" and {len(bore.names) - 1} like it" if len(bore.names) > 1 else ""
    return f"{bore.part} {bore.names[0]}{more}"


def bore_sentence(bore: BoreThrow, inch: bool = False) -> str:
    """What a bore takes, for the sheet."""
    found = bore.thrown
    told = Telling(fact(
        CountedWhole.BORE, mouth=found.mouth_share, mean=found.mean_share, least=found.least_share, film=bore.film,
        at=quantity(bore.least_at_mm, "mm"), first=bore.mouth,
    ), inch)  # fmt: skip
    return bore_name(bore) + told(
        ": of the outside's density {mouth:percent} at the mouth, {mean:percent} over the whole bore, {least:percent} at "
        "the least, {at} from {first}. Coating there: {film:bounds}."
    )


def bore_notes(throw: Throw, told: Iterable[BoreThrow]) -> tuple[str, ...]:
    """What holds for all bores: what is left out, what helps, which count in full."""
    bores = tuple(told)
    longer = LONGER if any(bore.thrown.catches_up for bore in bores) else NO_LONGER
    general = (LEFT_OUT.format(Keys()), f"{longer} {REMEDY}") if bores else ()
    if not throw.whole:
        return general
    return (*general, f"Counted in full: {', '.join(throw.whole)} (open into other bores only).")


def bores_take(facts: Iterable[Fact]) -> str:
    """What each bore takes of the current that its area would; empty for no bores."""
    told = [_bore_takes(Telling(each)) for each in facts]
    if not told:
        return ""
    takes = f"{told[0]}, {len(told) - 1} others less" if len(told) > 2 else joined(told)
    return f"In a usual bath {takes}; `areacalc plan` counts so."


def _bore_takes(t: Telling) -> str:
    alike = t.count("alike")
    more, take, full = (f" and {alike - 1} like it", "each take", "their") if alike > 1 else ("", "takes", "its")
    return t("{bore}" + more + " on {part} " + take + " {share:percent} of " + full + " full share")


BORES: Catalogue = {
    CountedWhole.BORE: lambda t: f"Bores are counted in full. In a usual bath {_bore_takes(t)}; the plan counts so."
}
