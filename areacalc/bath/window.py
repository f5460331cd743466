"""Windows of current density, published and a person's own, and the current to set for an area in one."""

import re
from dataclasses import dataclass
from enum import Enum

from areacalc.errors import BadInput, UnknownName
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, fact
from areacalc.figure import Figure, given, worked
from areacalc.quantity import Dimension, parse, said_checked, unlikely
from areacalc.sources import Kind, Source

DM2_PER_FT2 = 9.290304  # exact: 0.3048 m squared
DM2_PER_IN2 = 0.064516  # exact: 25.4 mm squared


def a_per_ft2(density_a_per_dm2: float) -> float:
    """A/dm2 in A/ft2."""
    return density_a_per_dm2 * DM2_PER_FT2


def ma_per_in2(density_a_per_dm2: float) -> float:
    """A/dm2 in mA/in2."""
    return density_a_per_dm2 * DM2_PER_IN2 * 1e3


@dataclass(frozen=True, slots=True)
class Window:
    """The least and the most current density that a finish is run at [A/dm2], and who says so.

    Raises BadInput unless 0 < least <= most.
    """

    name: str
    least_a_per_dm2: float
    most_a_per_dm2: float
    source: Source
    use: str = ""
    checked: bool = False  # the person stands by it, however odd it looks

    def __post_init__(self) -> None:
        if not 0.0 < self.least_a_per_dm2 <= self.most_a_per_dm2 < float("inf"):
            what = f"{self.least_a_per_dm2:.3g} to {self.most_a_per_dm2:.3g} A/dm2 runs backwards or below zero"
            raise BadInput("density", what, "give two densities above zero, the smaller first")

    @property
    def density(self) -> Quantity:
        """Its middle and ends."""
        return Quantity(Estimate(self.middle_a_per_dm2, self.least_a_per_dm2, self.most_a_per_dm2), "A/dm2")

    @property
    def is_one(self) -> bool:
        """Whether it is one density and not a range: then no doubt of the area can leave it."""
        return self.least_a_per_dm2 == self.most_a_per_dm2

    @property
    def middle_a_per_dm2(self) -> float:
        return 0.5 * (self.least_a_per_dm2 + self.most_a_per_dm2)


WINDOWS: dict[str, Window] = {w.name: w for w in (
    Window(
        "small-tank", 0.145 / DM2_PER_IN2, 0.175 / DM2_PER_IN2,
        Source(Kind.COMMON_PRACTICE, "small shops set 145 to 175 mA/in2; nobody has published it"),
        "small dyed parts in a small tank at room temperature",
    ),
    Window(
        "decorative", 10.0 / DM2_PER_FT2, 15.0 / DM2_PER_FT2,
        Source(Kind.PUBLISHED, "Metal Finishing Guide Book 2013, p. 425: 10 to 15 A/ft2, 165 to 180 g/L, 60 to 80 F"),
        "thin dyed coatings, 2.5 to 12 um in 12 to 30 min",
    ),
    Window(
        "conventional", 10.0 / DM2_PER_FT2, 24.0 / DM2_PER_FT2,
        Source(Kind.PUBLISHED, "Metal Finishing Guidebook 2011-12, p. 405: Type II, 10 to 24 A/ft2, 68 to 72 F"),
        "ordinary sulphuric coatings, as power supplies are sized for",
    ),
    Window(
        "hard", 24.0 / DM2_PER_FT2, 36.0 / DM2_PER_FT2,
        Source(Kind.FROM_MEMORY, "hard coating 24 to 36 A/ft2, cold bath; check before relying on it"),
        "hard coatings in a cooled bath near 0 C; never without cooling",
    ),
)}  # fmt: skip

DEFAULT_WINDOW = WINDOWS["small-tank"]


LEAST_PUBLISHED = min(w.least_a_per_dm2 for w in WINDOWS.values() if w.source.kind is Kind.PUBLISHED)
"""The least density of any published window [A/dm2]: a load that gets less for certain cannot be run."""


class WindowFact(Enum):
    BESIDE_PUBLISHED = "density beside published windows"
    ODD = "density that no bath here takes"


def beside_published(used: Window) -> Fact | None:
    """The published windows of ordinary coatings beside one that is not published; None for one that is, or is hard.

    >>> beside_published(DEFAULT_WINDOW)["conventional"].estimate.high > 2.5, beside_published(WINDOWS["decorative"])
    (True, None)
    """
    if used.source.kind is Kind.PUBLISHED or used is WINDOWS["hard"]:
        return None
    found = {each.name: each.density for each in WINDOWS.values() if each.source.kind is Kind.PUBLISHED}
    return fact(WindowFact.BESIDE_PUBLISHED, used=used.density, source=used.source, **found)


def published_at(density_a_per_dm2: float) -> Window | None:
    """The narrowest published window that a density lies in: the coating is as sound as the trade's.

    >>> published_at(1.29).name, published_at(2.0).name, published_at(0.9)
    ('decorative', 'conventional', None)
    """
    inside = (
        each for each in WINDOWS.values() if each.source.kind is Kind.PUBLISHED
        and each.least_a_per_dm2 <= density_a_per_dm2 <= each.most_a_per_dm2
    )  # fmt: skip
    return min(inside, key=lambda each: each.most_a_per_dm2 - each.least_a_per_dm2, default=None)


def odd(used: Window) -> Fact | None:
    """That a window lies beyond twice the highest density known here, or below half the lowest: mostly a wrong unit.

    >>> odd(own_window(30.0, 30.0)).kind.name, odd(own_window(0.9, 4.5))
    ('ODD', None)
    """
    if used.checked or (used.least_a_per_dm2 >= 0.5 * _LEAST and used.most_a_per_dm2 <= 2.0 * _MOST):
        return None
    metric, foot, inch = _usual()
    return fact(WindowFact.ODD, used=used.density, metric=metric, foot=foot, inch=inch)


_LEAST = min(each.least_a_per_dm2 for each in WINDOWS.values())
_MOST = max(each.most_a_per_dm2 for each in WINDOWS.values())


_ASKED = ("A/dm2", "A/ft2", "mA/in2", "mA/cm2")


def _usual() -> tuple[str, ...]:
    """The densities known here, in A/dm2, A/ft2 and mA/in2."""
    return tuple(f"{unit(_LEAST):.3g} to {unit(_MOST):.3g}" for unit in (float, a_per_ft2, ma_per_in2))


_OWN = re.compile(r"^\s*(?P<least>[+-]?\d[\d.,/]*)\s*(?:to|-|–|\.\.)\s*(?P<most>\d[\d.,/]*)\s*(?P<unit>[A-Za-z].*)$")


def window(words: str = "small-tank", where: str = "density") -> Window:
    """The preset of that name, or a person's own: "12 to 15 A/ft2", "1.4-1.6 A/dm2", "150 mA/in2".

    Raises UnknownName for an unknown name, BadInput for a window that is not one, or burns any part and is not checked.

    >>> round(a_per_ft2(window("decorative").middle_a_per_dm2), 9)
    12.5
    >>> own = window("1.2 to 1.8 A/dm2"); own.least_a_per_dm2, own.most_a_per_dm2, own.source.kind.value
    (1.2, 1.8, 'entered by you')
    """
    text, checked = said_checked(words.strip())
    if text.lower() in WINDOWS:
        return WINDOWS[text.lower()]
    if not re.match(r"[+\-−.]?\d", text):
        raise UnknownName.among(where, text, (*WINDOWS, "or your own: '12 to 15 A/ft2'"))
    ends = [text, text]
    if found := _OWN.match(text):
        ends = [f"{found['least']} {found['unit']}", f"{found['most']} {found['unit']}"]
    least, most = (parse(end, Dimension.CURRENT_DENSITY, where) for end in ends)
    if least <= 0.0:
        raise BadInput(where, f"'{text}' must be above 0", "give a density such as '1.5 A/dm2'")
    if least > most:
        raise BadInput(where, f"'{text}' runs backwards", "give the smaller density first")
    if most > 2.0 * _MOST and not checked:
        metric, foot, inch = _usual()
        raise unlikely(where, text, f"burns any part: usual is {metric} A/dm2, which is {foot} A/ft2 or {inch} mA/in2",
                       Dimension.CURRENT_DENSITY, _ASKED, (0.5 * _LEAST, 2.0 * _MOST))  # fmt: skip
    return own_window(least, most, text, checked)


def own_window(least_a_per_dm2: float, most_a_per_dm2: float, words: str = "", checked: bool = False) -> Window:
    """A window of the person's own [A/dm2]. Raises BadInput unless 0 < least <= most."""
    text = words or f"{least_a_per_dm2:g} to {most_a_per_dm2:g} A/dm2"
    source = Source(Kind.ENTERED, f"your own window, {text}")
    return Window("own", least_a_per_dm2, most_a_per_dm2, source, checked=checked)


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
    def is_sure(self) -> bool:
        """Whether some current lies inside the window for every area in the bounds; one density alone is always met."""
        return self.window.is_one or self.sure_low_a <= self.sure_high_a


def current_a(
    area: Estimate | Figure, window: Window = DEFAULT_WINDOW, density_a_per_dm2: float | None = None
) -> Current:
    """The current for a wetted area [mm2] at a density in the window (its middle unless told).

    Raises BadInput for an area that is not above zero and for a density outside the window.

    >>> nine = current_a(Estimate.exact(9 * 645.16))
    >>> round(nine.low_a, 9), round(nine.high_a, 9), round(nine.set_a, 9), round(ma_per_in2(nine.density_a_per_dm2), 9)
    (1.305, 1.575, 1.44, 160.0)
    """
    if isinstance(area, Estimate):
        area = given("wetted area", area, "mm2", Source(Kind.DERIVED, "; ".join(area.because) or "the area given"))
    if area.estimate.value <= 0.0 or area.estimate.low < 0.0:
        raise BadInput("wetted area", f"{area.estimate.value:g} mm2 takes no current", "give an area above zero")
    setting = window.middle_a_per_dm2 if density_a_per_dm2 is None else density_a_per_dm2
    if not window.least_a_per_dm2 <= setting <= window.most_a_per_dm2:
        what = (f"{setting:g} A/dm2 is outside the window '{window.name}', {window.least_a_per_dm2:.3g} to "
                f"{window.most_a_per_dm2:.3g} A/dm2")  # fmt: skip
        raise BadInput("current density", what, "choose a density inside it, or give a window of your own")
    ends = Estimate(setting, window.least_a_per_dm2, window.most_a_per_dm2, (f"density window '{window.name}'",))
    density = given("current density", ends, "A/dm2", window.source)
    figure = worked("current", "A", "area x density", _PRODUCT, lambda a, d: a * 1e-4 * d, area, density)
    return Current(
        figure, window, setting,
        sure_low_a=area.estimate.high * 1e-4 * window.least_a_per_dm2,
        sure_high_a=area.estimate.low * 1e-4 * window.most_a_per_dm2,
    )  # fmt: skip
