"""Bars and cables between supply and tank: the smallest of the usual sizes that stays cool and drops little."""

import itertools
import math
from dataclasses import dataclass
from enum import Enum

from areacalc.errors import BadInput, CannotRun
from areacalc.estimate import Estimate
from areacalc.fact import Fact, fact, quantity
from areacalc.plant.metal import METALS, metal, resistance_ohm, rise_k
from areacalc.plant.rack import BUS_AL, BUS_CU, WARMTH
from areacalc.plant.rule import Judged, Rule
from areacalc.plant.stock import METRIC, Sold
from areacalc.sources import Constant, Kind, Source

_CABLES_IN_PARALLEL = (1, 2, 3, 4)
LEAD_DROP = Rule(
    "drop along the leads", Constant(0.5, "V", Source(
        Kind.COMMON_PRACTICE, "leads of a small tank lose at most half a volt, there and back")),
    at_least=False, why="use thicker or shorter leads",
)  # fmt: skip
FUSES_A = (
    2.0, 4.0, 6.0, 10.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0,
)  # fmt: skip
FUSE_OVER = Constant(
    1.25, "", Source(Kind.REPORTED, "NEC 669 as a site on it gives it: conductors of a line for 125 % of its load; "
                     "a fuse of as much is common practice"),
)  # fmt: skip
BAR_RULE = {"copper": BUS_CU, "aluminium 6063": BUS_AL}


class Section(Enum):
    BAR = "bar"
    CABLE = "cable"
    CABLES = "cables in parallel"


@dataclass(frozen=True, slots=True)
class Conductor:
    """A bar or cable chosen for a current, with what it does at it."""

    stock: Fact
    metal: str
    section_mm2: float
    length_mm: float
    current_a: float
    drop_v: Estimate
    rise_k: Estimate
    judged: tuple[Judged, ...]


def fuse_for(current_a: float) -> float:
    """The next fuse [A] over a quarter more than the current [A]; past the usual sizes, that itself.

    >>> fuse_for(19.2), fuse_for(3.2)
    (25.0, 4.0)
    """
    least_a = FUSE_OVER.value * current_a
    return next((fuse for fuse in FUSES_A if fuse >= least_a * (1.0 - 1e-9)), least_a)


def cable_for(current_a: float, length_mm: float, fuse_a: float | None = None, sold: Sold = METRIC) -> Conductor:
    """The thinnest copper cable for a current, `length_mm` there and back together; its warmth is told as if bare.

    It stays cool at the fuse's current too. Several in parallel where one is too thin.

    Raises CannotRun where no usual cable will do.

    >>> cable_for(41.0, 4000.0).section_mm2
    10.0
    """
    _check(current_a, length_mm)
    for number, (name, section) in itertools.product(_CABLES_IN_PARALLEL, sold.cables):
        around_mm = 2.0 * math.sqrt(math.pi * section)
        kind = Section.CABLES if number > 1 else Section.CABLE
        stock = fact(kind, number=number, name=name, source=sold.cable_source)
        made = _conductor(stock, "copper", section, around_mm, length_mm, current_a, (), number)
        at_fuse = rise_k(METALS["copper"], (fuse_a or current_a) / number, section, around_mm)
        if all(j.kept for j in made.judged) and WARMTH.judge(at_fuse.value).kept:
            return made
    raise CannotRun(
        "leads", f"{current_a:.3g} A over {length_mm / 1e3:.3g} m are too much for {_CABLES_IN_PARALLEL[-1]} cables",
        "use bars",
    )  # fmt: skip


def bar_for(current_a: float, length_mm: float, metal_name: str = "copper", sold: Sold = METRIC) -> Conductor:
    """The smallest flat bar for a current, copper or aluminium 6063, by the current a section it may carry.

    Raises CannotRun where no usual bar will do, BadInput for another metal.

    >>> bar_for(41.0, 600.0).section_mm2
    30.0
    """
    _check(current_a, length_mm)
    name = metal(metal_name, tuple(BAR_RULE), "bus bar").name
    limit = BAR_RULE[name]
    rule = Rule("current a section of a bar", limit, at_least=False, why="use a thicker bar")
    for wide, thick in sold.bars_mm:
        stock = fact(Section.BAR, metal=name, size=(quantity(wide, "mm"), quantity(thick, "mm")))
        judged = (rule.judge(current_a / (wide * thick), stock),)
        made = _conductor(stock, name, wide * thick, 2.0 * (wide + thick), length_mm, current_a, judged)
        if all(j.kept for j in made.judged):
            return made
    raise CannotRun("bus bar", f"{current_a:.3g} A is too much for one bar", "use several bars in parallel")


def _conductor(
    stock: Fact, name: str, section: float, around_mm: float, length_mm: float, current_a: float,
    judged: tuple[Judged, ...], number: int = 1,
) -> Conductor:  # fmt: skip
    drop = resistance_ohm(METALS[name], length_mm, section).scaled(current_a / number)
    rise = rise_k(METALS[name], current_a / number, section, around_mm)
    more = (LEAD_DROP.judge(drop.value, stock), WARMTH.judge(rise.value, stock))
    return Conductor(stock, name, number * section, length_mm, current_a, drop, rise, (*judged, *more))


def _check(current_a: float, length_mm: float) -> None:
    if not (0.0 < current_a < math.inf and 0.0 < length_mm < math.inf):
        raise BadInput("leads", f"{current_a:g} A over {length_mm:g} mm", "give a current and a length above zero")
