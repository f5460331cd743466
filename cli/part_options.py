"""Options of part files in groups: how a file is read and what is chosen on it, how it hangs, a table of many."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from areacalc.errors import BadInput
from areacalc.estimate import Estimate, total
from areacalc.quantity import Dimension
from areacalc.shape.fence import one_fence

from . import options
from .grouped import option
from .options import Accuracy, AreaOption, Count, Force, LeastGap, MaybeFiles, UnitOption, counts

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.surface.air.hanging import By
    from areacalc.surface.choice import Choices

_KERNEL = "areacalc.shape.step.step_inside:load_kernel"
_TRIM_THRESHOLD, _MMAP_MAX = -1, -4  # glibc's malloc.h


@dataclass(frozen=True)
class ChoiceOptions:
    """What a part's numbers are in, and what is plugged, masked and added on it."""

    unit: UnitOption = None
    plug: list[str] | None = option(
        "Plug a bore: 'bore-1', 'bores under 3 mm', 'bore-1 top 5 mm deep'.", metavar="BORE"
    )
    mask: list[str] | None = option(
        "Mask a surface: 'outside', 'x from 10 to 25 mm', 'colour #c03020'.", metavar="SURFACE"
    )
    wet_only: list[str] | None = option("Mask everything else; same words as --mask.", metavar="SURFACE")
    add: list[str] | None = option(
        "A thread, knurl or texture not in the drawing: 'bore-1 thread M6', 'outside knurl 0.8 mm', "
        "'outside texture 1.3' (1.3 times the smooth area).", metavar="SURFACE WHAT",
    )  # fmt: skip
    fill: list[str] | None = option("Narrow bores you fill with a syringe, so that they hold no air.", metavar="BORE")

    @property
    def unit_said(self) -> str | None:
        """What --unit says of all files. Raises BadInput."""
        return options.once_or_twice(self.unit, "--unit")

    def units(self, files: Sequence[str]) -> Sequence[str | None]:
        """The unit of each file: one said for all, or one for each in order. Raises BadInput."""
        given = self.unit or []
        if len(set(given)) > 1 and len(given) == len(files):
            return given
        return [self.unit_said] * len(files)

    def said(self) -> Choices:
        """The choices in the words of the command line."""
        from areacalc.surface.choice import Choices

        return Choices(**{each.name: tuple(getattr(self, each.name, None) or ()) for each in fields(Choices)})


@dataclass(frozen=True)
class PartOptions(ChoiceOptions):
    """How a part file is read, and what is chosen on it."""

    contact: list[str] | None = option("Each rack contact or clamp: '2 x 3 mm on outside'.", metavar="SIZE on SURFACE")
    choices: Path | None = option("File of plugs and masks (default: the file beside the part).", metavar="FILE")
    as_drawn: bool = option("Measure facets as drawn; fit no curves.", "--as-drawn", default=False)

    def typed(self) -> list[str]:
        """The options as they were typed."""
        words: list[str] = []
        for name, value in self.given().items():
            for each in value if isinstance(value, list) else [value]:
                words += [name] if each is True else [name, str(each)]
        return words

    def given(self) -> dict[str, object]:
        """What is said, by option."""
        values = {f"--{each.name.replace('_', '-')}": getattr(self, each.name) for each in fields(self)}
        return {name: value for name, value in values.items() if value}

    def open(self, files: Sequence[str]) -> list[Part]:
        """The parts in the files, these choices added to those of their files. Raises BadInput."""
        if not files:
            options.refuse_without_files(self.given())
        _keep_memory()
        with one_fence(_KERNEL if any(map(_is_step, files)) else ""):
            # imported here, while the kernel loads in its own process
            from areacalc.part.part import open_part, with_shared
            from areacalc.surface.choice import read_choices
            from areacalc.surface.features import features  # noqa: F401

            choices = read_choices(self.choices) if self.choices is not None else None
            parts = [
                open_part(file, unit, choices, self.as_drawn)
                for file, unit in zip(files, self.units(files), strict=True)
            ]
        said = self.said()
        if len(parts) > 1:
            return with_shared(parts, said)
        return [replace(part, choices=part.choices.joined(said)) for part in parts]


def _keep_memory() -> None:
    """Let C's allocator keep what is freed: given back, each large array's pages are fetched and cleared anew."""
    import ctypes

    with contextlib.suppress(AttributeError, TypeError):  # glibc alone has it
        allocator = ctypes.CDLL(None)
        for option, most in ((_TRIM_THRESHOLD, 2**31 - 1), (_MMAP_MAX, 0)):
            allocator.mallopt(option, most)


def _is_step(file: str) -> bool:
    return file.lower().endswith((".step", ".stp", ".p21")) and os.path.isfile(file)


@dataclass(frozen=True)
class WettedOptions:
    """What takes the current: part files, or an area that is known."""

    files: MaybeFiles = None
    area: AreaOption = None
    count: Count = None

    def wetted(self, of: PartOptions, hangs: HangOptions) -> tuple[Estimate, list[Part]]:
        """The area given, or the sum over the parts in the files, and these. Raises BadInput."""
        from areacalc.report.challenge import refuse_too_large

        hangs.by()
        parts = hangs.hung(of.open(self.files or []))
        refuse_too_large(parts)
        if self.area is not None and parts:
            raise BadInput("--area", "cannot be used with a file", "give one or the other")
        if self.area is not None:
            options.refuse_without_files({"--up": hangs.up})
            return Estimate.exact(options.area_given(self.area)).scaled(counts(self.count, [self.area])[0]), []
        if not parts:
            raise BadInput("FILE", "a part file or an area is missing", "name a part file, or give --area '9 in2'")
        numbers = counts(self.count, parts)
        return total(part.wetted().value.scaled(n) for part, n in zip(parts, numbers, strict=True)), parts


@dataclass(frozen=True)
class HangOptions:
    """How a part hangs."""

    PANEL: ClassVar[str] = "How it hangs"
    up: str | None = option(
        "Direction that points up in the bath: '0,0,1', 'z+', 'bore-1' (mouth up).", metavar="DIRECTION"
    )
    liquid_line: str | None = option(
        "Liquid level on a part that is not submerged: '40 mm', '5 mm below the top'.", metavar="HEIGHT"
    )
    accuracy: Accuracy = None
    least_gap: LeastGap = None
    deep: str | None = option(
        "Depth of the part's top in the bath; deeper down, trapped air shrinks.", metavar="LENGTH"
    )

    def by(self) -> By | None:
        """How truly it hangs; None where it is not said what points up. Raises BadInput."""
        if self.up is not None:
            return hung_by(self.accuracy, self.least_gap, self.deep)
        given = {"--liquid-line": self.liquid_line, "--accuracy": self.accuracy, "--least-gap": self.least_gap,
                 "--deep": self.deep}  # fmt: skip
        options.refuse(given, "needs --up", "say what points up, such as --up z+")
        return None

    def hung(self, parts: Sequence[Part]) -> list[Part]:
        """The parts as they hang, where it is said. Raises BadInput."""
        by = self.by()
        return list(parts) if self.up is None else [part.hung(self.up, self.liquid_line, by) for part in parts]


def hung_by(accuracy_deg: float | None, least_gap: str | None, deep: str | None = None) -> By:
    """How a part is hung, from the options. Raises BadInput."""
    from areacalc.surface.air.compressed import Under
    from areacalc.surface.air.hanging import ACCURACY_DEG, By
    from areacalc.surface.air.narrow import LEAST_GAP_MM

    def length_mm(words: str | None, where: str) -> float | None:
        length = options.maybe(words, Dimension.LENGTH, where)
        if length is not None and length < 0.0:
            raise BadInput(where, "must be 0 mm or longer", "give a length such as '0.2 mm'")
        return length

    gap_mm, depth_mm = length_mm(least_gap, "--least-gap"), length_mm(deep, "--deep")
    return By(
        ACCURACY_DEG if accuracy_deg is None else accuracy_deg,
        LEAST_GAP_MM if gap_mm is None else gap_mm,
        None if depth_mm is None else Under(depth_mm),
    )


@dataclass(frozen=True)
class TableOptions:
    """A table of many files, and who makes it."""

    PANEL: ClassVar[str] = "A table of many files"
    table: Path | None = option(
        "A row for each file: .csv for a spreadsheet, .jsonl or .parquet for code.", "--out", metavar="TABLE"
    )
    jobs: int | None = option(
        "How many files at once, for --out (default: one for each processor).", "--jobs", "-j", min=1
    )
    cluster: str | None = option(
        "Measure on many computers, for --out: address of their Dask scheduler.", metavar="ADDRESS"
    )
    send: bool = option("Send the files to those computers, if they share no folder.", "--send", default=False)
    force: Force = False
