"""STEP files (ISO 10303, AP203, AP214, AP242): exact areas of every face, and a mesh that hangs together."""

import os
from dataclasses import replace
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.fence import CLOCK, Bounds, Budget, fenced, machine_bytes
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import FileNote, Note, UnitBasis, UnitHow, in_mm

SECONDS_VARIABLE = "AREACALC_STEP_SECONDS"
MEMORY_VARIABLE = "AREACALC_STEP_MEMORY_GB"
_SECONDS, _SECONDS_PER_MB = 10.0, 15.0  # of processor, up to a megabyte and for each more; usual are 1 to 4 a megabyte
_MEMORY_GB, _MEMORY_GB_PER_MB = 1.4, 0.15  # of addresses, of which the kernel's own code fills 0.6
_MEMORY_SHARE = 0.75  # of the machine's
_MOST_LIMIT = 1e6  # seconds or GB: chosen, and far beyond any file
_CLOSES = Note(fact(FileNote.FACES_CLOSE))


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in a STEP file: one Face for each exact face, its area exact, its triangles sharing their edges' points.

    The file's own unit holds; `unit` overrules it and a Note says so. Raises BadInput: not STEP, cut short, an entity
    missing, not read whole, no solid and no surface, the kernel crashed, hung or ran out of memory.
    """
    units_mm, body = fenced("areacalc.shape.step.step_inside:read_inside", (path.resolve(),), _bounds(path))
    declared = [Unit(_unit_name(mm), mm) for mm in units_mm]
    if unit is not None and len(declared) > 1:
        mixed = " and ".join(u.name for u in declared)
        raise BadInput(path.name, f"mixes units ({mixed}), so that {unit.name} cannot overrule them", "give no unit")
    basis, unit_notes = decide_unit(unit, declared[0] if declared else None)
    if len(declared) > 1:
        basis = UnitBasis("mixed", UnitHow.DECLARED, 1.0)
        unit_notes = (Note(fact(FileNote.UNIT_MIXED, units=tuple(u.name for u in declared))),)
    # the kernel hands back mm by the declared unit; only a person's own unit changes that
    scale = 1.0 if unit is None else unit.mm / (declared[0].mm if declared else 1.0)
    if unit is not None and declared and scale == 1.0:
        unit_notes = ()
    body = replace(_scaled(body, scale), name=path.stem, source=path.name, unit=basis)
    is_open = [note.fact.kind is FileNote.OPEN_SURFACES for note in body.notes]
    closes = any(is_open) and body.closed
    notes = (_CLOSES if closes and opened else note for note, opened in zip(body.notes, is_open, strict=True))
    return replace(body, notes=(*unit_notes, *notes))


def _scaled(body: Body, by: float) -> Body:
    """The body with every length so many times as large."""
    if by == 1.0:
        return body
    faces = []
    for face in body.faces:
        s = face.surface
        x, y, z = s.point
        surface = replace(s, point=(by * x, by * y, by * z), radius_mm=by * s.radius_mm,
                          minor_radius_mm=by * s.minor_radius_mm)  # fmt: skip
        area, error = by**2 * face.area_mm2, by**2 * face.area_error_mm2
        faces.append(replace(face, surface=surface, area_mm2=area, area_error_mm2=error))
    return replace(body, vertices=body.vertices * by, faces=tuple(faces), reach_mm=tuple(by * x for x in body.reach_mm),
                   notes=tuple(in_mm(note, by) for note in body.notes))  # fmt: skip


def _bounds(path: Path) -> Bounds:
    """What the kernel may take for a file of this size, or what the settings of the environment allow."""
    megabytes = path.stat().st_size / 1e6
    seconds = _setting(SECONDS_VARIABLE)
    own = seconds or _SECONDS + _SECONDS_PER_MB * max(0.0, megabytes - 1.0)
    machine_gb = _MEMORY_SHARE * machine_bytes() / 2**30
    gigabytes = _setting(MEMORY_VARIABLE) or min(_MEMORY_GB + _MEMORY_GB_PER_MB * megabytes, machine_gb)
    return Bounds(
        path.name, Budget(own, seconds or CLOCK * own, int(gigabytes * 2**30)), "the CAD kernel",
        f"export a simpler part, or set {SECONDS_VARIABLE} higher",
        f"export a simpler part, or set {MEMORY_VARIABLE} higher",
    )  # fmt: skip


def _setting(variable: str) -> float | None:
    text = os.environ.get(variable)
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value <= _MOST_LIMIT:
        said = f"'{text}' is not a number above zero and up to {_MOST_LIMIT:.0f}"
        raise BadInput(variable, said, "set it to a number, or unset it")
    return value


def _unit_name(mm: float) -> str:
    """As in LENGTH_UNITS where it is one of them."""
    near = [u.name for u in LENGTH_UNITS.values() if abs(u.mm - mm) <= 1e-9 * mm]
    return near[0] if near else f"{mm:g} mm"
