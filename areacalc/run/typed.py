"""What a person types at the tank, or a meter sends: volts, amperes and bath on one line, or a word."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from areacalc.bath.electrolyte import BATH_TEMPERATURE
from areacalc.errors import BadInput, OutOfRange


class Word(StrEnum):
    """A word that is typed instead of a reading."""

    NEXT = "next"
    UNDO = "undo"
    ON = "on"
    END = "end"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True)
class Typed:
    """One line: a word, or what the meters show with a remark; at_s where the line says when [s into the run].

    at_date is the date and time that a meter's log puts before a line, as ISO 8601.
    """

    word: Word | None = None
    at_s: float | None = None
    volts_v: float | None = None
    current_a: float | None = None
    temperature_c: float | None = None
    remark: str = ""
    at_date: str | None = None

    def meant(self, asked: Typed | None) -> tuple[Typed, bool]:
        """The line, and whether it says once more what was asked about: the same word, or much the same meters.

        A word said once more is of the time when it was said first.
        """
        if asked is None or asked.word is not self.word:
            return self, False
        if self.word is not None:
            return replace(self, at_s=asked.at_s if self.at_s is None else self.at_s), True
        meters = [(getattr(asked, name), getattr(self, name), near) for name, near in _SAME.items()]
        same = [now is not None and abs(was - now) <= max(near, _SAME_SHARE * was)
                for was, now, near in meters if was is not None]  # fmt: skip
        return self, bool(same) and all(same)


_WORDS = {**Word.__members__, "OFF": Word.NEXT}
_NOTE = re.compile(r"(?:^|\s)note\s+(\S.*)", re.I | re.S)
_DATE = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d([.]\d+)?)?(Z|[+-]\d\d:\d\d)?(?=[ ,;\t])")
_CLOCK = re.compile(r"(\d{1,4}):([0-5]\d)")
_NUMBER = re.compile(r"([+-]?(?:\d{1,15}(?:[.,]\d+)?|[.,]\d+)(?:e[+-]?\d{1,2})?)\s*(m?[VA]|°?[CF]|)", re.I)
_COMMAS_ONLY = re.compile(r"\d+(?:,\d+)+")
_MOST_SHOWN = 60
_SAME = {"volts_v": 0.5, "current_a": 0.05, "temperature_c": 1.0}  # chosen: what meters wander between two readings
_SAME_SHARE = 0.1


class NoReading(BadInput):
    """A line that is neither a reading nor a word; the remedy tells how a line is typed."""


_REMEDY = (
    "type volts, amperes and bath, such as 17.2 3 {bath}, or one of them, such as 17.2 V; or next (step done), on (the "
    "current is still on), undo, note ..., leave (go on later), end (run over)"
)


def typed(line: str, fahrenheit: bool = False) -> Typed:
    """What one line says. Raises BadInput.

    Numbers without units are volts, amperes and the bath in C (or F). Minutes and seconds into the run, such as
    12:30, may stand before a reading or a word; so may the date and time of a meter's log. A note may end a reading.

    >>> typed("17.2 3 20.5")
    Typed(word=None, at_s=None, volts_v=17.2, current_a=3.0, temperature_c=20.5, remark='', at_date=None)
    >>> typed("12:30  68 F").temperature_c, typed("12:30 68 F").at_s, typed("17.2,3.01").current_a
    (20.0, 750.0, 3.01)
    >>> typed("17.2 3 68", fahrenheit=True).temperature_c
    20.0
    >>> typed("+1.72E+01, 3000 mA").volts_v, typed("+1.72E+01, 3000 mA").current_a
    (17.2, 3.0)
    """
    bath = "69" if fahrenheit else "20.5"
    text = line.strip().replace("\u2212", "-")
    if date := _DATE.match(text):
        return replace(typed(text[date.end() :].lstrip(" ,;\t"), fahrenheit), at_date=date[0])
    at_s = None
    if stamp := _CLOCK.match(text):
        at_s = 60.0 * int(stamp[1]) + int(stamp[2])
        text = text[stamp.end() :].lstrip(" ,;\t")
    note = _NOTE.search(text)
    text, remark = (text[: note.start()], note[1]) if note else (text, "")
    if remark and not text:
        return Typed(at_s=at_s, remark=remark)
    if text.upper() in _WORDS and not remark:
        return Typed(_WORDS[text.upper()], at_s)
    if _COMMAS_ONLY.fullmatch(text):
        raise NoReading("the line", f"the commas in '{text[:_MOST_SHOWN]}' may part numbers, or stand before decimals",
                       f"put a space between the meters: 17,2 3 {bath.replace('.', ',')}")  # fmt: skip
    found, shown = _numbers(text), "".join(c if c.isprintable() else "?" for c in line.strip()[:_MOST_SHOWN])
    if not found or (len(found) == 1 and not found[0][1]):
        raise NoReading("the line", f"'{shown}' is not a reading", _REMEDY.format(bath=bath))
    values: dict[str, float] = {}
    for (value, unit), name in zip(found, ("volts_v", "current_a", "temperature_c"), strict=False):
        key = {"v": "volts_v", "a": "current_a", "c": "temperature_c", "f": "temperature_c"}.get(unit, name)
        if key in values:
            raise NoReading("the line", f"'{shown}' has the same meter twice", _REMEDY.format(bath=bath))
        is_f = unit == "f" or (fahrenheit and not unit and key == "temperature_c")
        values[key] = (value - 32.0) / 1.8 if is_f else value
        if is_f and not BATH_TEMPERATURE.low <= values[key] <= BATH_TEMPERATURE.high:
            low, high = (f"{1.8 * end + 32.0:g}" for end in (BATH_TEMPERATURE.low, BATH_TEMPERATURE.high))
            raise OutOfRange("the line", f"{value:g} F is outside {low} to {high} F", "give a value inside")
    return Typed(None, at_s, values.get("volts_v"), values.get("current_a"), values.get("temperature_c"), remark)


def _numbers(text: str) -> list[tuple[float, str]]:
    """Up to three numbers with their units in small letters; none where anything else stands in the text.

    Commas part numbers where nothing else does; else they stand before decimals.
    """
    if not re.search(r"[;\s]", text) and text.count(",") >= 1:
        text = text.replace(",", " ")
    pieces = [bare for piece in re.findall(r"[^;\s]+(?:\s+(?:m?[VA]|°?[CF])\b)?", text, re.I)
              if (bare := piece.strip(" ,;"))]  # fmt: skip
    matched = [_NUMBER.fullmatch(piece) for piece in pieces]
    if len(matched) > 3 or any(each is None for each in matched):
        return []
    read = [(float(each[1].replace(",", ".")), each[2].lower().strip("°")) for each in matched if each is not None]
    return [(value * 1e-3, unit[1:]) if unit in ("mv", "ma") else (value, unit) for value, unit in read]
