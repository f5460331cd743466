"""How a fact is told: its sentence from the catalogue, its quantities in the units asked for."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from areacalc.bath.table import by_kind
from areacalc.digits import counted as counted
from areacalc.digits import rounded
from areacalc.estimate import Estimate
from areacalc.fact import Fact, Quantity, Value
from areacalc.report.figures import in_shown_unit, number, shown, written
from areacalc.report.words.places import Keys, typed_at
from areacalc.sources import Source

_CLAUSE = re.compile(r"\[(\w+)\|([^][|]*)(?:\|([^][|]*))?\]")
LEAST_MM2 = 0.01  # less cannot be measured
Words = str | Callable[["Telling"], str]
"""A sentence with the fact's values in braces, or a function that makes one."""
Catalogue = Mapping[Enum, Words]
WORDS = "areacalc.report.words"


def sentences(*kinds: type[Enum]) -> Catalogue:
    """The sentences of data/sentences.csv that tell these kinds of facts; those that depend on values are functions.

    >>> from areacalc.plan.fault import Idle
    >>> sentences(Idle)[Idle.NO_SEAL]
    'Not used: {keys}. The coating is left unsealed; give {key:finish.seal} to seal it.'
    """
    return {kind: row["words"] for kind, row in by_kind("sentences", WORDS, kinds).items()}


@dataclass(frozen=True, slots=True)
class Telling:
    """A fact that is being told, in metric or (inch) US units. Call it with a sentence to fill the values in.

    A quantity stands in braces with how to write it: `{film}` its value, `{film:low}` and `{film:high}` its ends,
    `{film:range}` from least to most, `{film:bounds}` the value with both. `about` gives them as a jug shows; `number`
    and `percent` leave the unit out.
    `size` gives a length as it is turned, `build` as it is sawn, `small` an area in mm2. `metric` is for what is sold by
    metric sizes everywhere. A count takes its noun: `{count:strip}`. Of a source only its kind is told; `{source:whole}` tells all.
    `{key:bath.agitation}` names a key of the load.
    `[ramp|over {ramp}]` is said only where the fact has a ramp, `[shade|{shade}|no]` with what is said where it has none.
    """

    fact: Fact
    inch: bool = False

    def __call__(self, sentence: str) -> str:
        while (chosen := _CLAUSE.sub(self._clause, sentence)) != sentence:  # the innermost first
            sentence = chosen
        return sentence.format_map({"key": Keys(), **{name: self._written(value) for name, value in self.fact.values}})

    def _clause(self, found: re.Match[str]) -> str:
        return (found[2] if found[1] in self.fact and self.fact[found[1]] else found[3]) or ""

    def tell(self, words: Words) -> str:
        """The sentence that words make of this fact."""
        return self(words) if isinstance(words, str) else words(self)

    def __contains__(self, name: str) -> bool:
        return name in self.fact

    def quantity(self, name: str) -> Estimate:
        """A quantity's estimate in its canonical unit, to choose words by."""
        value = self.fact[name]
        assert isinstance(value, Quantity)
        return value.estimate

    def figures(self, name: str, figures: int) -> str:
        """A quantity's value and unit, to so many figures."""
        value = self.fact[name]
        assert isinstance(value, Quantity)
        e, unit = in_shown_unit(value.estimate, value.unit, self.inch)
        return f"{rounded(e.value, figures)} {unit}".strip()

    def count(self, name: str) -> int:
        """A count, to choose words by."""
        value = self.fact[name]
        assert isinstance(value, int)
        return value

    def _written(self, value: Value) -> object:
        return value if isinstance(value, str) else _Told(value, self.inch)


@dataclass(frozen=True, slots=True)
class _Told:
    """A value in a sentence, which says behind a colon how it is written."""

    value: Value
    inch: bool

    def __format__(self, how: str) -> str:
        match self.value:
            case Quantity() as quantity:
                return _quantity(quantity, how, self.inch)
            case Source() as source:
                return str(source) if how == "whole" else source.kind.value
            case Enum() as kind:
                return str(kind.value)
            case int() as count:
                return counted(count, how) if how else str(count)
            case tuple() as names if all(isinstance(each, str) for each in names):
                return joined([str(each) for each in names])
            case tuple() as sides:
                return _box(sides, how, self.inch)
        return str(self.value)


def _box(box: tuple[object, ...], how: str, inch: bool) -> str:
    """The sides of a box with their unit at the end; a side may be '13 1/2 in', or '?' alone."""
    sides = [(_quantity(each, how, inch) if isinstance(each, Quantity) else "?").rpartition(" ") for each in box]
    unit = next((unit for side, _, unit in sides if side), "")
    return f"{' x '.join(side or other for side, _, other in sides)} {unit}".strip()


def _quantity(told: Quantity, how: str, inch: bool) -> str:
    e, unit = in_shown_unit(told.estimate, told.unit, inch)
    if how in ("", "small") and told.unit == "mm2" and 0.0 < told.estimate.value < LEAST_MM2:
        return f"less than 0.0001 {written('in2')}" if inch else f"less than 0.01 {written('mm2')}"
    if how == "size":
        return _size(e, told.unit, unit)
    if how == "build":
        return f"{built(e.value, unit == 'in')} {unit}"
    if how in ("small", "metric"):
        return shown_small(told, inch and how == "small")
    if how == "percent":
        e, unit = e.scaled(100.0), "%"
    low, value, high = (number(x, unit) for x in (e.low, e.value, e.high))
    if how == "about":
        low, value, high = (rounded(x, 1 if x < e.value else 2) for x in (e.low, e.value, e.high))
    unit = f" {unit}" if unit else ""
    range_ = f"{low} to {high}" if low != high else low
    bounds = f"{value}{unit} ({range_})" if low != high else f"{value}{unit}"
    return {
        "": f"{value}{unit}", "low": f"{low}{unit}", "high": f"{high}{unit}", "range": f"{range_}{unit}",
        "number": value, "bounds": bounds, "percent": bounds, "about": bounds,
    }[how]  # fmt: skip


def _size(e: Estimate, unit: str, shown: str) -> str:
    """A length as it is turned: to a thousandth of a millimetre, or a ten-thousandth of an inch, with both ends."""
    places = 4 if shown != unit else 3
    low, value, high = (f"{x:.{places}f}" for x in (e.low, e.value, e.high))
    return f"{value} {shown}" + (f" ({low} to {high})" if low != high else "")


def shown_small(quantity: Quantity, inch: bool) -> str:
    """A quantity in its canonical unit, or in US units: by options an area stays in mm2, in a load or the page cm2."""
    if inch or not typed_at("options"):
        return shown(quantity.estimate.value, quantity.unit, inch)
    return f"{number(quantity.estimate.value, quantity.unit)} {quantity.unit}"


def joined(words: list[str]) -> str:
    """Words in a row, with an `and` before the last."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def built(value: float, inch: bool = False) -> str:
    """A length as it is sawn: four figures, under 1 mm three.

    Inches in whole 64ths are a fraction; others are decimals under 1 in, and from there the nearest 16th.

    >>> built(1234.0), built(0.11811), built(2.375, inch=True), built(19.21, inch=True)
    ('1234', '0.118', '2 3/8', '19 3/16')
    """
    even = abs(64.0 * value - round(64.0 * value)) < 1e-6
    if inch and (even or value >= 1.0):
        whole, rest = divmod(Fraction(round(64.0 * value), 64) if even else Fraction(round(16.0 * value), 16), 1)
        return " ".join(str(each) for each in (whole, rest) if each)
    return rounded(value, 4 if value >= 1.0 else 3)
