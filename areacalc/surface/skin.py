"""The skin of a part cut into patches and named features: the joint between finding them and choosing what is wet."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from areacalc.estimate import Estimate
from areacalc.shape.body import Body
from areacalc.shape.kinds import Floats, Ints, Note, Surface

Vector = tuple[float, float, float]


def vector(v: Floats) -> Vector:
    """Three numbers, none of them a minus nought."""
    return float(v[0]) + 0.0, float(v[1]) + 0.0, float(v[2]) + 0.0


class FeatureKind(StrEnum):
    """What a feature is, in the trade's words."""

    OUTSIDE = "outside"
    THROUGH_BORE = "through-bore"
    BLIND_BORE = "blind-bore"
    PASSAGE = "passage"
    POCKET = "pocket"
    SLOT = "slot"
    KEYWAY = "keyway"
    GROOVE = "groove"
    VOID = "void"
    CONTACT = "contact"


class State(StrEnum):
    """What the bath does with a piece of skin."""

    WET = "wet"
    MASKED = "masked"
    PLUGGED = "plugged"
    CLAMPED = "clamped"
    AIRLOCKED = "airlocked"
    AIR_HELD = "air held"  # by surface tension, however the part hangs
    SEALED = "sealed"
    ABOVE_LINE = "above the line"
    HIDDEN = "hidden"  # faces of mated bodies against each other


@dataclass(frozen=True, slots=True)
class Patch:
    """A connected piece of skin on one surface.

    area_mm2 is the true area of the patch (facets corrected where its surface is known), facet_area_mm2 the plain sum
    of its triangles. feature is the index of the feature it belongs to.
    """

    surface: Surface
    area_mm2: Estimate
    facet_area_mm2: float
    feature: int
    name: str = ""
    colour: tuple[int, int, int] | None = None


class BoreStepKind(StrEnum):
    """What one length of a bore is, in the trade's words."""

    BORE = "bore"
    COUNTERBORE = "counterbore"
    COUNTERSINK = "countersink"
    TAPER = "taper"
    GROOVE = "groove"
    THREAD = "thread"
    SHOULDER = "shoulder"
    FLOOR = "floor"
    DRILL_POINT = "drill-point"
    INSERT = "insert"  # what stands in the bore beside its walls: the flat of a D-hole, a rib, a key


@dataclass(frozen=True, slots=True)
class BoreStep:
    """One length of a bore between two changes of diameter, from the first mouth inward.

    diameter_mm and narrow_mm are those of its wider and of its narrower end (a flat floor's: 0), depth_mm its own
    length, at_mm how far below the first mouth it begins. round_mm2 is the area of a whole round of its surface and
    sizes, in closed form; None of an insert, and where no sizes make it up.
    """

    diameter_mm: float
    depth_mm: float
    area_mm2: Estimate
    kind: BoreStepKind = BoreStepKind.BORE
    narrow_mm: float | None = None
    at_mm: float = 0.0
    round_mm2: float | None = None

    @property
    def open_mm2(self) -> float:
        """What is missing of the whole round: cross-bores, keyways, slits, what of a mouth runs out at the side.

        >>> BoreStep(8.0, 30.0, Estimate.exact(700.0), round_mm2=754.0).open_mm2
        54.0
        """
        return 0.0 if self.round_mm2 is None else max(0.0, self.round_mm2 - self.area_mm2.value)


@dataclass(frozen=True, slots=True)
class Feature:
    """A piece of skin a person can point at: the outside, a bore, a pocket.

    name is unique in the part and stable for the same file ("outside", "bore-1", "blind-bore-2", "void-1").
    axis is a unit vector from the first mouth inward; mouths are the centres of the openings [mm], the first one first.
    diameter_mm is the least diameter of its walls (the nominal one of a thread), depth_mm along the axis from the
    first mouth to the floor (drill point included) or to the other mouth. A passage, pocket, slot or groove has a
    width_mm, its least, and a length_mm square to that instead of a diameter; a groove turned into the outside has the
    diameter of its floor as well. opens: unit vectors that point out of it,
    one for each way it opens; those of the mouths first, in their order. into: the bore that each mouth opens into, ""
    for the outside; empty where all open to that. section_mm2, around_mm: of a passage, pocket or slot with walls all
    round, the area of its narrowest mouth across the way out, and the length of that mouth's rim.
    """

    name: str
    kind: FeatureKind
    area_mm2: Estimate
    diameter_mm: float | None = None
    depth_mm: float | None = None
    axis: Vector | None = None
    mouths: tuple[Vector, ...] = ()
    steps: tuple[BoreStep, ...] = ()
    wall_mm2: float | None = None
    floor_mm2: float | None = None
    shoulder_mm2: float | None = None
    note: str = ""
    width_mm: float | None = None
    length_mm: float | None = None
    opens: tuple[Vector, ...] = ()
    section_mm2: float | None = None
    around_mm: float | None = None
    into: tuple[str, ...] = ()

    @property
    def outer_mouths(self) -> tuple[int, ...]:
        """The numbers, from 1, of the mouths that open to the outside."""
        return tuple(n for n in range(1, len(self.mouths) + 1) if not self.into or not self.into[n - 1])

    @property
    def stepped(self) -> bool:
        """Whether its walls differ in diameter, so that diameter_mm is that of the narrowest alone."""
        walls = [s.diameter_mm for s in self.steps if s.kind not in ("floor", "shoulder", "drill-point")]
        return bool(walls) and max(walls) > 1.001 * min(walls)


@dataclass(frozen=True, eq=False)
class DryShare:
    """The share of each of the body's triangles that stays dry in one state (airlocked, above the line): (m,) 0 to 1.

    low and high hold the least and the most over how accurately the part hangs; cases, where given, the shares of each
    way it may hang, from which a feature's bounds are taken as a whole rather than triangle by triangle.
    """

    state: State
    value: Floats
    low: Floats
    high: Floats
    cases: tuple[Floats, ...] = ()


@dataclass(frozen=True, eq=False)
class Arrangement:
    """The solid that all bodies of a part make up together.

    points (p, 3) mm, corners (k, 3) int32: its skin, outward by the right-hand rule, walls of cavities and whatever is
    open included; parent (k,) int32: the row of body.triangles that each is (a piece of). dry: the shares of the body's
    triangles that lie against or in other bodies, and on cavities without a way in. bodies: how many there are,
    united: how many of them lie against or in others, cavities: how many have no way in.
    """

    points: Floats
    corners: Ints
    parent: Ints
    dry: tuple[DryShare, ...] = ()
    bodies: int = 1
    united: int = 0
    cavities: int = 0
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, eq=False)
class SurfaceMap:
    """A Body's skin as patches and features.

    patch_of (m,) and feature_of (m,) int32 tell for every row of body.triangles which patch and which feature it
    belongs to (-1: dropped). as_drawn says that facets were taken as the true shape. arrangement: the solid that its
    bodies make up.
    """

    body: Body
    patches: tuple[Patch, ...]
    features: tuple[Feature, ...]
    patch_of: Ints
    feature_of: Ints
    notes: tuple[Note, ...] = ()
    as_drawn: bool = False
    arrangement: Arrangement | None = None

    def named(self, name: str) -> Feature:
        """The feature of that name. Raises KeyError."""
        return next(f for f in self.features if f.name == name)


def included(worn: Iterable[str]) -> str:
    """The note of a feature whose area holds threads or knurls: more than its diameter and depth come to.

    >>> included(["M6x1 thread"]), included([])
    ('M6x1 thread included', '')
    """
    named = " and ".join(worn)
    return f"{named} included" if named else ""
