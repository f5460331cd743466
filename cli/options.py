"""The options that several commands share."""

from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer
from typer import Argument, Option

from areacalc.errors import BadInput
from areacalc.quantity import Dimension, counts_of, parse
from areacalc.surface.area_in_words import area_in_words


class Show(StrEnum):
    """The units that tables are in."""

    MM = "mm"
    IN = "in"


FilesOrFolders = Annotated[
    list[str],
    Argument(metavar="FILE", help="Part files, patterns such as 'parts/**/*.step', or folders: STL, STEP, "
             "3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF."),
]  # fmt: skip
MaybeFiles = Annotated[list[str] | None, Argument(metavar="FILE", help="Part files, as for `area`.")]
UnitOption = Annotated[
    list[str] | None,
    Option("--unit", "-u", metavar="mm|cm|m|in|ft|um", help="Unit of the file's numbers; of several files, one for all "
           "or one for each in order. Say it twice to insist, if areacalc doubts the size."),
]  # fmt: skip
Count = Annotated[
    list[int] | None,
    Option("--count", "-n", min=1, help="How many of each part: one number for all, or one for each file."),
]
LoadFile = Annotated[Path, Argument(metavar="LOAD", help="A load file; `areacalc init` writes a new one.")]
Accuracy = Annotated[
    float | None,
    Option("--accuracy", metavar="DEGREES", min=0.0, max=45.0,
           help="How many degrees out of true the part may hang (default 5); least and most cover it."),
]  # fmt: skip
LeastGap = Annotated[
    str | None, Option("--least-gap", metavar="LENGTH", help="Gaps narrower than this hold air (default 0.2 mm).")
]
Force = Annotated[bool, Option("--force", help="Replace a file that exists.")]
AreaOption = Annotated[
    list[str] | None, Option("--area", "-a", metavar="AREA", help="Wetted area, such as '9 in2', instead of a file.")
]


def _one_of_two(context: typer.Context, asked: bool) -> bool:
    """Refuse --json beside --quiet, whichever comes second. Raises BadInput."""
    if asked and any(context.params.get(name) for name in ("json", "quiet")):
        raise BadInput("--json", "cannot be used with --quiet", "give one of the two")
    return asked


Json = Annotated[bool, Option("--json", help="Print JSON for programs, and nothing else.", callback=_one_of_two)]
Full = Annotated[bool, Option("--full", help="Print more figures, and all cautions.")]
ShowOption = Annotated[Show, Option("--show", help="Units of everything printed.")]
Quiet = Annotated[bool, Option("--quiet", "-q", help="Print the answer alone.", callback=_one_of_two)]


def counts(count: Sequence[int] | None, files: Sequence[object]) -> list[int]:
    """How many of each file's part: one number for all, or one a file. Raises BadInput."""
    return counts_of(count or 1, len(files), "--count")


def refuse(told: Mapping[str, object], what: str, remedy: str) -> None:
    """Refuse the first option that was given (None: it was not) where it has no place. Raises BadInput."""
    for option, value in told.items():
        if value is not None:
            raise BadInput(option, what, remedy)


def refuse_without_files(told: Mapping[str, object]) -> None:
    """Refuse options that say something of a part file without one. Raises BadInput."""
    given = {option: value or None for option, value in told.items()}
    refuse(given, "needs a part file", "name the file, or leave it out")


def maybe(words: str | None, dimension: Dimension, where: str) -> float | None:
    """What is said in words in its canonical unit, where it is said. Raises BadInput."""
    return None if words is None else parse(words, dimension, where)


def known(values: Mapping[str, Any]) -> dict[str, Any]:
    """Those of the values that are told."""
    return {name: value for name, value in values.items() if value is not None}


def once_or_twice(given: Sequence[str] | None, option: str) -> str | None:
    """What an option says; said twice, it is checked. Raises BadInput where it says two things.

    >>> once_or_twice(["in"], "--unit"), once_or_twice(["in", "in"], "--unit")
    ('in', 'in, checked')
    """
    if not given:
        return None
    if len(set(given)) > 1:
        remedy = (
            "give one for all files, or one for each in order"
            if option == "--unit"
            else "give one; twice the same confirms it"
        )
        raise BadInput(option, f"says both '{given[0]}' and '{given[-1]}'", remedy)
    return given[0] if len(given) == 1 else f"{given[0]}, checked"


def area_given(words: Sequence[str]) -> float:
    """The area of --area [mm2]. Raises BadInput."""
    area_mm2 = area_in_words(said := once_or_twice(words, "--area") or "", "--area")
    if area_mm2 <= 0.0:
        raise BadInput("--area", f"'{said}' must be above zero", "give the wetted area, such as '9 in2'")
    return area_mm2
