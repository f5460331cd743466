"""Words that people type: seeds for each kind, and what must hold of whatever is made of them.

An answer, or one clear line; for a load file, a line for each mistake. Anything else raises.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any

import areacalc
from areacalc.bath.strength import acid_in_words, stock_in_words
from areacalc.bath.window import window
from areacalc.errors import AreacalcError
from areacalc.load.changes import changed, sweep
from areacalc.load.read_load import BadLoad, load_of
from areacalc.plant.cathode import ratio
from areacalc.quantity import Dimension, length_unit, parse
from areacalc.run.typed import typed
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.air.direction import direction
from areacalc.surface.air.liquid_line import line

SAMPLES = Path(__file__).parents[2] / "sample_models"
LOAD = (SAMPLES / "desk-set.toml").read_text("utf-8")
DATA = tomllib.loads(LOAD)
ODD = ["", " ", ",", ";", ".", "-", "+", "/", "0", "-1", "1e400", "nan", "inf", "9" * 40, "9" * 5000, "\n", "\x00",
       "\t", "=", "#", "[", "]", "{", "}", '"', "'", "\\", "×", "²", "µ", "°", "½", "٣", "\u202e", "\ud800", "mm", "in",
       " to ", " and ", " x ", "**", "()", "%", "to the power of", "_", "__class__", "1" + "0" * 400,
       "1/0", "0/0", "1//2"]  # fmt: skip
_READ_AS = list(product(Dimension, (None, "mm", "C", "furlong")))
_CHOSEN = ("plug", "mask", "wet_only", "contact", "add")


@dataclass(frozen=True)
class Words:
    """One kind of words: what is changed, what must hold of it, and how often a short run tries."""

    seeds: Sequence[str]
    holds: Callable[[str], None]
    times: int = 300


def outcome(call: Callable[..., Any], *words: Any) -> Any:
    """What the call answers; None where it refuses in as many lines as there are mistakes."""
    try:
        return call(*words)
    except BadLoad as trouble:
        lines = str(trouble).split("\n")
        count = len(trouble.mistakes)
    except AreacalcError as trouble:
        lines, count = str(trouble).split("\n"), 1
    assert len(lines) == count
    assert max(map(len, lines)) < 2000
    return None


def _by_letter(ways: Sequence[Any], words: str) -> tuple[Any, str]:
    """One of the ways, by the first letter, and the rest of the words."""
    return ways[ord(words[:1] or "0") % len(ways)], words[1:]


def _lettered(seeds: Sequence[str]) -> list[str]:
    return [f"{number % 10}{seed}" for number, seed in enumerate(seeds)]


def _sketch(words: str) -> None:
    profile = outcome(profile_of, words)
    if profile is not None and profile.area_mm2.value < 1e5:
        outcome(lambda: revolve(profile, 0.5).facet_area_mm2)


def _quantity(words: str) -> None:
    (dimension, unit), rest = _by_letter(_READ_AS, words)
    value = outcome(parse, rest, dimension, "value", unit)
    assert value is None or abs(value) < float("inf")
    for read in (length_unit, acid_in_words, stock_in_words, window, ratio, line):
        outcome(read, rest)


@functools.cache
def _knob() -> Any:
    return areacalc.open(SAMPLES / "lamp-knob.toml")


def _choice(words: str) -> None:
    kind, rest = _by_letter(_CHOSEN, words)
    found = outcome(lambda: _knob().with_choices(**{kind: rest}).wetted())
    assert found is None or 0.0 <= found.value.low <= found.value.high < 1e7


def _way(words: str) -> None:
    outcome(direction, words, _knob().skin)
    outcome(line, words)


def _load(text: str) -> None:
    outcome(load_of, text, "load.toml", str(SAMPLES))


def _change(words: str) -> None:
    outcome(changed, DATA, words)
    outcome(sweep, DATA, words)


def _meter(words: str) -> None:
    read = outcome(typed, words)
    if read is not None:
        figures = (read.at_s, read.volts_v, read.current_a, read.temperature_c)
        assert all(each is None or abs(each) < float("inf") for each in figures)


WORDS = {
    "sketch": Words(
        ["0 12, 100 12, 110 8; bore left 8 x 90 drill 118; unit mm", "0 10, 10 10 thread M10x1, 10 12, 110 12 r1",
         "0 1/2in c1, 3in 1/2in arc r20; bore through 3 x 20 chamfer 0.5 thread M6; unit in",
         "0 20 knurl 0.8, 30 20, 30 12 arc r3 in long; bore right 5 x 10 flat, 3 x 20"], _sketch),
    "quantity": Words(_lettered(
        ["18 C", "9 in2", "12 to 15 A/ft2", "1/2 in", "1 1/4 in", "5,5 mm", "175 g/L", "1.5 A/dm2", "64 F",
         "3 h 20 min", "1e3 mm", "-4 C", "0.35 um", "10 gal", "1.835 kg/L", "15 %", "50 %"]), _quantity, 1000),
    "choice": Words(_lettered(
        ["bore-1", "bores under 5 mm", "bores over 1/4 in", "colour #c03020", "x from 10 to 25 mm", "z below 2 mm",
         "blind-bore-1 5 mm deep from mouth 2", "2 x 3 mm on outside", "6 mm2 at 1,2,3 mm", "blind-bore-1 thread M6",
         "outside knurl 0.8 mm", "outside texture 1.3", "outside and z above 3 mm and not bore-1", "face 4",
         "box from 0,0,0 to 5,5,5 mm", "plane at 0,0,5 mm facing 0,0,1", "outside thread 3/8-16"]), _choice, 150),
    "way": Words(
        ["x+", "0,0,1", "blind-bore-1", "blind-bore-1 down", "blind-bore-1 tilted 84", "-1, 2.5, 0", "40 mm",
         "5 mm below the top", "1/2 in above the bottom"], _way),
    "load": Words([LOAD], _load, 60),
    "change": Words(
        ["pen body.count = 2", "temperature = 18 C", "density = 1.2 to 1.8 A/dm2", "supply.current = 6 A",
         "rack.wire_surface = bare", "temperature = 16 C to 22 C in 4", "count = 1 to 6 in 6"], _change),
    "meter": Words(
        ["17.2 3 20.5", "17,2 3,0", "12:30 68 F", "3 A 17.2 V", "17.2;3.01", "note a bubble", "next"], _meter),
}  # fmt: skip
