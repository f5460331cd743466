"""The current of a load and how outside, bores and rack share it out, at the density that the run itself brings."""

from __future__ import annotations

from dataclasses import dataclass, replace

from areacalc.bath.electrolyte import BATH_TEMPERATURE, conductivity
from areacalc.bath.heat import heat_held
from areacalc.bath.voltage import Polarisation, rise_per_um
from areacalc.bath.window import Current, Window, current_a
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given, given_or_none, worked
from areacalc.load.load import Load
from areacalc.plan.area import PartArea
from areacalc.plan.course import RunGoal, RunPlan, plan_run
from areacalc.plan.room import rack_made
from areacalc.plan.throw import Throw, plan_throw
from areacalc.plant.rack import check_rack
from areacalc.plant.supply import Supply
from areacalc.sources import Kind, Source
from areacalc.throw.split_tube import slope_of
from areacalc.throw.thrown import Evening

_AREA_TIMES = Source(Kind.DERIVED, "current is area times current density")
_SET = Source(Kind.DERIVED, "likeliest area times the middle setting of the window")
_HELD = Source(Kind.DERIVED, "all that the power supply gives; the middle setting of the window is more")
_SAME = 0.005  # chosen: three figures do not show so little less


@dataclass(frozen=True, slots=True)
class CurrentPlan:
    """Currents [A] and density [A/dm2]; `set` is exact, since the person sets it; its width goes into the density.

    wanted_a is the middle setting; held_down says that the supply gives less. in_window: the density that is
    set, at the area's own value, lies in the window.
    """

    least: Figure
    set: Figure
    most: Figure
    density: Figure
    window: Window
    wanted_a: float
    held_down: bool
    is_sure: bool
    in_window: bool


def plan_current(
    area: Figure, window: Window, density_a_per_dm2: float | None = None, supply: Supply | None = None
) -> CurrentPlan:
    """The currents for a wetted area [mm2], in a window, at its middle unless a density is told.

    >>> six = plan_current(given("area", 6 * 645.16, "mm2"), Window("own", 2.0, 3.0, _SET))
    >>> round(six.set.estimate.value, 4), round(six.density.estimate.value, 9)
    (0.9677, 2.5)
    """
    found = current_a(area, window, density_a_per_dm2)
    lowest = given("least density", window.least_a_per_dm2, "A/dm2", window.source)
    highest = given("most density", window.most_a_per_dm2, "A/dm2", window.source)
    held_a = supply.limit_a if supply is not None and supply.limit_a < found.set_a else None
    setting = _setting(found, area, held_a)
    return CurrentPlan(
        least=worked("least current", "A", "effective area x least density", _AREA_TIMES, _times, area, lowest),
        set=setting,
        most=worked("most current", "A", "effective area x most density", _AREA_TIMES, _times, area, highest),
        density=worked("density on the surface", "A/dm2", "current to set / area", _AREA_TIMES,
                       lambda i, a: i / (a * 1e-4), setting, area),
        window=window, wanted_a=found.set_a, held_down=held_a is not None, is_sure=found.is_sure,
        in_window=held_a is None or held_a >= (1.0 - _SAME) * area.estimate.value * 1e-4 * window.least_a_per_dm2,
    )  # fmt: skip


def _times(area_mm2: float, density: float) -> float:
    return area_mm2 * 1e-4 * density


def _setting(found: Current, area: Figure, held_a: float | None) -> Figure:
    if held_a is not None:
        limit = given("limit of the power supply", held_a, "A")
        return Figure("current to set", Estimate.exact(held_a), "A", "limit of the power supply", _HELD, (limit, area))
    density = given("density to set", found.density_a_per_dm2, "A/dm2", found.window.source)
    formula = "effective area x density, both at their middle"
    return Figure("current to set", Estimate.exact(found.set_a), "A", formula, _SET, (area, density))


_COMES = Source(Kind.DERIVED, "coating at the end of the run, as likely thicker as thinner")
_IN_BORES = Source(Kind.DERIVED, "acid in a bore stands between the bath and the surface, half way unless it moves")
_ROUNDS, _SETTLED, _SETTLED_K = 12, 1e-5, 1e-3


@dataclass(frozen=True, slots=True)
class Measured:
    """The bath as measured, as figures: acid, dissolved aluminium [g/L], temperature [C], liquid [L], what follows.

    kappa is how well it conducts [S/m], held the heat that warms it by a degree [kJ/K], law that of its volts with what
    a split tube told of the slope.
    """

    acid: Figure
    aluminium: Figure
    temperature: Figure
    liquid: Figure
    kappa: Figure
    held: Figure
    law: Polarisation

    @classmethod
    def of(cls, load: Load) -> Measured:
        today = load.bath
        acid, temperature = given("acid", today.acid_g_per_l, "g/L"), given("bath now", today.temperature_c, "C")
        aluminium = given_or_none("aluminium", today.aluminium_g_per_l, "g/L")
        liquid = given("liquid", load.tank.liquid_l, "L", load.tank.source)
        kappa = conductivity(acid, temperature, aluminium, "conductivity of the bath")
        tube, slope = load.split_tube, today.bore_slope
        if tube is not None:
            slope = slope_of(tube, kappa, rise_per_um(today.temperature_c))
        law = replace(today.law, split=slope)
        return cls(acid, aluminium, temperature, liquid, kappa, heat_held(liquid, acid, temperature), law)

    def kappa_in_bores(self, rise_k: Estimate) -> Figure:
        """How well the acid in a bore conducts [S/m] beside a surface that stands above the bath [K]."""
        now, most = self.temperature.estimate.value, BATH_TEMPERATURE.high
        ends = (min(now + 0.5 * rise_k.value, most), now, min(now + rise_k.high, most))
        warm = given("acid in the bores", Estimate(*ends, ("how far the acid in a bore warms",)), "C", _IN_BORES)
        return conductivity(self.acid, warm, self.aluminium, "conductivity in the bores")


@dataclass(frozen=True, slots=True)
class Shared:
    """The currents, what the outside, bores and rack take of them, what the run is asked, and the run.

    The throw is that of a density [A/dm2], a film [um] and a rise of the surface [K].
    """

    throw: Throw
    density_a_per_dm2: float
    film_um: float
    rise_k: float
    currents: CurrentPlan
    asked: RunGoal
    run: RunPlan


@dataclass(frozen=True, slots=True)
class Sharing:
    """What the current is shared out among: parts and bare rack of an area [mm2], in the bath as measured."""

    load: Load
    parts: tuple[PartArea, ...]
    area: Figure
    rack: Figure | None
    measured: Measured

    def throw(self, density: Estimate, limit_a: float | None, film: Estimate, rise_k: Estimate) -> Throw:
        """What each takes at a density on the outside [A/dm2] or a limit [A], a film [um] and a rise of the surface."""
        comes = given("coating at the end of the run", film, "um", _COMES)
        rise = rise_per_um(self.load.bath.temperature_c)
        evening = Evening(self.measured.kappa_in_bores(rise_k), self.measured.law, comes, rise)
        return plan_throw(self.parts, self.area, density, limit_a, evening, self.rack)

    def in_bores(self, shared: Shared, density: Figure, film: Figure) -> Throw:
        """What the bores take in a run, with the width of its density [A/dm2], its film [um] and its warmth."""
        rise_k = shared.run.course.cases.bounds(shared.run.most(shared.run.course.rise_k))
        ends = ((shared.density_a_per_dm2, density.estimate), (shared.film_um, film.estimate), (shared.rise_k, rise_k))
        density_, film_, rise = (Estimate(x, min(x, e.low), max(x, e.high), e.because) for x, e in ends)
        return self.throw(density_, None, film_, rise)


def share_out(
    sharing: Sharing, window: Window, density_a_per_dm2: float | None, wanted: Figure, film_per_charge: Figure
) -> Shared:
    """The current to set and the run that comes of it.

    The bores take the more the lower the density and the warmer the acid, and the run tells both: so it is followed,
    with everything at its value, until they no longer change.
    """
    load, held, rack = sharing.load, sharing.measured.held, rack_made(sharing.load)
    limit_a = load.supply.limit_a if load.supply else None
    wished = density_a_per_dm2 or window.middle_a_per_dm2
    comes, rise_k, film_um = wished, 0.0, wanted.estimate.value
    for _ in range(_ROUNDS):
        used = film_um, rise_k
        film, rise = Estimate.exact(film_um), Estimate.exact(rise_k)
        throw = sharing.throw(Estimate.exact(wished), limit_a, film, rise)
        currents = plan_current(throw.effective, window, density_a_per_dm2, load.supply)
        at = currents.density.estimate.value
        if comes < at * (1.0 - _SETTLED):
            at = comes
            throw = sharing.throw(Estimate.exact(at), None, film, rise)
        series = check_rack(rack, currents.set, load.count).resistance.estimate.value if rack else 0.0
        asked = RunGoal(wanted, load.finish.certainty, throw.effective, currents.set, film_per_charge, series)
        quick = plan_run(asked, load.bath, held, load.supply, quick=True)
        comes, rise_k, film_um = (float(x[0]) for x in (
            quick.density_a_per_dm2, quick.most(quick.course.rise_k), quick.at_end(quick.course.film_um)))  # fmt: skip
        if abs(comes - at) <= _SETTLED * at and abs(rise_k - used[1]) <= _SETTLED_K:
            break
    return Shared(throw, at, *used, currents, asked, plan_run(asked, load.bath, held, load.supply))
