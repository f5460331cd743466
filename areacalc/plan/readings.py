"""What volts, amperes and temperature read at the supply say about the area that is really wet."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.agitation import surface_rise_k
from areacalc.bath.electrolyte import Electrolyte
from areacalc.bath.voltage import implied_density, rise_per_um
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.plan.plan import Plan
from areacalc.quantity import LARGEST, Dimension
from areacalc.sources import Kind, Source
from areacalc.surface.skin import State

_AREA = Source(Kind.DERIVED, "current over the density that the volts imply")
_VOLTS = Source(Kind.DERIVED, "the film so far and the rack take their share of the volts")
_STIRRED = Source(Kind.DERIVED, "the surface stands as far above the bath as its heat and the agitation make it")
_FAR = 0.5
LEAST_READ = 1e-6
"""The least volts and amperes that are taken for a reading: a millionth, which no meter on a supply shows."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What the meters show: volts at the supply, amperes, the bath [C], and how long the current has flowed [s].

    Raises BadInput for a reading that is none.
    """

    volts_v: float
    current_a: float
    temperature_c: float
    time_s: float = 0.0

    def __post_init__(self) -> None:
        for what, value, unit, kind in (
            ("volts", self.volts_v, "V", Dimension.VOLTAGE), ("amperes", self.current_a, "A", Dimension.CURRENT),
        ):  # fmt: skip
            if not LEAST_READ <= value <= LARGEST[kind][0]:
                raise BadInput(
                    "meters", f"{value:g} {unit} are no {what} of a run", "read both while the current flows"
                )
        if not 0.0 <= self.time_s <= LARGEST[Dimension.TIME][0]:
            raise BadInput("meters", f"{self.time_s:g} s of full current cannot be", "give how long it has flowed")


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that would explain a reading: words, and the area there would be [mm2]."""

    words: str
    area_mm2: float


@dataclass(frozen=True, slots=True)
class BackCheck:
    """The area a reading implies [mm2], the planned one, what is said of both, and what could explain it."""

    implied: Figure
    planned: Figure
    agrees: bool
    verdict: str
    causes: tuple[Cause, ...]


def back_check(plan: Plan, read: Reading) -> BackCheck:
    """Compare a reading with the plan's effective area, which is what the meters see.

    Raises OutOfRange for a bath outside -5 to 40 C, BadInput where it would be frozen or where rack and film would take
    all the volts.
    """
    Electrolyte(plan.load.bath.acid_g_per_l, read.temperature_c)
    area = _implied(plan, read)
    planned = plan.throw.effective
    a, p = area.estimate, planned.estimate
    if a.low <= p.high and p.low <= a.high:
        verdict = "The meters agree with the planned area."
        if a.width > _FAR * a.value:
            verdict = ("The readings fit the plan, but prove little until you have measured a run: the law of volts "
                       "is not set right for this bath. Give measured_voltage and measured_density of a good run under "
                       "[bath].")  # fmt: skip
        return BackCheck(area, planned, True, verdict, ())
    more = a.low > p.high
    verdict = (
        "More surface is wet than planned: a plug is out, a mask has lifted, or the rack takes current."
        if more
        else "Less surface takes current than planned: a contact is lost, or air stands in a bore."
    )
    return BackCheck(area, planned, False, verdict, tuple(_explaining(plan, a, more)))


def _implied(plan: Plan, read: Reading) -> Figure:
    load, law = plan.load, plan.load.bath.law
    today = load.bath
    rack = plan.plant.rack
    amps, temperature = given("amperes read", read.current_a, "A"), given("bath read", read.temperature_c, "C")
    seen = given("volts read", read.volts_v, "V")
    series = rack.resistance if rack else given("rack resistance", 0.0, "ohm")
    minutes = given("minutes so far", read.time_s / 60.0, "min")
    rise = constant("rise of volts", rise_per_um(read.temperature_c))
    rule = constant("charge rule", (today.rule or load.finish.rule).film_per_charge)
    volts = worked(
        "volts at the anode, without film and rack", "V", "volts - amperes x rack - rise x film so far", _VOLTS,
        lambda v, i, r, m, h, k, d: v - i * r - h * k * m * d, seen, amps, series, minutes, rise, rule,
        plan.figures["density"],
    )  # fmt: skip
    if volts.estimate.low <= 0.0:
        raise BadInput("meters", f"{read.volts_v:g} V are less than rack and film take", "read the volts again")
    temperature = _as_the_law_was_taken(plan, temperature)
    density = implied_density(volts, temperature, given("acid", today.acid_g_per_l, "g/L"), law)
    return worked("area the meters imply", "mm2", "amperes / density the volts imply", _AREA,
                  lambda i, d: i / d * 1e4, amps, density)  # fmt: skip


def _as_the_law_was_taken(plan: Plan, temperature: Figure) -> Figure:
    """The bath [C] that would have the surface as warm as here, were it stirred as where the law was taken."""
    own, law = plan.load.bath.agitation, plan.load.bath.law.agitation
    if own is law:
        return temperature
    return worked("bath, were it stirred as the law's", "C", "bath + rise - rise in such a bath", _STIRRED,
                  lambda t, rise, q: t + rise - float(surface_rise_k(q, t, law)), temperature, plan.heat.rise,
                  plan.heat.on_surface)  # fmt: skip


def _explaining(plan: Plan, implied: Estimate, more: bool) -> list[Cause]:
    """What of this load would bring the area into the implied bounds, the nearest first."""
    whole = plan.throw.effective.estimate.value
    found = []
    for part, thrown in zip(plan.parts, plan.throw.parts, strict=True):
        one, name = thrown.effective.estimate.value / part.line.count, part.line.name
        if not more:
            lost = min(max(round((whole - implied.value) / one), 1), part.line.count)
            found.append(Cause(f"{lost} x {name} with no contact", whole - lost * one))
        for row in part.rows:
            feature, mm2 = row.feature.name, row.area_mm2.value
            if more and row.state in (State.PLUGGED, State.MASKED):
                what = "plug out of" if row.state is State.PLUGGED else "mask off"
                found.append(Cause(f"{what} {feature} of one {name}", whole + mm2))
            if not more and row.state is State.WET and "bore" in feature:
                found.append(Cause(f"air in {feature} of one {name}", whole - mm2 * thrown.share(feature)))
    inside = [c for c in found if implied.low <= c.area_mm2 <= implied.high]
    return sorted(inside, key=lambda c: abs(c.area_mm2 - implied.value))
