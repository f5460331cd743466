"""Fits through the bath: the size as turned, after an etch, after the film, and the size to turn it to.

An etch takes metal off every wet face and the film grows out of it, so a size changes by a whole number of times the
growth less the etch: twice on a diameter, and on the pitch diameter of a 60 degree thread four times.

Limits stand as people write them: 11.95 to 12.00, 12 +-0.02, 12 +0.02/-0.01, 12 h7. Tolerance grades and deviations are
those of ISO 286, from memory; no limit but those written in numbers is certain.
"""

import math
import re
from bisect import bisect_left
from dataclasses import dataclass
from enum import StrEnum

from areacalc.bath.table import columns
from areacalc.errors import BadInput, OutOfRange, UnknownName
from areacalc.figure import Figure, constant, given, worked
from areacalc.quantity import Dimension, parse
from areacalc.sources import Constant, Kind, Source

ISO_286 = Source(Kind.FROM_MEMORY, "ISO 286 tolerance grades and deviations; check them in a table before you turn")
_ISO = re.compile(r"^(?P<size>\d+(?:[.,]\d+)?)\s*(?:mm)?\s*(?P<letter>js|[efgh])\s*(?P<grade>\d{1,2})$", re.IGNORECASE)
_BOTH = re.compile(r"^(?P<size>.+?)\s*(?:\+/?-|±)\s*(?P<half>.+)$")
_EACH = re.compile(r"^(?P<size>.+?)\s*(?P<upper>[+-][\d.,]+[^/]*)/\s*(?P<lower>[+-]?[\d.,]+.*)$")
_ENDS = re.compile(r"^(?P<least>.+?)\s*(?:\bto\b|\.\.|–)\s*(?P<most>.+)$")
_YOURS = Source(Kind.ENTERED, "limits you gave")


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most a size may end at [mm], and who says so. Raises BadInput unless 0 < least <= most."""

    least_mm: float
    most_mm: float
    source: Source = _YOURS

    def __post_init__(self) -> None:
        if not 0.0 < self.least_mm <= self.most_mm < float("inf"):
            what = f"{self.least_mm:g} to {self.most_mm:g} mm are not limits"
            raise BadInput("size", what, "give two sizes, the smaller first")

    @property
    def middle_mm(self) -> float:
        return 0.5 * (self.least_mm + self.most_mm)


def limits(words: str, where: str = "size") -> Limits:
    """The limits in words; a bare number is in mm. Raises BadInput, OutOfRange for a grade not held.

    >>> [(x.least_mm, x.most_mm) for x in (limits("11.95 to 12"), limits("12 +-0.02"), limits("12 +0.02/-0.01 mm"))]
    [(11.95, 12.0), (11.98, 12.02), (11.99, 12.02)]
    >>> shaft = limits("12 h7"); (shaft.least_mm, shaft.most_mm), shaft.source.kind.value
    ((11.982, 12.0), 'from memory')
    """
    text = " ".join(words.split())
    if found := _ISO.match(text):
        size_mm = parse(found["size"], Dimension.LENGTH, where, "mm")
        return iso_286(size_mm, found["letter"], int(found["grade"]), where)
    for pattern in (_EACH, _BOTH, _ENDS):
        if found := pattern.match(text):
            parts = [part.strip() for part in found.groups()]
            unit = next((u for u in map(_unit, reversed(parts)) if u), "mm")
            sizes = [parse(f"{part.removesuffix(_unit(part))} {unit}", Dimension.LENGTH, where) for part in parts]
            return Limits(*_ends(pattern, sizes))
    raise BadInput(where, f"'{words}' holds no limits", "write '11.95 to 12.00 mm', '12 +-0.02 mm' or '12 h7'")


def _unit(part: str) -> str:
    """The unit that ends a piece of text, or nothing."""
    return re.sub(r"^[\d.,/+\-\s]+", "", part)


def _ends(pattern: re.Pattern[str], sizes: list[float]) -> tuple[float, float]:
    """Least and most [mm], rounded to a nanometre: sums of decimals are not exact."""
    if pattern is _ENDS:
        return sizes[0], sizes[1]
    off = sizes[1:] if pattern is _EACH else [-abs(sizes[1]), abs(sizes[1])]
    return round(sizes[0] + min(off), 6), round(sizes[0] + max(off), 6)


def iso_286(size_mm: float, letter: str, grade: int, where: str = "size") -> Limits:
    """Limits of a nominal size [mm] with e, f, g, h (shafts), E, F, G, H (bores), js or JS and a grade from 5 to 11.

    From memory. Raises OutOfRange for a size over 250 mm or a grade that is not held.

    >>> iso_286(20.0, "H", 7).most_mm, iso_286(20.0, "f", 7).most_mm
    (20.021, 19.98)
    """
    table = columns("iso_286_from_memory")
    if not 0.0 < size_mm <= table["up_to_mm"][-1] or str(grade) not in table:
        raise OutOfRange(
            where, f"{size_mm:g} {letter}{grade} is not held: over 0 to 250 mm, grades 5 to 11 ({ISO_286})",
            "give the limits in numbers",
        )  # fmt: skip
    step = bisect_left(table["up_to_mm"], size_mm)
    width = table[str(grade)][step] * 1e-3
    if letter.lower() == "js":
        ends = (size_mm - 0.5 * width, size_mm + 0.5 * width)
    else:
        off = table[letter.lower()][step] * 1e-3
        ends = (size_mm - off - width, size_mm - off) if letter.islower() else (size_mm + off, size_mm + off + width)
    return Limits(round(ends[0], 6), round(ends[1], 6), ISO_286)


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
    KEPT = "in tolerance"
    MAY_BE_LOST = "may be out of tolerance"
    LIKELY_LOST = "likely out of tolerance"
    LOST = "out of tolerance"
    UNKNOWN = "not measured"
    NO_ROOM = "no turned size is sure to end in tolerance"


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
    (11.9988, 'in tolerance', 11.9736, 11.9908)
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
    if e.low > wanted.most_mm or e.high < wanted.least_mm:
        return Verdict.LOST
    return Verdict.MAY_BE_LOST if wanted.least_mm <= e.value <= wanted.most_mm else Verdict.LIKELY_LOST
