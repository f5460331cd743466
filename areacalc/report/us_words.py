"""Sentences in US units: metric quantities in them as inches, Fahrenheit, gallons, so that text and tables agree."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from areacalc.digits import rounded, three
from areacalc.estimate import Estimate
from areacalc.figure import Figure
from areacalc.report.figures import in_shown_unit

_NUMBER = r"-?\d+(?:\.\d+)?"
_UNITS = ("A/dm2", "W/dm2", "L/min", "m3/h", "mm2", "cm2", "mm", "um", "mL", "kg", "C", "K", "L", "g", "W")
_QUANTITY = re.compile(
    r"(?<!cable, )(?<!\d, )(?<![\w.,/-])"  # cable is sold by mm2 everywhere, and places are those of the part's file
    rf"(?P<numbers>{_NUMBER}(?:(?: to | x | and | or ){_NUMBER})*) (?P<unit>{'|'.join(_UNITS)})"
    rf"(?![\w/%])(?: \((?P<low>{_NUMBER}) to (?P<high>{_NUMBER})\))?"
)


@dataclass(frozen=True, slots=True)
class Wording:
    """How sentences read: as they stand, or with `inch` in US units.

    exact holds what a rounded number stood for, (its text, unit): a figure then reads alike in text and table.
    """

    inch: bool
    exact: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def __call__(self, text: str) -> str:
        """The sentence; its numbers keep about as many digits as they have, at least three.

        >>> said = Wording(True)
        >>> said("the bath warms by 2.5 K to 22.5 C (21.4 to 23.1), in 320 x 125 x 250 mm of 180 g/L")
        'the bath warms by 4.5 F to 72.5 F (70.5 to 73.6), in 12.6 x 4.92 x 9.84 in of 180 g/L'
        >>> said("ends at 9.968 mm (9.964 to 9.968): kept")
        'ends at 0.39244 in (0.39228 to 0.39244): kept'
        """
        return _QUANTITY.sub(self._in_us_units, text) if self.inch else text

    def _in_us_units(self, found: re.Match[str]) -> str:
        unit = found["unit"]
        told = re.sub(_NUMBER, lambda number: self._shown(number[0], unit), found["numbers"])
        ends = f" ({self._shown(found['low'], unit)} to {self._shown(found['high'], unit)})" if found["low"] else ""
        return f"{told} {in_shown_unit(Estimate.exact(0.0), unit, inch=True)[1]}{ends}"

    def _shown(self, number: str, unit: str) -> str:
        value = self.exact.get((number, unit), float(number))
        digits, decimals = len(number.lstrip("-0.").replace(".", "")), len(number.partition(".")[2])
        told = in_shown_unit(Estimate.exact(value), unit, inch=True)[0].value
        return rounded(told, digits + 1 if decimals > 2 and digits > 3 else min(max(digits, 3), 4))


def wording(figures: Iterable[Figure], inch: bool) -> Wording:
    """The wording of sentences that stand beside these figures; of two that round alike the first is meant."""
    exact: dict[tuple[str, str], float] = {}
    for figure in figures:
        for value in (figure.estimate.value, figure.estimate.low, figure.estimate.high):
            exact.setdefault((three(value), figure.unit), value)
            if figure.unit == "mm2":
                exact.setdefault((three(value * 0.01), "cm2"), value * 0.01)
    return Wording(inch, exact)
