"""Fits through the bath: the size as turned, after an etch, after the film, and the size to turn it to.

An etch takes metal off every wet face and the film grows out of it, so a size changes by a whole number of times the
growth less the etch: twice on a diameter, and on the pitch diameter of a 60 degree thread four times.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from areacalc.bath.limits import Limits
from areacalc.errors import BadInput, UnknownName
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

_WALLS = Source(Kind.DERIVED, "both walls move")
_ONE = Source(Kind.DERIVED, "one wet face moves")
_FLANKS = Source(
    Kind.DERIVED, "a flank moves square to itself, so the pitch diameter moves by 2 / sin(half the flank angle): 4 at "
    "60 degrees, as accuratemetalfl.com gives it"
)  # fmt: skip
FLANKS_DEG = 60.0
KINDS: dict[str, Constant] = {
    "diameter": Constant(2.0, "", _WALLS),
    "bore": Constant(-2.0, "", _WALLS),
    "length": Constant(2.0, "", _WALLS),
    "slot": Constant(-2.0, "", _WALLS),
    "step": Constant(1.0, "", _ONE),
    "thread": Constant(4.0, "", _FLANKS),
    "thread-bore": Constant(-4.0, "", _FLANKS),
}
"""By how many times the build-up on a face each kind of size changes; of threads, the pitch diameter."""


class Verdict(StrEnum):
    """What becomes of a fit."""

    KEPT = "kept"
    MAY_BE_LOST = "may be lost"
    LOST = "lost"
    UNKNOWN = "not measured"
    NO_ROOM = "no size keeps it for certain"


@dataclass(frozen=True, slots=True)
class Fit:
    """One size through the bath; lengths in mm.

    etched and filmed are the size after each step, None where the turned size is not known; `change` is the whole of
    it. turn_to is the size to aim at, inside turn_least_mm to turn_most_mm; the least above the most says that no size
    is certain to keep the fit.
    """

    name: str
    kind: str
    wanted: Limits
    change: Figure
    turned: Figure | None
    etched: Figure | None
    filmed: Figure | None
    turn_to: Figure
    turn_least_mm: float
    turn_most_mm: float
    verdict: Verdict


def times(kind: str, flank_deg: float = FLANKS_DEG) -> Constant:
    """By how many times the build-up on a face a kind of size changes. Raises UnknownName, BadInput for the angle.

    >>> times("thread").value, round(times("thread", 55.0).value, 2)
    (4.0, 4.33)
    """
    found = UnknownName.pick("kind of size", kind, KINDS)
    if flank_deg == FLANKS_DEG or not kind.startswith("thread"):
        return found
    if not 10.0 <= flank_deg < 180.0:
        raise BadInput("thread", f"{flank_deg:g} degrees is not a flank angle", "give the whole angle, such as 60")
    whole = 2.0 / math.sin(math.radians(0.5 * flank_deg))
    return Constant(math.copysign(whole, found.value), "", _FLANKS)


def change(kind: str, outward: Figure, etched_off: Figure | None = None, flank_deg: float = FLANKS_DEG) -> Figure:
    """How a size changes [mm] by the film's growth outward [um], less metal etched off each face [um].

    >>> change("thread", given("outward", 4.0, "um"), given("etched off", 1.0, "um")).estimate.value
    0.012
    """
    k = times(kind, flank_deg)
    off = etched_off or given("metal etched off", 0.0, "um", Source(Kind.DERIVED, "no etch"))
    return worked("change of size", "mm", "times x (growth outward - metal etched off) / 1000", k.source,
                  lambda n, out, lost: n * (out - lost) * 1e-3, constant(f"times, {kind}", k), outward,
                  off)  # fmt: skip


def fit(
    name: str, kind: str, wanted: Limits, outward: Figure, etched_off: Figure | None = None,
    turned_mm: float | None = None, flank_deg: float = FLANKS_DEG,
) -> Fit:  # fmt: skip
    """A size that must end inside its limits, through etch and film. Raises UnknownName, BadInput.

    >>> from areacalc.estimate import Estimate
    >>> out = given("growth outward", Estimate(4.4, 4.2, 4.6), "um")
    >>> pin = fit("pin", "diameter", Limits(11.982, 12.0), out, turned_mm=11.99)
    >>> round(pin.filmed.estimate.value, 4), pin.verdict.value, round(pin.turn_least_mm, 4), round(pin.turn_most_mm, 4)
    (11.9988, 'kept', 11.9736, 11.9908)
    """
    moved = change(kind, outward, etched_off, flank_deg)
    least_mm, most_mm = wanted.least_mm - moved.estimate.low, wanted.most_mm - moved.estimate.high
    middle = given("middle of the limits", wanted.middle_mm, "mm", wanted.source)
    aim = worked(
        "size to turn to", "mm", "middle of the limits - change", moved.source, lambda m, c: m - c, middle, moved
    )
    if turned_mm is None:
        verdict = Verdict.NO_ROOM if least_mm > most_mm else Verdict.UNKNOWN
        return Fit(name, kind, wanted, moved, None, None, None, aim, least_mm, most_mm, verdict)
    if not 0.0 < turned_mm < float("inf"):
        raise BadInput(name, f"{turned_mm:g} mm is not a size", "give what it measures now")
    turned = given("size as turned", turned_mm, "mm")
    after_etch = turned
    if etched_off is not None:
        after_etch = worked("size after the etch", "mm", "as turned - times x metal etched off / 1000", moved.source,
                            lambda t, n, lost: t - n * lost * 1e-3, turned, moved.inputs[0], etched_off)  # fmt: skip
    filmed = worked("size after the coating", "mm", "as turned + change", moved.source,
                    lambda t, c: t + c, turned, moved)  # fmt: skip
    verdict = _verdict(wanted, filmed)
    return Fit(name, kind, wanted, moved, turned, after_etch, filmed, aim, least_mm, most_mm, verdict)


def _verdict(wanted: Limits, filmed: Figure) -> Verdict:
    e = filmed.estimate
    if wanted.least_mm <= e.low and e.high <= wanted.most_mm:
        return Verdict.KEPT
    return Verdict.LOST if e.low > wanted.most_mm or e.high < wanted.least_mm else Verdict.MAY_BE_LOST
