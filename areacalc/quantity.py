"""Units at the door: people's text to one canonical float a dimension, and back.

Inside, every float is in the canonical unit of its dimension and its name says so. The arithmetic of units is pint's,
with a short list of definitions of our own, `units.txt`: its full list takes longer to load than a whole small job may.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from importlib.resources import files
from numbers import Integral
from typing import TYPE_CHECKING, TypeVar

from areacalc.errors import BadInput, Field

if TYPE_CHECKING:
    import pint

T = TypeVar("T")


class Dimension(StrEnum):
    """What a number measures; the value is the canonical unit."""

    LENGTH = "mm"
    AREA = "mm**2"
    BATH_VOLUME = "L"
    CURRENT = "A"
    VOLTAGE = "V"
    RESISTANCE = "ohm"
    TIME = "s"
    CURRENT_DENSITY = "A/dm**2"
    FILM = "um"
    CONCENTRATION = "g/L"
    TEMPERATURE = "degC"
    TEMPERATURE_DIFFERENCE = "K"
    POWER = "W"
    MASS = "g"
    ANGLE = "deg"
    FRACTION = ""


LARGEST: dict[Dimension, tuple[float, str]] = {
    Dimension.LENGTH: (1e6, "1 km"),
    Dimension.AREA: (1e10, "10000 m2"),
    Dimension.BATH_VOLUME: (1e9, "1000000 m3"),
    Dimension.CURRENT: (1e6, "1000000 A"),
    Dimension.VOLTAGE: (1e3, "1000 V"),
    Dimension.RESISTANCE: (1e6, "1000000 ohm"),
    Dimension.TIME: (3.6e6, "1000 h"),
    Dimension.CURRENT_DENSITY: (1e4, "10000 A/dm2"),
    Dimension.FILM: (1e3, "1 mm"),
    Dimension.CONCENTRATION: (1e4, "10 kg/L"),
    Dimension.TEMPERATURE: (2000.0, "2000 C"),
    Dimension.TEMPERATURE_DIFFERENCE: (1000.0, "1000 K"),
    Dimension.POWER: (1e8, "100000 kW"),
    Dimension.MASS: (1e6, "1000 kg"),
    Dimension.ANGLE: (360.0, "360 deg"),
    Dimension.FRACTION: (1e6, "1000000"),
}
"""The largest of each kind that is taken, chosen far beyond any tank: more is a slip of the hand or the unit."""
MOST_COUNT = 10_000
"""The most parts, strips or wires that are taken, chosen likewise."""
ABSOLUTE_ZERO_C = -273.15
_NOTHING = 1e-12  # in the canonical unit; what is nearer to zero is zero
_MOST_LETTERS = 100
_NUMBER = re.compile(
    r"^\s*(?P<sign>[+-]?)\s*(?:(?P<whole>\d+)(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?![\d.])"
    r"|^\s*(?P<plain>[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)"
)
_POWER = r"(?:\*\*-?[1-9])?"
_UNIT = re.compile(rf"[^\W\d]+{_POWER}(?:\s*[*/]\s*[^\W\d]+{_POWER})*")  # no sums and no towers of powers
_MINUS = str.maketrans("\u2212\u2013", "--")
_HALVES = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_THOUSAND_OR_DECIMAL = re.compile(r"^\s*[+-]?[1-9]\d{0,2},\d{3}(?![\d.,])")
_WORDS = [
    (re.compile(r"\b(?:asf|ASF)\b"), "A/ft**2"),
    (re.compile(r"\b(?:asd|ASD)\b"), "A/dm**2"),
    (re.compile(r"\s*\bper\b\s*"), "/"),
    (re.compile(r"\b(?:UK|imp|imperial)\.?\s+gal(?:lon)?s?\b", re.I), "imperial_gallon"),
    (re.compile(r"\bsq(?:uare)?\.?\s+([A-Za-z]+)"), r"\1**2"),
    (re.compile(r"\bcu(?:bic)?\.?\s+([A-Za-z]+)"), r"\1**3"),
    (re.compile(r"\bfl\.? oz\b"), "floz"),
    (re.compile(r"\binches\b"), "inch"),
    (re.compile(r"\bfeet\b"), "foot"),
    (re.compile(r"\b(minute|hour|second|amp|volt|gallon|litre|liter|metre|meter|gram|pound|quart|mil)s\b"), r"\1"),
    (re.compile(r"\bmins\b"), "min"),
    (re.compile(r"\bUS\s+(?=gal)"), ""),
    (re.compile(r"Ohms?\b"), "ohm"),
    (re.compile(r"\bmicrons?\b"), "um"),
    (re.compile(r"\bAh\b"), "A*h"),
    (re.compile(r"\bsq(in|ft|cm|mm|m)\b"), r"\1**2"),
    (re.compile(r"[\"″]|''"), " in"),
    (re.compile(r"[′']"), " ft"),
    (re.compile("²"), "**2"),
    (re.compile("³"), "**3"),
    (re.compile(r"\^"), "**"),
    (re.compile(r"(?<=[A-Za-z])([23])\b"), r"**\1"),
    (re.compile("·"), "*"),
    (re.compile(r"°\s*(?=[CF])|\bdeg(?:rees?)?\s*(?=[CF]\b)"), "deg"),
    (re.compile("°"), "deg"),
    (re.compile("%"), "percent"),
    (re.compile(r"(?<=[A-Za-z\d])\s+(?=[A-Za-z])"), "*"),
]


@dataclass(frozen=True, slots=True)
class Unit:
    """A length unit a mesh file can be in, its size in mm, and whether the person has checked it (see said_checked)."""

    name: str
    mm: float
    checked: bool = False


LENGTH_UNITS = {u.name: u for u in (
    Unit("mm", 1.0), Unit("cm", 10.0), Unit("m", 1000.0), Unit("in", 25.4), Unit("ft", 304.8), Unit("um", 0.001),
)}  # fmt: skip
_SPOKEN = {
    "millimeter": "mm", "millimetre": "mm", "centimeter": "cm", "centimetre": "cm", "meter": "m", "metre": "m",
    "inch": "in", "inche": "in", '"': "in", "foot": "ft", "feet": "ft", "micron": "um", "µm": "um", "μm": "um",
    "micrometer": "um", "micrometre": "um",
}  # fmt: skip


def said_checked(words: str) -> tuple[str, bool]:
    """What a person says, and whether they have checked it: then it is taken, however odd it looks.

    >>> said_checked("9 m2, checked"), said_checked("in")
    (('9 m2', True), ('in', False))
    """
    bare = re.sub(r"\s*,\s*checked\s*$", "", words, flags=re.I)
    return bare, bare != words


def unlikely(
    where: str, said: str, what: str, kind: Dimension, units: Sequence[str], within: tuple[float, float]
) -> BadInput:
    """The refusal of a quantity that cannot be, with those units in which its last number lies within what can.

    >>> unlikely("area", "9 m2", "is too much", Dimension.AREA, ["in2", "ft2"], (18.0, 5e5)).remedy
    "perhaps 9 in2 is meant; if it is right, write '9 m2, checked'"
    """
    number = number_and_unit(said.split(" to ")[-1])[0]
    meant = [one for unit in units if within[0] <= parse(one := f"{number} {unit}", kind) <= within[1]]
    perhaps = f"perhaps {' or '.join(meant)} is meant; " if meant else ""
    return BadInput(where, f"'{said}' {what}", f"{perhaps}if it is right, write '{said}, checked'")


def length_unit(text: str, where: str = Field.UNIT) -> Unit:
    """The length unit named, checked or not. Raises BadInput with the units that exist."""
    words, checked = said_checked(text)
    word = words.strip().lower()
    name = _SPOKEN.get(word.rstrip("s") if len(word) > 2 else word, word)
    if name not in LENGTH_UNITS:
        raise BadInput(where, f"'{text}' is not a length unit", f"use one of {', '.join(LENGTH_UNITS)}")
    return replace(LENGTH_UNITS[name], checked=checked)


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    registry.load_definitions((files("areacalc") / "units.txt").read_text("utf-8").splitlines())
    return registry


def _split(text: str) -> tuple[float, str] | None:
    """The leading number (1/2, 1½, 12,5, 1e-3) and the rest, or None where there is no number."""
    text = text.strip()
    if text[:1] in "\u2212\u2013":
        text = text.translate(_MINUS)
    for sign, words in _HALVES.items():
        text = text.replace(sign, f" {words}", 1)
    found = _NUMBER.match(text)
    if not found:
        return None
    if found["plain"] is not None:
        number = float(found["plain"].replace(",", "."))
    elif int(found["bottom"]) == 0:
        return None
    else:
        number = float(int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"])))
        number = -number if found["sign"] == "-" else number
    return number, text[found.end() :].strip()


def number_and_unit(text: str) -> tuple[str, str]:
    """The number and the unit of a quantity, each as it was written; no number: "" and the text.

    >>> number_and_unit("12 1/2 in")
    ('12 1/2', 'in')
    """
    found = _NUMBER.match(text.strip().translate(_MINUS))
    if not found:
        return "", text.strip()
    return text.strip()[: found.end()].strip(), text.strip()[found.end() :].strip()


def _spelled(unit: str) -> str:
    for pattern, word in _WORDS:
        unit = pattern.sub(word, unit)
    return unit.strip().strip("*")


def parse(text: str | float, dimension: Dimension, where: str = "value", default_unit: str | None = None) -> float:
    """People's text as a float in the dimension's canonical unit.

    A bare number takes `default_unit`; without one it is refused, since a unit is never guessed.
    Raises BadInput: no number, an unknown unit, a unit of another dimension, more than the LARGEST of its kind.

    >>> round(parse("6.2 in2", Dimension.AREA), 6)
    3999.992
    >>> round(parse("1 1/2 in", Dimension.LENGTH), 9)
    38.1
    >>> round(parse("68 F", Dimension.TEMPERATURE), 6)
    20.0
    >>> round(parse("0.16 A/in2", Dimension.CURRENT_DENSITY), 6)
    2.480005
    """
    given = text if isinstance(text, str) else f"{text}"
    example = f"write it like '10 {shown_unit(dimension)}'" if dimension.value else "write a number such as 0.5 or 50%"
    if len(given) > _MOST_LETTERS:
        raise BadInput(where, f"'{given[:30]}...' is too long for a quantity", example)
    parts = _split(given)
    if parts is None:
        raise BadInput(where, f"'{given}' does not start with a number", example)
    if _THOUSAND_OR_DECIMAL.match(given):
        raise BadInput(where, f"'{given}' has a comma that may be a decimal one or one of thousands",
                       "write it with a point or without the comma")  # fmt: skip
    number, unit = parts
    unit = _spelled(unit) or (_spelled(default_unit) if default_unit is not None else "")
    if not unit and dimension is not Dimension.FRACTION:
        raise BadInput(where, f"'{given}' has no unit", example)
    value = _converted(number, unit, dimension, given, where, example)
    return _possible(value, dimension, given, where)


def _possible(value: float, dimension: Dimension, given: str, where: str) -> float:
    """The value, if a tank could have it. Raises BadInput."""
    largest, words = LARGEST[dimension]
    if not abs(value) <= largest:
        raise BadInput(where, f"'{given}' is more than the largest {_words(dimension)} taken, {words}",
                       "check the number and its unit")  # fmt: skip
    if dimension is Dimension.TEMPERATURE and value < ABSOLUTE_ZERO_C:
        raise BadInput(where, f"'{given}' is colder than absolute zero, {ABSOLUTE_ZERO_C:g} C", "check the number")
    return value if abs(value) >= _NOTHING else 0.0


def _converted(number: float, unit: str, dimension: Dimension, given: str, where: str, example: str) -> float:
    import tokenize

    import pint

    if unit and (len(unit) > 40 or not _UNIT.fullmatch(unit)):
        raise BadInput(where, f"'{_shown(unit)}' in '{given}' is not a unit that is known", example)
    registry = _registry()
    try:
        quantity = registry.Quantity(number, registry.parse_units(unit))
        # a temperature difference is not shifted by the zero of its scale
        if dimension is Dimension.TEMPERATURE_DIFFERENCE:
            quantity.to(registry.kelvin)  # refuses what is no temperature
            return float(number * (5 / 9 if "F" in unit or "ahr" in unit else 1.0))
        value = float(quantity.to(registry.parse_units(dimension.value)).magnitude)
        return round(value, 9) if dimension is Dimension.TEMPERATURE else value  # 32 F is 0 C, not 6e-14
    except pint.DimensionalityError:
        square = dimension is Dimension.AREA and quantity.check("[length]")
        remedy = f"write it like '{number:g} {quantity.units:~}2'" if square else example
        noun = _words(dimension)
        raise BadInput(where, f"'{given}' is not {'an' if noun[0] in 'aeiou' else 'a'} {noun}", remedy) from None
    except (pint.PintError, ValueError, TypeError, AttributeError, tokenize.TokenError, SyntaxError, AssertionError):
        raise BadInput(where, f"'{_shown(unit)}' in '{given}' is not a unit that is known", example) from None


def shown_unit(dimension: Dimension) -> str:
    """The canonical unit as a person writes it; a thermometer shows no K."""
    return _shown(dimension.value).replace("degC", "C").replace("K", "C")


def _shown(unit: str) -> str:
    """A unit as it was spelled for the arithmetic, in a message."""
    return unit.replace("**", "").replace("*", " ")


def _words(dimension: Dimension) -> str:
    return "coating" if dimension is Dimension.FILM else dimension.name.lower().replace("_", " ")


def counts_of(count: int | Iterable[int], kinds: int, where: str = "count") -> list[int]:
    """One number a kind of part, from one for all or one for each. Raises BadInput.

    >>> counts_of(6, 2), counts_of([1, 4], 2)
    ([6, 6], [1, 4])
    """
    given = list(count) if isinstance(count, Iterable) and not isinstance(count, str) else [count]
    for number in given:
        if isinstance(number, bool) or not isinstance(number, Integral) or number < 1:
            raise BadInput(where, f"{number!r} is not a whole number from 1", "give how many hang")
        if number > MOST_COUNT:
            raise BadInput(where, f"{number} is more than {MOST_COUNT}, the most that is taken", "give how many hang")
    return for_each(given, kinds, where)


def for_each(given: list[T], files: int, where: str) -> list[T]:
    """What was given once for all files, or once a file. Raises BadInput."""
    if len(given) not in (1, files):
        times = f"is given {len(given)} times for {files} file{'s' * (files > 1)}"
        raise BadInput(where, times, "give it once, or once a file")
    return given * files if len(given) == 1 else given
