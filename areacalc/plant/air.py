"""Air for a bath: enough to keep the hydrogen thin; the acid's mist usually wants more."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.gas import air_flow
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source

_EN = "EN 50272-3 / IEC 62485-3 as makers of batteries report it"
EVOLUTION = Constant(0.42e-3, "m3/Ah", Source(Kind.SECOND_HAND, f"{_EN}: hydrogen of one cell, 0.42e-3 m3/Ah"))
FLAMMABLE_SHARE = Constant(0.04, "", Source(Kind.SECOND_HAND, f"{_EN}: lower flammable limit of hydrogen in air"))
SAFETY_FACTOR = Constant(5.0, "", Source(Kind.SECOND_HAND, f"{_EN}: safety factor of open ventilation"))
OPENING = Constant(
    28.0, "cm2 h/m3", Source(Kind.SECOND_HAND, f"{_EN}: natural ventilation, A = 28 Q for inlet and for outlet")
)
CELL_RULE = Source(Kind.DERIVED, "EN 50272-3 with one cell: 0.42e-3 m3/Ah x (100 - 4) / 4 x 5 = 0.05 m3/Ah")


@dataclass(frozen=True, slots=True)
class Air:
    """Air to lead away while a current flows: by two rules, and the openings that bring it in by the first."""

    by_factor: Figure  # m3/h
    by_share: Figure  # m3/h
    opening: Figure  # cm2, inlet and outlet each
    notes: tuple[str, ...]

    @property
    def wanted(self) -> Figure:
        """The larger of the two rules [m3/h]."""
        return max(self.by_factor, self.by_share, key=lambda f: f.estimate.high)


def air_for(current_a: Estimate | Figure) -> Air:
    """The air for a current [A].

    >>> found = air_for(Estimate.exact(30.0))
    >>> round(found.by_factor.estimate.value, 2), round(found.by_share.estimate.value, 2)
    (1.51, 1.35)
    """
    current = current_a if isinstance(current_a, Figure) else given("current", current_a, "A")
    gas, factor = constant("hydrogen", EVOLUTION), constant("safety factor", SAFETY_FACTOR)
    lower = constant("lower flammable limit", FLAMMABLE_SHARE)
    by_factor = worked(
        "air by the rule of battery rooms", "m3/h", "current x hydrogen x (1 - limit) / limit x factor", CELL_RULE,
        lambda i, g, f, x: i * g * (1.0 - x) / x * f, current, gas, factor, lower,
    )  # fmt: skip
    by_share = air_flow(current)
    opening = worked(
        "opening, inlet and outlet each", "cm2", "28 cm2 for each m3/h of air", OPENING.source, lambda k, q: k * q,
        constant("opening for air", OPENING), by_factor,
    )  # fmt: skip
    notes = (
        "The acid's mist, not the hydrogen, usually decides the exhaust: draw it off at the tank's lip, away from "
        "faces and from the supply; local codes and the acid's safety data sheet come first.",
        "No flame, spark or smoking over the tank; make and break contacts only with the supply off.",
    )
    return Air(by_factor, by_share, opening, notes)
