"""The one family of errors: where, what, remedy, and the exit code that the command line ends with."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import ClassVar, TypeVar

T = TypeVar("T")


class Field(StrEnum):
    """What a person fills in; each front end calls it as it was typed there: an option, a key, a label."""

    PLUG = "plug"
    MASK = "mask"
    WET_ONLY = "wet_only"
    CONTACT = "contact"
    ADD = "add"
    FILL = "fill"
    UNIT = "unit"
    UP = "up"
    LIQUID_LINE = "liquid_line"
    RATIO = "ratio"
    FACES = "faces"
    STRIP = "strip"
    DEPTH = "depth"
    LARGEST = "largest"
    RAMP = "ramp"
    SWEEP = "sweep"
    WHAT_IF = "what_if"
    STOCK = "from"
    TABLE = "out"
    CLUSTER = "cluster"
    BOTTLE_DENSITY = "bottle_density"


_LIKE = 0.45  # chosen: of the letters in common; less is no likeness
_LISTED, _NEAREST = 40, 6  # names: so many are listed all, of more the nearest
_OF_THE_PLACE = re.compile(r"(is|was|has|holds|cannot|needs|gives|says|stands|must|may|does|lies|would)\b")
_LONGEST = 400  # letters of what is wrong, in which a person's own words are quoted


class AreacalcError(Exception):
    """Anything areacalc refuses; `str()` is the one line a person sees. `where` is a place in words, or a Field.

    >>> str(BadInput("pen.stl, triangle 7", "a corner is not a number", "export the part again"))
    'pen.stl, triangle 7: a corner is not a number; export the part again'
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, where: str, what: str, remedy: str) -> None:
        super().__init__(where, what, remedy)  # kept whole, so that it survives pickling to and from a child process
        self.where = where
        self.what = what
        self.remedy = remedy

    def __str__(self) -> str:
        return " ".join(f"{said_of(self.where, shortened(self.what))}; {self.remedy}".split())


def said_of(where: str, what: str) -> str:
    """What is wrong, after its place; where that is only a verb, the place is what it is said of.

    >>> said_of("pen.toml", "is a load file"), said_of("--volume", "'10' has no unit")
    ('pen.toml is a load file', "--volume: '10' has no unit")
    """
    return f"{where}{'' if _OF_THE_PLACE.match(what) else ':'} {what}"


def shortened(what: str) -> str:
    """What is wrong, its middle left out where it quotes too much."""
    return what if len(what) <= _LONGEST else f"{what[: _LONGEST // 2]} ... {what[-_LONGEST // 2 :]}"


class BadInput(AreacalcError, ValueError):
    """What the person gave cannot be used: a file, a number, a name."""


class Taken(BadInput):
    """A file already exists, and nobody said that it may be replaced."""


class Passing(BadInput):
    """What may go well another time: the machine was short of memory or time, or a disk did not answer."""


class OutOfRange(BadInput):
    """A value outside the range a source covers."""


class UnknownName(BadInput, KeyError):
    """An unknown name; the message gives the nearest, and the rest where they are few."""

    __str__ = AreacalcError.__str__

    @classmethod
    def among(cls, where: str, given: str, known: Iterable[str], meant: str = "") -> UnknownName:
        """The error for `given`, listing what exists; `meant` is the name that people take it for.

        >>> str(UnknownName.among(Field.PLUG, "bor-1", ["outside", "bore-1"]))
        "plug: 'bor-1' is not known (did you mean 'bore-1'?); choose from outside, bore-1"
        """
        names = list(known)
        near = [meant] if meant in names else difflib.get_close_matches(given, names, n=1)
        hint = f" (did you mean '{near[0]}'?)" if near else ""
        what = f"'{given}' is not known{hint}"
        if len(names) > _LISTED:
            nearest = [f"`{name}`" for name in difflib.get_close_matches(given, names, n=_NEAREST, cutoff=_LIKE)]
            many = (
                f"the nearest of {len(names)} names {'is' if len(nearest) == 1 else 'are'} {', '.join(nearest)}"
                if nearest
                else f"none of the {len(names)} names is like it"
            )
            return cls(where, what, many)
        return cls(where, what, f"choose from {', '.join(names)}" if names else "nothing is kept by a name yet")

    @classmethod
    def pick(cls, where: str, given: str, known: Mapping[str, T]) -> T:
        """The one of that name. Raises UnknownName with what exists."""
        if given not in known:
            raise cls.among(where, given, known)
        return known[given]


class CannotRun(AreacalcError):
    """A plan that is well written but cannot be run as asked."""

    exit_code: ClassVar[int] = 3
