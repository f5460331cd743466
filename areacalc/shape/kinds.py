"""The plain types that every room about shapes speaks in: arrays, surfaces, faces, units, notes."""

from dataclasses import dataclass, replace
from enum import Enum, StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from areacalc.fact import Fact, Quantity, Value

Floats = NDArray[np.float64]
Ints = NDArray[np.integer[Any]]
Truths = NDArray[np.bool_]


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
    CHECKED = "checked"  # the person says it and has checked it
    ASSUMED = "assumed"  # nobody says it; mm is taken


@dataclass(frozen=True, slots=True)
class UnitBasis:
    """The unit a file was in (`name` as in quantity.LENGTH_UNITS, or the file's own), and how that was decided."""

    name: str
    how: UnitHow
    mm: float = 1.0


class FileNote(Enum):
    """What was odd about a file, or decided in reading it."""

    UNIT_ASSUMED = "unit-assumed"
    UNIT_IMPLAUSIBLE = "unit-implausible"
    UNIT_OVERRULED = "unit-overruled"
    UNIT_MIXED = "unit-mixed"
    POINTS_MERGED = "points-merged"
    DEGENERATE_DROPPED = "degenerate-dropped"
    DUPLICATES_DROPPED = "duplicates-dropped"
    MIXED_NORMALS = "mixed-normals"
    CRACKS = "cracks"
    OPEN = "open"
    CROSSINGS_NOT_SEARCHED = "crossings-not-searched"
    SELF_CROSSING = "self-crossing"
    DOUBLED_FACES = "doubled-faces"
    CROWDED_EDGES = "crowded-edges"
    SLIVERS = "slivers"
    SPECKS = "specks"
    FACES_NOT_FLAT = "faces-not-flat"
    REVOLVED = "revolved"
    COLUMNS_READ = "columns-read"
    THREAD_SIZE = "thread-size"
    HOLLOW_END = "hollow-end"
    LEFT_OUT = "left-out"
    FREE_FORM_LEFT_OUT = "free-form-left-out"
    COLOURS_MISSING = "colours-missing"
    BUILD_EMPTY = "build-empty"
    OBJECT_LEFT_OUT = "object-left-out"
    TRAILING_BYTES = "trailing-bytes"
    POSED = "posed"
    MAY_CHANGE_SHAPE = "may-change-shape"
    LINES_LEFT_OUT = "lines-left-out"
    FACES_CLOSE = "faces-close"
    PART_EMPTY = "part-empty"
    WIRES_LEFT_OUT = "wires-left-out"
    FACES_LEFT_OUT = "faces-left-out"
    OPEN_SURFACES = "open-surfaces"
    STORED_TWICE = "stored-twice"
    MESHED = "meshed"
    TESSELLATED = "tessellated"
    MESH_DIFFERS = "mesh-differs"
    MESH_OPEN = "mesh-open"
    ANNOTATION_DAMAGED = "annotation-damaged"
    SURFACES_UNUSED = "surfaces-unused"


@dataclass(frozen=True, slots=True)
class Note:
    """Something odd or chosen that the person should know.

    `fact` is what is so, `warns` whether the figure may be wrong. What it leaves open about the area is in its bounds:
    the true area may be less_mm2 smaller or more_mm2 larger, and `cause` says why in a few words.
    """

    fact: Fact
    warns: bool = False
    less_mm2: float = 0.0
    more_mm2: float = 0.0
    cause: str = ""

    @property
    def code(self) -> str:
        """The fixed word of its kind, for programs."""
        return str(self.fact.kind.value)


def in_mm(note: Note, mm: float) -> Note:
    """A note whose lengths and areas are in units of so many mm."""
    scale = {"mm": mm, "mm2": mm * mm}

    def told(value: Value) -> Value:
        if not isinstance(value, Quantity):
            return value
        return replace(value, estimate=value.estimate.scaled(scale.get(value.unit, 1.0)))

    values = tuple((name, told(value)) for name, value in note.fact.values)
    return replace(
        note, fact=Fact(note.fact.kind, values), less_mm2=note.less_mm2 * mm * mm, more_mm2=note.more_mm2 * mm * mm
    )


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
