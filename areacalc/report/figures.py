"""How the figures of a plan read: value, bounds and unit, as short as they can be and still be set."""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from areacalc.bath.heat import W_PER_BTU_PER_H
from areacalc.digits import rounded
from areacalc.estimate import Estimate
from areacalc.fact import Quantity, quantity
from areacalc.figure import Figure

_FT2 = 9.290304  # dm2
_METRIC = {"s": ("min", 1.0 / 60.0), "mm2": ("cm2", 0.01), "K": ("C", 1.0), "V/K": ("V/C", 1.0), "K/L": ("C/L", 1.0)}
_WHOLE_FROM = {"min": 30.0, "%": 10.0}  # chosen: a clock is set to whole minutes from there
_LEAST_GAL, _LEAST_L = 0.5, 0.1
_LITRE_GAL = 1.0 / 3.785411784
_GRAM_OZ = 1.0 / 28.349523125
_KJ_BTU = 1.0 / 1.05505585262
_INCH = {
    "s": ("min", 1.0 / 60.0), "mm": ("in", 1.0 / 25.4), "mm2": ("in2", 1.0 / 645.16), "cm2": ("in2", 1.0 / 6.4516),
    "A/dm2": ("A/ft2", _FT2), "W/dm2": ("BTU/(h ft2)", _FT2 / W_PER_BTU_PER_H),
    "A min/dm2": ("A min/ft2", _FT2), "um": ("mil", 1.0 / 25.4), "K": ("F", 1.8), "V/K": ("V/F", 1.0 / 1.8),
    "L": ("gal", _LITRE_GAL),
    "L/min": ("gal/min", _LITRE_GAL), "mL": ("fl oz", 1.0 / 29.5735295625), "g": ("oz", _GRAM_OZ),
    "kg": ("lb", 1.0 / 0.45359237), "W": ("BTU/h", 1.0 / W_PER_BTU_PER_H),
    "W/(m2 K)": ("BTU/(h ft2 F)", 1.0 / 5.678263341), "kg/m3": ("lb/ft3", 0.3048**3 / 0.45359237),
    "m3/h": ("ft3/min", 1e9 / 304.8**3 / 60.0), "m2": ("ft2", 1.0 / 0.09290304), "N": ("lbf", 1.0 / 4.4482216152605),
    "g/L": ("oz/gal", _GRAM_OZ / _LITRE_GAL), "1/mm": ("1/in", 25.4),
    "m3/(h m2)": ("ft3/(min ft2)", 1.0 / 0.3048 / 60.0), "per g/L": ("per oz/gal", _LITRE_GAL / _GRAM_OZ),
    "kg/L": ("lb/gal", 1.0 / 0.45359237 / _LITRE_GAL), "A/L": ("A/gal", 1.0 / _LITRE_GAL),
    "K/L": ("F/gal", 1.8 / _LITRE_GAL), "kJ/(L K)": ("BTU/(gal F)", _KJ_BTU / 1.8 / _LITRE_GAL),
    "kJ/K": ("BTU/F", _KJ_BTU / 1.8), "um/(A min/dm2)": ("mil/(A min/ft2)", 1.0 / 25.4 / _FT2), "V/um": ("V/mil", 25.4),
    "um/min": ("mil/min", 1.0 / 25.4), "min/um": ("min/mil", 25.4), "um/(A/dm2)": ("mil/(A/ft2)", 1.0 / 25.4 / _FT2),
}  # fmt: skip
"""US units: inch, Fahrenheit, US gallon, ounce; a figure whose unit is not here stays as it is (README lists them)."""


_IN_PRINT: ContextVar[bool] = ContextVar("in print", default=False)


@contextmanager
def in_print() -> Iterator[None]:
    """Units written in here have the signs of print.

    >>> with in_print():
    ...     shown(12.0, "um"), shown(8440.0, "mm2"), shown(20.0, "C")
    ('12 \u00b5m', '84.4 cm\u00b2', '20 \u00b0C')
    """
    before = _IN_PRINT.set(True)
    try:
        yield
    finally:
        _IN_PRINT.reset(before)


def written(unit: str) -> str:
    """A unit as it is written: plain, or in print with its signs."""
    if not _IN_PRINT.get():
        return unit
    if unit in ("C", "F"):
        return f"\u00b0{unit}"
    return unit.replace("2", "\u00b2").replace("3", "\u00b3").replace("um", "\u00b5m")


def in_shown_unit(estimate: Estimate, unit: str, inch: bool = False) -> tuple[Estimate, str]:
    """An estimate in the unit that people read: seconds as minutes, mm2 as cm2; with `inch` in US units.

    >>> in_shown_unit(Estimate.exact(90.0), "s")[1]
    'min'
    >>> in_shown_unit(Estimate.exact(20.0), "C", inch=True)
    (Estimate(value=68.0, low=68.0, high=68.0, because=()), 'F')
    """
    if inch and unit == "C":
        e = estimate.scaled(1.8)
        return Estimate(e.value + 32.0, e.low + 32.0, e.high + 32.0, e.because), written("F")
    least_l, small, times = (_LEAST_GAL / _LITRE_GAL, "fl oz", 128.0 * _LITRE_GAL) if inch else (_LEAST_L, "mL", 1e3)
    if unit == "L" and 0.0 < estimate.value < least_l:  # a measuring jug's marks
        return estimate.scaled(times), small
    name, factor = (_INCH if inch else _METRIC).get(unit, (unit, 1.0))
    return estimate.scaled(factor), written(name)


def shown(value: float, unit: str, inch: bool = False) -> str:
    """A number in a canonical unit as people read it.

    >>> shown(90.0, "s"), shown(25.4, "mm", inch=True)
    ('1.5 min', '1 in')
    """
    estimate, name = in_shown_unit(Estimate.exact(value), unit, inch)
    return f"{number(estimate.value, name)} {name}".strip()


def number(value: float, unit: str) -> str:
    """Three figures, of a share in per cent two; none behind the point from where `_WHOLE_FROM` says.

    >>> number(21.34, "min"), number(35.5, "min"), number(0.796, "%"), number(51.6, "%"), number(1.1143, "kg/L")
    ('21.3', '36', '0.8', '52', '1.114')
    """
    if value >= _WHOLE_FROM.get(unit, math.inf):
        return f"{value:.0f}"
    decimals = {"kg/L": 3, "lb/gal": 2, "sg": 3, "Be": 1}.get(unit)
    return rounded(value, 2 if unit == "%" else 3) if decimals is None else f"{value:.{decimals}f}"


def value_text(figure: Figure, inch: bool = False) -> str:
    """The value and its unit."""
    return shown(figure.estimate.value, figure.unit, inch)


def bounds_text(figure: Figure, inch: bool = False) -> str:
    """Least to most; empty where they read the same."""
    estimate, unit = in_shown_unit(figure.estimate, figure.unit, inch)
    low, high = number(estimate.low, unit), number(estimate.high, unit)
    return "" if low == high else f"{low} to {high}"


def whole_text(figure: Figure, inch: bool = False) -> str:
    """Value, unit and bounds in one."""
    return whole_quantity(quantity(figure.estimate, figure.unit), inch)


def whole_quantity(told: Quantity, inch: bool = False) -> str:
    """A quantity with its unit and bounds."""
    e, unit = in_shown_unit(told.estimate, told.unit, inch)
    low, value, high = (number(x, unit) for x in (e.low, e.value, e.high))
    return f"{value} {unit}".strip() + (f" ({low} to {high})" if low != high else "")


def percent_text(share: Figure) -> str:
    """A share in per cent with its bounds."""
    return whole_quantity(quantity(share.estimate.scaled(100.0), "%"))
