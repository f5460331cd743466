"""The wetted area of a load: every part opened, its choices laid on it, its area with bounds."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import cast

import numpy as np

from areacalc.digits import three
from areacalc.errors import AreacalcError, BadInput, Field, said_of
from areacalc.estimate import Estimate, total
from areacalc.figure import MEASURED, Figure, given, worked
from areacalc.load.load import Load, PartLine
from areacalc.load.read_load import BadLoad, Mistake
from areacalc.part.part import Part, Shelf
from areacalc.plant.hung import Way
from areacalc.plant.rack import rack_area
from areacalc.shape.kinds import Note
from areacalc.sources import Kind, Source
from areacalc.surface.air.best_hanging import HangingOutcome
from areacalc.surface.notes import SurfaceNote
from areacalc.surface.skin import State, Vector
from areacalc.surface.wetted import Row, bare_areas

Plugs = Mapping[str, Mapping[int, float]]
"""Feature -> mouth (from 1) -> how far in its plug goes [mm]."""
_SUM = Source(Kind.DERIVED, "the areas of all parts added up, their bounds as well, since one cause may widen them all")
_COUNTED = Source(Kind.DERIVED, "parts of the load; 1 where no number is given")
_COUNT = Source(Kind.DERIVED, "number of parts times the area of one")


@dataclass(frozen=True, slots=True)
class FreeHanging:
    """The way chosen for a part that the load leaves free: what points up, the room it takes, the worst in a tilt.

    for_room: a way that traps or carries less has no room in the tank.
    """

    up: Vector
    ways: tuple[Way, ...]
    worst: HangingOutcome
    for_room: bool = False


@dataclass(frozen=True, slots=True)
class PartArea:
    """One kind of part of the load: the area of one and of all [mm2]; part is the opened one where there is a file.

    rows are its features and their states, plugs how far plugs, or air above the liquid line, go into a feature's
    mouths [mm]; carried is the liquid that one carries out [mL], where it is known how it hangs; free how it was hung
    where the load does not say.
    """

    line: PartLine
    each: Figure
    all: Figure
    part: Part | None = None
    notes: tuple[Note, ...] = ()
    rows: tuple[Row, ...] = ()
    plugs: Plugs = field(default_factory=dict)
    carried: Figure | None = None
    free: FreeHanging | None = None

    @property
    def bare_mm2(self) -> dict[str, Estimate]:
        """What air keeps bare of each feature of one part."""
        return bare_areas(self.rows)

    @property
    def narrow(self) -> tuple[str, ...]:
        """The narrow bores in which surface tension holds air, or may."""
        kinds = (SurfaceNote.AIR_HELD, SurfaceNote.AIR_MAY_BE_HELD)
        found = (cast("tuple[str, ...]", note.fact["features"]) for note in self.notes if note.fact.kind in kinds)
        return tuple(dict.fromkeys(name for names in found for name in names))


def part_areas(load: Load, kept: Shelf) -> tuple[PartArea, ...]:
    """Each part's area. Raises BadLoad with every part that cannot be opened or whose choices do not fit it."""
    made, mistakes = [], []
    for i, line in enumerate(load.parts):
        try:
            made.append(_part_area(load, line, kept))
        except AreacalcError as bad:
            is_field = isinstance(bad.where, Field)
            key = "area" if line.file is None else str(bad.where) if is_field else "file"
            at = load.lines.get(("part", i, key), load.lines.get(("part", i, "file"), line.line))
            what = bad.what if is_field else said_of(bad.where, bad.what)  # the key says where, or a place of its own
            mistakes.append(Mistake(at, f"[[part]] {i + 1} {key}", what, bad.remedy))
    if mistakes:
        raise BadLoad(load.source or load.name, tuple(mistakes))
    return tuple(made)


def hung_area(load: Load, line: PartLine, free: FreeHanging, shelf: Shelf) -> PartArea:
    """A part's area as it was chosen to hang. Raises BadInput where all of it may stay dry so."""
    up = ",".join(f"{x:.9f}" for x in free.up)
    return replace(_part_area(load, replace(line, up=up), shelf), line=line, free=free)


def whole_area(parts: tuple[PartArea, ...], rack: Figure | None = None) -> Figure:
    """The wetted area of the load [mm2]: the parts and what of the rack takes current."""
    wet = (*(p.all for p in parts), *((rack,) if rack else ()))
    return Figure("wetted area of the load", total(f.estimate for f in wet), "mm2", "sum over the parts and the rack",
                  _SUM, wet)  # fmt: skip


def bare_rack(load: Load) -> Figure | None:
    """What of the rack is wetted area [mm2]; None where it takes no current."""
    return rack_area(load.rack) if load.rack and load.rack.bare_mm2.high > 0.0 else None


def carried_by(parts: tuple[PartArea, ...]) -> tuple[Figure, ...]:
    """The liquid that all parts of each kind carry out [mL], where it is known how they hang."""
    return tuple(
        worked(f"liquid held in all {p.line.name}", "mL", "count x liquid", _COUNT, lambda n, v: n * v,
               given(f"count of {p.line.name}", float(p.line.count), "", _COUNTED), p.carried)
        for p in parts if p.carried is not None
    )  # fmt: skip


def _part_area(load: Load, line: PartLine, shelf: Shelf) -> PartArea:
    if line.file is None:
        assert line.area_mm2 is not None
        each = given(f"area of one {line.name}", line.area_mm2, "mm2")
        return PartArea(line, each, _times(line, each))
    part, wetted = shelf.wetted(load.folder, line)
    if wetted.value.value <= 0.0:
        raise BadInput(line.name, "nothing of it is wet", "take a mask or plug away")
    if wetted.value.low <= 0.0:
        said = f"all of it may stay dry: {three(wetted.value.low)} to {three(wetted.value.high)} mm2 are wet"
        raise BadInput(line.name, said, "hang it deeper, or take a mask or plug away")
    wet = tuple(given(row.feature.name, row.area_mm2, "mm2", MEASURED) for row in wetted.rows
                if row.state is State.WET and row.area_mm2.high > 0.0)  # fmt: skip
    each = Figure(f"area of one {line.name}", wetted.value, "mm2", "sum over the wet features",
                  Source(Kind.DERIVED, f"wetted surface of {part.body.source}"), wet)  # fmt: skip
    return PartArea(line, each, _times(line, each), part, wetted.notes, wetted.rows, plugs_of(part),
                    _carried(line, part))  # fmt: skip


def plugs_of(part: Part) -> Plugs:
    """How far plugs of stated depth go into the mouths; the air in a mouth above the liquid line keeps it off alike."""
    found = _mouths_in_air(part)
    if not part.choices.plug:
        return found
    from areacalc.surface.covering import mouth_plugs

    for name, plugged in mouth_plugs(part.skin, part.choices).items():
        dry = found.get(name, {})
        found[name] = {n: max(plugged.get(n, 0.0), dry.get(n, 0.0)) for n in plugged.keys() | dry.keys()}
    return found


def _mouths_in_air(part: Part) -> dict[str, dict[int, float]]:
    """Feature -> mouth (from 1) -> how far in the liquid line crosses its axis [mm]."""
    hanging, found = part.hanging, dict[str, dict[int, float]]()
    if hanging is None or hanging.line_mm is None:
        return found
    up = np.asarray(hanging.up)
    for feature in part.skin.features:
        steep = abs(float(up @ np.asarray(feature.axis))) if feature.axis is not None else 0.0
        for number, mouth in enumerate(feature.mouths, 1):
            above_mm = float(up @ np.asarray(mouth)) - hanging.line_mm
            if 0.0 < above_mm < steep * (feature.depth_mm or 0.0):
                found.setdefault(feature.name, {})[number] = above_mm / steep
    return found


def _carried(line: PartLine, part: Part) -> Figure | None:
    """The liquid that one part carries out in what holds it as it hangs [mL]."""
    hanging = part.hanging
    if hanging is None:
        return None
    return given(f"liquid held in one {line.name}", hanging.liquid.volume_mm3 * 1e-3, "mL",
                 Source(Kind.DERIVED, f"volume below the spill-over of {part.body.source} as it hangs"))  # fmt: skip


def _times(line: PartLine, each: Figure) -> Figure:
    number = given(f"count of {line.name}", float(line.count), "", _COUNTED)
    return worked(f"area of all {line.name}", "mm2", "count x area", _COUNT, lambda n, a: n * a, number, each)
