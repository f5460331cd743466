"""Options of part files in groups: how a file is read and what is chosen on it, how it hangs, a table of many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .options import (
    Accuracy,
    Add,
    AsDrawn,
    ChoicesFile,
    ClusterOption,
    ContactOption,
    Deep,
    Force,
    Jobs,
    LeastGap,
    LiquidLineOption,
    Mask,
    PlugOption,
    Send,
    TableOption,
    UnitOption,
    Up,
    WetOnly,
    hung_by,
    open_parts,
)

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.surface.air.hanging import By


@dataclass(frozen=True)
class PartOptions:
    """How a part file is read, and what is plugged, masked and added on it."""

    unit: UnitOption = None
    plug: PlugOption = None
    mask: Mask = None
    wet_only: WetOnly = None
    contact: ContactOption = None
    add: Add = None
    choices: ChoicesFile = None
    as_drawn: AsDrawn = False

    def open(self, files: Sequence[str]) -> list[Part]:
        """The parts in the files. Raises BadInput."""
        return open_parts(files, self.unit, self.choices, self.as_drawn, self.plug, self.mask, self.wet_only,
                          self.contact, self.add)  # fmt: skip


@dataclass(frozen=True)
class HangOptions:
    """How a part hangs."""

    up: Up = None
    liquid_line: LiquidLineOption = None
    accuracy: Accuracy = None
    least_gap: LeastGap = None
    deep: Deep = None

    def by(self) -> By | None:
        """How truly it hangs; None where it is not said what points up. Raises BadInput."""
        from areacalc.errors import BadInput

        if self.up is not None:
            return hung_by(self.accuracy, self.least_gap, self.deep)
        given = {"--liquid-line": self.liquid_line, "--accuracy": self.accuracy, "--least-gap": self.least_gap,
                 "--deep": self.deep}  # fmt: skip
        for option, value in given.items():
            if value is not None:
                raise BadInput(option, "given without --up", "say what points up, such as --up z+")
        return None


@dataclass(frozen=True)
class TableOptions:
    """A table of many files, and who makes it."""

    table: TableOption = None
    jobs: Jobs = None
    cluster: ClusterOption = None
    send: Send = False
    force: Force = False
