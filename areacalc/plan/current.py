"""The current of a load: the least, the most, the one to set, and what density that puts on the skin."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.current import Current, current_a
from areacalc.bath.window import Window
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given, worked
from areacalc.plant.supply import Supply
from areacalc.sources import Kind, Source

_PRODUCT = Source(Kind.DERIVED, "current is area times current density")
_SET = Source(Kind.DERIVED, "likeliest area times the middle setting of the window")
_HELD = Source(Kind.DERIVED, "all that the power supply gives; the middle setting would be more")


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
        least=worked("least current", "A", "area x least density", _PRODUCT, _times, area, lowest),
        set=setting,
        most=worked("most current", "A", "area x most density", _PRODUCT, _times, area, highest),
        density=worked("density on the surface", "A/dm2", "current to set / area", _PRODUCT,
                       lambda i, a: i / (a * 1e-4), setting, area),
        window=window, wanted_a=found.set_a, held_down=held_a is not None, is_sure=found.is_sure,
        in_window=held_a is None or held_a >= area.estimate.value * 1e-4 * window.least_a_per_dm2,
    )  # fmt: skip


def _times(area_mm2: float, density: float) -> float:
    return area_mm2 * 1e-4 * density


def _setting(found: Current, area: Figure, held_a: float | None) -> Figure:
    if held_a is not None:
        limit = given("the supply's limit", held_a, "A")
        return Figure("current to set", Estimate.exact(held_a), "A", "the supply's limit", _HELD, (limit, area))
    density = given("density to set", found.density_a_per_dm2, "A/dm2", found.window.source)
    formula = "area x density, both at their middle"
    return Figure("current to set", Estimate.exact(found.set_a), "A", formula, _SET, (area, density))
