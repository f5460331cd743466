"""How the figures of a plan read: value, bounds and unit, as short as they can be and still be set."""

from __future__ import annotations

from areacalc.estimate import Estimate
from areacalc.figure import Figure

_UNITS = {"s": ("min", 1.0 / 60.0), "mm2": ("cm2", 0.01)}


def number(value: float) -> str:
    """Three significant figures, without an exponent.

    >>> number(2.9163), number(12345.0), number(0.00123)
    ('2.92', '12300', '0.00123')
    """
    if value == 0.0:
        return "0"
    rounded = float(f"{value:.3g}")
    text = f"{rounded:.9f}".rstrip("0").rstrip(".") if abs(rounded) < 1e9 else f"{rounded:g}"
    return text or "0"


def in_shown_unit(estimate: Estimate, unit: str) -> tuple[Estimate, str]:
    """An estimate in the unit that people read: seconds as minutes, mm2 as cm2.

    >>> in_shown_unit(Estimate.exact(90.0), "s")[1]
    'min'
    """
    name, factor = _UNITS.get(unit, (unit, 1.0))
    return estimate.scaled(factor), name


def value_text(figure: Figure) -> str:
    """The value and its unit."""
    estimate, unit = in_shown_unit(figure.estimate, figure.unit)
    return f"{number(estimate.value)} {unit}".strip()


def bounds_text(figure: Figure) -> str:
    """Least to most, or 'exact' where they read the same."""
    estimate, _ = in_shown_unit(figure.estimate, figure.unit)
    low, high = number(estimate.low), number(estimate.high)
    return "" if low == high else f"{low} to {high}"


def whole_text(figure: Figure) -> str:
    """Value, unit and bounds in one."""
    bounds = bounds_text(figure)
    return value_text(figure) + (f" ({bounds})" if bounds else "")
