"""The options that several commands share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Show(StrEnum):
    """The units that tables are in."""

    MM = "mm"
    IN = "in"


FilesOrFolders = Annotated[
    list[str],
    typer.Argument(metavar="FILE", help="Part files, patterns such as 'parts/**/*.step', or folders: STL, STEP, "
                   "3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF."),
]  # fmt: skip
MaybeFiles = Annotated[list[str] | None, typer.Argument(metavar="FILE", help="Part files, as for `area`.")]
UnitOption = Annotated[
    list[str] | None,
    typer.Option("--unit", "-u", metavar="mm|cm|m|in|ft|um", help="Unit of the file's numbers; twice to confirm it."),
]
PlugOption = Annotated[
    list[str] | None,
    typer.Option("--plug", metavar="BORE", help="Plug a bore: 'bore-1', 'bores under 3 mm', 'bore-1 top 5 mm deep'."),
]
Mask = Annotated[
    list[str] | None,
    typer.Option(
        "--mask", metavar="SURFACE", help="Mask a surface: 'outside', 'x from 10 to 25 mm', 'colour #c03020'."
    ),
]
WetOnly = Annotated[
    list[str] | None, typer.Option("--wet-only", metavar="SURFACE", help="Mask everything else; same words as --mask.")
]
ContactOption = Annotated[
    list[str] | None,
    typer.Option("--contact", metavar="SIZE on SURFACE", help="A rack contact or clamp: '2 x 3 mm on outside'."),
]
Add = Annotated[
    list[str] | None,
    typer.Option(
        "--add",
        metavar="SURFACE WHAT",
        help="A thread, knurl or texture not in the drawing: 'bore-1 thread M6', 'outside knurl 0.8 mm', "
        "'outside texture 1.3'.",
    ),
]
ChoicesFile = Annotated[
    Path | None,
    typer.Option("--choices", metavar="FILE", help="File of plugs and masks (default: the file beside the part)."),
]
AsDrawn = Annotated[bool, typer.Option("--as-drawn", help="Measure facets as drawn; fit no curves.")]
Count = Annotated[
    list[int] | None,
    typer.Option("--count", "-n", min=1, help="How many of each part: one number for all, or one for each file."),
]
LoadFile = Annotated[Path, typer.Argument(metavar="LOAD", help="A load file; `areacalc init` writes a new one.")]
Up = Annotated[
    str | None,
    typer.Option(
        "--up", metavar="DIRECTION", help="Direction that points up in the bath: '0,0,1', 'z+', 'bore-1' (mouth up)."
    ),
]
LiquidLineOption = Annotated[
    str | None,
    typer.Option(
        "--liquid-line",
        metavar="HEIGHT",
        help="Liquid level on the part, if it is not fully submerged: '40 mm', '5 mm below the top'.",
    ),
]
Accuracy = Annotated[
    float | None,
    typer.Option("--accuracy", metavar="DEGREES", min=0.0, max=45.0,
                 help="How many degrees the part may hang off (default 5); least and most cover this tilt."),
]  # fmt: skip
LeastGap = Annotated[
    str | None, typer.Option("--least-gap", metavar="LENGTH", help="Gaps narrower than this hold air (default 0.2 mm).")
]
Deep = Annotated[
    str | None,
    typer.Option(
        "--deep", metavar="LENGTH", help="Depth of the part's top in the bath; deeper water compresses trapped air."
    ),
]
Force = Annotated[bool, typer.Option("--force", help="Replace a file that exists.")]
AreaOption = Annotated[
    list[str] | None,
    typer.Option("--area", "-a", metavar="AREA", help="Wetted area, such as '9 in2', instead of a file."),
]


def _one_of_two(context: typer.Context, asked: bool) -> bool:
    """Refuse --json beside --quiet, whichever comes second. Raises BadInput."""
    if asked and any(context.params.get(name) for name in ("json", "quiet")):
        from areacalc.errors import BadInput

        raise BadInput("--json", "cannot be used with --quiet", "give one of the two")
    return asked


Json = Annotated[
    bool, typer.Option("--json", help="Print JSON and nothing else on standard output.", callback=_one_of_two)
]
TableOption = Annotated[
    Path | None,
    typer.Option("--out", metavar="TABLE", help="Write a row for each file: table.csv, .jsonl or .parquet."),
]
Jobs = Annotated[
    int | None,
    typer.Option("--jobs", "-j", min=1, help="How many files at once, for --out (default: one for each processor)."),
]
ClusterOption = Annotated[
    str | None,
    typer.Option("--cluster", metavar="ADDRESS", help="Measure on the workers of this Dask scheduler, for --out."),
]
Send = Annotated[
    bool, typer.Option("--send", help="Send the files to the cluster, if it cannot read them from a shared folder.")
]
Full = Annotated[bool, typer.Option("--full", help="Print every figure and caution.")]
ShowOption = Annotated[Show, typer.Option("--show", help="Units of everything printed.")]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print the figure alone.", callback=_one_of_two)]


def counts(count: Sequence[int] | None, files: Sequence[object]) -> list[int]:
    """How many of each file's part: one number for all, or one a file. Raises BadInput."""
    from areacalc.part.counts import counts_of

    return counts_of(count or 1, len(files), "--count")


def refuse_without_files(told: Mapping[str, object]) -> None:
    """Refuse options that say something of a part file without one. Raises BadInput."""
    from areacalc.errors import BadInput

    for option, value in told.items():
        if value:
            raise BadInput(option, "needs a part file", "name the file, or leave it out")


def refuse_with_table(given: Mapping[str, bool]) -> None:
    """Refuse options that say how to print where a table is written. Raises BadInput."""
    from areacalc.errors import BadInput

    for option, said in given.items():
        if said:
            remedy = "leave it out; name the table .jsonl for JSON" if option == "--json" else "leave it out"
            raise BadInput(option, "cannot be used with --out, whose table has all figures in mm", remedy)


def refuse_without_table(given: Mapping[str, object]) -> None:
    """Refuse options that say how to make a table where none is asked for. Raises BadInput."""
    from areacalc.errors import BadInput

    for option, said in given.items():
        if said is not None:
            raise BadInput(option, "needs a table", "add --out table.csv, or leave it out")


def once_or_twice(given: Sequence[str] | None, option: str) -> str | None:
    """What an option says; said twice, it is checked. Raises BadInput where it says two things.

    >>> once_or_twice(["in"], "--unit"), once_or_twice(["in", "in"], "--unit")
    ('in', 'in, checked')
    """
    if not given:
        return None
    if len(set(given)) > 1:
        from areacalc.errors import BadInput

        raise BadInput(option, f"says both '{given[0]}' and '{given[-1]}'", "give one; twice the same confirms it")
    return given[0] if len(given) == 1 else f"{given[0]}, checked"


def area_given(words: Sequence[str]) -> float:
    """The area of --area [mm2]. Raises BadInput."""
    from areacalc.errors import BadInput
    from areacalc.surface.area_in_words import area_in_words

    area_mm2 = area_in_words(said := once_or_twice(words, "--area") or "", "--area")
    if area_mm2 <= 0.0:
        raise BadInput("--area", f"'{said}' must be above zero", "give the wetted area, such as '9 in2'")
    return area_mm2
