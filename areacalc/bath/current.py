"""From wetted area and a density window to the current to set."""

from __future__ import annotations

from dataclasses import dataclass

from areacalc.bath.window import DEFAULT_WINDOW, Window, a_per_ft2, ma_per_in2
from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given, worked
from areacalc.sources import Kind, Source

_PRODUCT = Source(Kind.DERIVED, "current is area times current density")


@dataclass(frozen=True, slots=True)
class Current:
    """The current for an area: what to set, and between which ends it can rightly lie.

    `figure.estimate` holds set (value), low = least density x least area, high = most density x most area: every
    current that may be right. `sure_low_a` and `sure_high_a` are the ends that stay inside the window wherever the
    area lies in its bounds; low above high says that the area is not known well enough for that.
    """

    figure: Figure
    window: Window
    density_a_per_dm2: float  # at the setting
    sure_low_a: float
    sure_high_a: float

    @property
    def low_a(self) -> float:
        """The least current that may be right [A]."""
        return self.figure.estimate.low

    @property
    def high_a(self) -> float:
        """The most current that may be right [A]."""
        return self.figure.estimate.high

    @property
    def set_a(self) -> float:
        return self.figure.estimate.value

    @property
    def density_a_per_ft2(self) -> float:
        return a_per_ft2(self.density_a_per_dm2)

    @property
    def density_ma_per_in2(self) -> float:
        return ma_per_in2(self.density_a_per_dm2)

    @property
    def is_sure(self) -> bool:
        """Whether some current lies inside the window for every area in the bounds; one density alone is always met."""
        return self.window.is_one or self.sure_low_a <= self.sure_high_a


def current_a(
    area: Estimate | Figure, window: Window = DEFAULT_WINDOW, density_a_per_dm2: float | None = None
) -> Current:
    """The current for a wetted area [mm2] at a density in the window (its middle unless told).

    Raises BadInput for an area that is not above zero and for a density outside the window.

    >>> nine = current_a(Estimate.exact(9 * 645.16))
    >>> round(nine.low_a, 9), round(nine.high_a, 9), round(nine.set_a, 9), round(nine.density_ma_per_in2, 9)
    (1.305, 1.575, 1.44, 160.0)
    """
    if isinstance(area, Estimate):
        area = given("wetted area", area, "mm2", Source(Kind.DERIVED, area.because or "the area given"))
    if area.estimate.value <= 0.0 or area.estimate.low < 0.0:
        raise BadInput("wetted area", f"{area.estimate.value:g} mm2 takes no current", "give an area above zero")
    setting = window.middle_a_per_dm2 if density_a_per_dm2 is None else density_a_per_dm2
    if not window.least_a_per_dm2 <= setting <= window.most_a_per_dm2:
        what = (f"{setting:g} A/dm2 is outside the window '{window.name}', {window.least_a_per_dm2:.3g} to "
                f"{window.most_a_per_dm2:.3g} A/dm2")  # fmt: skip
        raise BadInput("current density", what, "choose a density inside it, or give a window of your own")
    ends = Estimate(setting, window.least_a_per_dm2, window.most_a_per_dm2, f"density window '{window.name}'")
    density = given("current density", ends, "A/dm2", window.source)
    figure = worked("current", "A", "area x density", _PRODUCT, lambda a, d: a * 1e-4 * d, area, density)
    return Current(
        figure, window, setting,
        sure_low_a=area.estimate.high * 1e-4 * window.least_a_per_dm2,
        sure_high_a=area.estimate.low * 1e-4 * window.most_a_per_dm2,
    )  # fmt: skip
