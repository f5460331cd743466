"""Air for a bath: what keeps the hydrogen thin, and the exhaust for the acid's mist, which wants far more."""

from bisect import bisect_right
from dataclasses import dataclass

from areacalc.bath.gas import air_flow
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

_EN = "EN 50272-3 / IEC 62485-3 as makers of batteries report it"
EVOLUTION = Constant(0.42e-3, "m3/Ah", Source(Kind.REPORTED, f"{_EN}: hydrogen of one cell, 0.42e-3 m3/Ah"))
FLAMMABLE_SHARE = Constant(0.04, "", Source(Kind.REPORTED, f"{_EN}: lower flammable limit of hydrogen in air"))
SAFETY_FACTOR = Constant(5.0, "", Source(Kind.REPORTED, f"{_EN}: safety factor of open ventilation"))
OPENING = Constant(
    28.0, "cm2 h/m3", Source(Kind.REPORTED, f"{_EN}: natural ventilation, A = 28 Q for inlet and for outlet")
)
CELL_RULE = Source(Kind.DERIVED, "EN 50272-3 with one cell: 0.42e-3 m3/Ah x (100 - 4) / 4 x 5 = 0.05 m3/Ah")


_LATERAL = "29 CFR 1910.94(d), exhaust along one side of an open tank"
LATERAL_SOURCE = Source(
    Kind.FROM_MEMORY, f"{_LATERAL}, sulphuric anodising drawn at 100 ft/min; least against a wall, most at 150 ft/min, "
    "as a limit of 0.05 mg/m3 wants; local rules decide"
)  # fmt: skip
M3_PER_H_PER_M2 = 0.3048 * 60.0  # of 1 ft3/min for each ft2
_WIDTH_OVER_LENGTH = (0.1, 0.25, 0.5, 1.0)
"""Upper ends of the classes of width over length; a square tank is of the last but one."""
_WALL_100 = (100.0, 125.0, 150.0, 175.0, 200.0)
_FREE_100 = (150.0, 175.0, 200.0, 225.0, 250.0)
_FREE_150 = (225.0, 260.0, 300.0, 340.0, 375.0)


@dataclass(frozen=True, slots=True)
class Air:
    """Air to lead away while a current flows: for the hydrogen by two rules, with its openings, and for the mist.

    The mist decides what a fan must draw; its exhaust is known where the tank's length and width are.
    """

    by_factor: Figure  # m3/h
    by_share: Figure  # m3/h
    opening: Figure  # cm2, inlet and outlet each
    exhaust: Figure | None  # m3/h

    @property
    def for_hydrogen(self) -> Figure:
        """The larger of the two rules [m3/h]."""
        return max(self.by_factor, self.by_share, key=lambda f: f.estimate.high)


def exhaust_for(length_mm: float, width_mm: float) -> Figure:
    """What carries off the mist of an open tank by a slot along its longer side [m3/h]. From memory.

    >>> made = exhaust_for(600.0, 300.0).estimate
    >>> [round(x) for x in (made.low, made.value, made.high)]
    [576, 741, 1119]
    """
    narrow, long = sorted((length_mm, width_mm))
    at = bisect_right(_WIDTH_OVER_LENGTH[:3], narrow / long)
    low, value, high = (cfm[at] * M3_PER_H_PER_M2 for cfm in (_WALL_100, _FREE_100, _FREE_150))
    each = Estimate(value, low, high, ("a wall behind the tank or not", "the limit in air that counts"))
    surface = given("liquid surface", length_mm * width_mm * 1e-6, "m2", Source(Kind.DERIVED, "length x width"))
    return worked(
        "exhaust for the acid mist", "m3/h", "liquid surface x air drawn for its width over length", LATERAL_SOURCE,
        lambda a, q: a * q, surface, given("air drawn for its width over length", each, "m3/(h m2)", LATERAL_SOURCE),
    )  # fmt: skip


def air_for(current_a: Estimate | Figure, length_mm: float | None = None, width_mm: float | None = None) -> Air:
    """The air for a current [A] in a tank whose length and width [mm] may be known.

    >>> found = air_for(Estimate.exact(30.0))
    >>> round(found.by_factor.estimate.value, 2), round(found.by_share.estimate.value, 2)
    (1.51, 1.35)
    """
    current = current_a if isinstance(current_a, Figure) else given("current", current_a, "A")
    gas, factor = constant("hydrogen", EVOLUTION), constant("safety factor", SAFETY_FACTOR)
    lower = constant("lower flammable limit", FLAMMABLE_SHARE)
    by_factor = worked(
        "ventilation for hydrogen (battery-room standard)", "m3/h",
        "current x hydrogen x (1 - limit) / limit x factor", CELL_RULE,
        lambda i, g, f, x: i * g * (1.0 - x) / x * f, current, gas, factor, lower,
    )  # fmt: skip
    opening = worked(
        "air openings of the room, inlet and outlet each", "cm2", "opening for an air flow x air", OPENING.source,
        lambda k, q: k * q, constant("opening for an air flow", OPENING), by_factor,
    )  # fmt: skip
    exhaust = exhaust_for(length_mm, width_mm) if length_mm is not None and width_mm is not None else None
    return Air(by_factor, air_flow(current), opening, exhaust)
