"""Wetted area: the sum over the features that the acid reaches, a row each, with bounds."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from areacalc.estimate import Estimate
from areacalc.shape.body import Note
from areacalc.surface.skin import Feature


class State(StrEnum):
    """What the bath does with a piece of skin."""

    WET = "wet"
    MASKED = "masked"
    PLUGGED = "plugged"
    CLAMPED = "clamped"
    AIRLOCKED = "airlocked"
    SEALED = "sealed"
    ABOVE_LINE = "above the line"
    HIDDEN = "hidden"  # faces of mated bodies against each other


@dataclass(frozen=True, slots=True)
class Row:
    """A feature, or a share of it, in one state. part_of_feature is 1 unless the row is a share."""

    feature: Feature
    state: State
    area_mm2: Estimate
    note: str = ""


@dataclass(frozen=True, slots=True)
class WettedArea:
    """The area the acid touches, what it is the sum of, and what was not certain."""

    value: Estimate
    rows: tuple[Row, ...]
    notes: tuple[Note, ...] = ()
