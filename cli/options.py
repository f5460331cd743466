"""The options that several commands share, and what they make of files: the parts, opened, with their choices."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from areacalc.estimate import Estimate
    from areacalc.part.part import Part
    from areacalc.surface.air.hanging import By


class Show(StrEnum):
    """The units that tables are in."""

    MM = "mm"
    IN = "in"


Files = Annotated[
    list[str],
    typer.Argument(metavar="FILE...", help="STL, STEP, 3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF."),
]
FilesOrFolders = Annotated[
    list[str],
    typer.Argument(metavar="FILE...", help="Part files, patterns such as 'parts/**/*.step', or folders: STL, STEP, "
                   "3MF, OBJ, PLY, OFF, GLB, or a profile in TOML, CSV, DXF."),
]  # fmt: skip
MaybeFiles = Annotated[list[str] | None, typer.Argument(metavar="[FILE...]", help="Part files, as for `area`.")]
UnitOption = Annotated[
    str | None, typer.Option("--unit", "-u", metavar="mm|cm|m|in|ft|um", help="Unit of the file's numbers.")
]
PlugOption = Annotated[
    list[str] | None,
    typer.Option("--plug", metavar="BORE", help="Plug a bore: 'bore-1', 'bores under 3 mm', 'bore-1 top 5 mm deep'."),
]
Mask = Annotated[
    list[str] | None,
    typer.Option("--mask", metavar="SURFACE", help="Mask surface: 'outside', 'x from 10 to 25 mm', 'colour #c03020'."),
]
WetOnly = Annotated[
    list[str] | None, typer.Option("--wet-only", metavar="SURFACE", help="Mask all except this; same words as --mask.")
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
        help="What the drawing shows smooth: 'bore-1 thread M6', 'outside knurl 0.8 mm', 'outside texture 1.3'.",
    ),
]
ChoicesFile = Annotated[
    Path | None,
    typer.Option("--choices", metavar="FILE", help="File of plugs and masks (default: that beside the part)."),
]
AsDrawn = Annotated[bool, typer.Option("--as-drawn", help="Measure facets as drawn; fit no curves.")]
Count = Annotated[
    list[int] | None,
    typer.Option("--count", "-n", min=1, help="How many of each part: once for all, or once for each file."),
]
LoadFile = Annotated[Path, typer.Argument(metavar="LOAD", help="A load file; `areacalc init` writes a new one.")]
Up = Annotated[
    str | None,
    typer.Option("--up", metavar="DIRECTION", help="What points up in the bath: '0,0,1', 'z+', 'bore-1' (mouth up)."),
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
    str | None,
    typer.Option("--least-gap", metavar="LENGTH", help="Gaps narrower than this hold air (default 0.2 mm)."),
]
Deep = Annotated[
    str | None,
    typer.Option(
        "--deep", metavar="LENGTH", help="Depth of the part's top in the bath; deeper water compresses trapped air."
    ),
]
Force = Annotated[bool, typer.Option("--force", help="Replace a file that exists.")]
AreaOption = Annotated[
    str | None, typer.Option("--area", "-a", metavar="AREA", help="Wetted area, such as '9 in2', instead of a file.")
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
    typer.Option("--jobs", "-j", min=1, help="How many files at once, for --out (default: one a processor)."),
]
ClusterOption = Annotated[
    str | None,
    typer.Option("--cluster", metavar="ADDRESS", help="Measure on the workers of this Dask scheduler, for --out."),
]
Send = Annotated[
    bool, typer.Option("--send", help="Send the files to the cluster; otherwise it reads them from a shared folder.")
]
Full = Annotated[bool, typer.Option("--full", help="Print every figure and caution.")]
ShowOption = Annotated[Show, typer.Option("--show", help="Units of everything printed.")]
Quiet = Annotated[
    bool,
    typer.Option("--quiet", "-q", help="Print the figure alone.", callback=_one_of_two),
]


def open_parts(
    files: Sequence[str],
    unit: str | None,
    choices_file: Path | None,
    as_drawn: bool,
    plug: Sequence[str] | None = None,
    mask: Sequence[str] | None = None,
    wet_only: Sequence[str] | None = None,
    contact: Sequence[str] | None = None,
    add: Sequence[str] | None = None,
) -> list[Part]:
    """The parts in the files, with the choices of the command line added to those of their files."""
    from areacalc.shape.fence import one_fence

    if not files:
        refuse_without_files({
            "--unit": unit, "--choices": choices_file, "--as-drawn": as_drawn, "--plug": plug, "--mask": mask,
            "--wet-only": wet_only, "--contact": contact, "--add": add,
        })  # fmt: skip
    with one_fence(_KERNEL if any(map(_is_step, files)) else ""):
        # imported here, while the kernel loads in its own process
        from areacalc.part.part import open_part, with_shared
        from areacalc.surface.choice import read_choices
        from areacalc.surface.features import features  # noqa: F401

        choices = read_choices(choices_file) if choices_file is not None else None
        parts = [open_part(file, unit, choices, as_drawn) for file in files]
    if len(parts) > 1:
        parts = with_shared(parts, plug or (), mask or ())
        plug = mask = None
    return [part.with_choices(plug or (), mask or (), wet_only or (), contact or (), add or ()) for part in parts]


_KERNEL = "areacalc.shape.step.step_inside:load_kernel"


def _is_step(file: str) -> bool:
    return file.lower().endswith((".step", ".stp", ".p21")) and os.path.isfile(file)


def hung_by(accuracy_deg: float | None, least_gap: str | None, deep: str | None = None) -> By:
    """How a part is hung, from the options. Raises BadInput."""
    from areacalc.errors import BadInput
    from areacalc.quantity import Dimension, parse
    from areacalc.surface.air.compressed import Under
    from areacalc.surface.air.hanging import ACCURACY_DEG, By
    from areacalc.surface.air.narrow import LEAST_GAP_MM

    lengths = [
        None if words is None else parse(words, Dimension.LENGTH, where)
        for words, where in ((least_gap, "--least-gap"), (deep, "--deep"))
    ]
    for length, where in zip(lengths, ("--least-gap", "--deep"), strict=True):
        if length is not None and length < 0.0:
            raise BadInput(where, "must be 0 mm or longer", "give a length such as '0.2 mm'")
    gap, depth = lengths
    return By(
        ACCURACY_DEG if accuracy_deg is None else accuracy_deg,
        LEAST_GAP_MM if gap is None else gap,
        None if depth is None else Under(depth),
    )


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


def area_given(words: str) -> float:
    """The area of --area [mm2]. Raises BadInput."""
    from areacalc.errors import BadInput
    from areacalc.quantity import Dimension, parse

    area_mm2 = parse(words, Dimension.AREA, "--area")
    if area_mm2 <= 0.0:
        raise BadInput("--area", f"'{words}' must be above zero", "give the wetted area, such as '9 in2'")
    return area_mm2


def area_or_files(
    area: str | None, files: Sequence[str] | None, count: Sequence[int] | None, parts: Sequence[Part]
) -> Estimate:
    """The wetted area of a load: the area given, or the sum over the parts opened. Raises BadInput."""
    from areacalc.errors import BadInput
    from areacalc.estimate import Estimate, total

    if area is not None and files:
        raise BadInput("--area", "given together with a file", "give one or the other")
    if area is not None:
        return Estimate.exact(area_given(area)).scaled(counts(count, [area])[0])
    if not files:
        raise BadInput("part", "nothing to work on", "name a part file, or give --area '9 in2'")
    numbers = counts(count, files)
    return total(part.wetted().value.scaled(n) for part, n in zip(parts, numbers, strict=True))
