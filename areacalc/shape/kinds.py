"""The plain types that every room about shapes speaks in: arrays, surfaces, faces, units, notes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.integer[Any]]


class SurfaceKind(StrEnum):
    """The shape of one face or patch of skin."""

    PLANE = "plane"
    CYLINDER = "cylinder"
    CONE = "cone"
    SPHERE = "sphere"
    TORUS = "torus"
    FREE_FORM = "free-form"
    THREAD = "thread"
    KNURL = "knurl"


class UnitHow(StrEnum):
    """How the unit of a file was decided."""

    DECLARED = "declared"  # the file says it
    GIVEN = "given"  # the person says it
    ASSUMED = "assumed"  # nobody says it; mm is taken


@dataclass(frozen=True, slots=True)
class UnitBasis:
    """The unit a file was in (`name` as in quantity.LENGTH_UNITS, or the file's own), and how that was decided."""

    name: str
    how: UnitHow
    mm: float = 1.0


@dataclass(frozen=True, slots=True)
class Note:
    """Something odd or chosen that the person should know.

    `code` is a fixed word for programs, `text` the sentence for people, `warns` whether the figure may be wrong.
    What the sentence leaves open about the area is in its bounds: less_mm2 may come off, more_mm2 may come on, and
    `cause` says why in a few words.
    """

    code: str
    text: str
    warns: bool = False
    less_mm2: float = 0.0
    more_mm2: float = 0.0
    cause: str = ""


def in_mm(note: Note, mm: float) -> Note:
    """A note whose areas are in units of so many mm."""
    return replace(note, less_mm2=note.less_mm2 * mm * mm, more_mm2=note.more_mm2 * mm * mm)


@dataclass(frozen=True, slots=True)
class Surface:
    """The analytic surface a face or patch lies on; what a kind does not use stays at its default.

    point [mm] and unit direction: a point of the axis and the axis (plane: a point and the outward normal; sphere: the
    centre). radius_mm: cylinder and sphere; torus: distance of the tube's centre from the axis; cone: radius at
    `point`, growing along `direction`. minor_radius_mm: the torus's tube. half_angle_rad: the cone's.
    """

    kind: SurfaceKind
    point: tuple[float, float, float] = (0.0, 0.0, 0.0)
    direction: tuple[float, float, float] = (0.0, 0.0, 1.0)
    radius_mm: float = 0.0
    minor_radius_mm: float = 0.0
    half_angle_rad: float = 0.0


@dataclass(frozen=True, slots=True)
class Face:
    """One face of an exact source: a B-rep face of a STEP file or a segment of a lathe profile.

    area_mm2 is exact up to area_error_mm2 (where two quadratures differ). `colour` is sRGB, 0 to 255.
    """

    surface: Surface
    area_mm2: float
    area_error_mm2: float = 0.0
    name: str = ""
    colour: tuple[int, int, int] | None = None
