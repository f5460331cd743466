"""What the text of a STEP file (ISO 10303-21) shows before any kernel sees it: is it whole, and in which unit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from areacalc.errors import BadInput

_STRING_OR_COMMENT = re.compile(rb"'(?:[^']|'')*'|/\*.*?\*/", re.S)
_DEFINED = re.compile(rb"#(\d+)\s*=")
USED = re.compile(rb"#(\d+)")
_RECORD = re.compile(rb"#(\d+)\s*=\s*([^;]*);")
_END = re.compile(rb"END-ISO-10303-21\s*;")
_SCHEMA = re.compile(rb"FILE_SCHEMA\s*\(\s*\(\s*'([^']*)'", re.S)
_CONTEXT = re.compile(rb"=[^;]*GEOMETRIC_REPRESENTATION_CONTEXT\s*\(\s*3\s*\)[^;]*;")
_SI_METRE = re.compile(rb"SI_UNIT\s*\(\s*(?:\$|\.(\w+)\.)\s*,\s*\.METRE\.\s*\)")
_MEASURE = re.compile(rb"MEASURE_WITH_UNIT\s*\(\s*(?:LENGTH_MEASURE\s*\(\s*)?([-+.\dEe]+)\s*\)?\s*,\s*#(\d+)")
_PREFIX = {b"": 1.0, b"KILO": 1e3, b"HECTO": 1e2, b"DECA": 10.0, b"DECI": 0.1, b"CENTI": 1e-2, b"MILLI": 1e-3,
           b"MICRO": 1e-6, b"NANO": 1e-9}  # fmt: skip
_NO_RADIUS = re.compile(
    rb"#(\d+)\s*=\s*((?:CYLINDRICAL|SPHERICAL|TOROIDAL)_SURFACE)\s*\([^;]*,\s*-?0*\.?0*(?:E[-+]?\d+)?\s*\)\s*;"
)
_NO_BOUND = re.compile(rb"#(\d+)\s*=\s*(ADVANCED_FACE|FACE_SURFACE)\s*\(\s*''\s*,\s*\(\s*\)")
_OTHER_FILE = re.compile(rb"=\s*DOCUMENT_FILE\s*\(\s*'([^']+)'")
_SHAPE = re.compile(
    rb"\b(MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP|SHELL_BASED_SURFACE_MODEL|FACE_BASED_SURFACE_MODEL"
    rb"|GEOMETRIC_SET|GEOMETRICALLY_BOUNDED_SURFACE_SHAPE_REPRESENTATION|ADVANCED_FACE|FACE_SURFACE|OPEN_SHELL"
    rb"|CLOSED_SHELL|TESSELLATED_SOLID|TESSELLATED_SHELL|TRIANGULATED_FACE|COMPLEX_TRIANGULATED_FACE"
    rb"|TRIANGULATED_SURFACE_SET|COMPLEX_TRIANGULATED_SURFACE_SET|EXTRUDED_AREA_SOLID|REVOLVED_AREA_SOLID|CSG_SOLID"
    rb"|BOOLEAN_RESULT|BLOCK|RIGHT_CIRCULAR_CYLINDER)\s*\("
)


@dataclass(frozen=True, slots=True)
class StepText:
    """The schema's name, the number of entities, the distinct length units of 3-D geometry in mm, most used first."""

    schema: str
    entities: int
    units_mm: tuple[float, ...]


def read_step_text(path: Path) -> StepText:
    """Read and check the text of a STEP file.

    Raises BadInput: not STEP, cut short, an entity that is used but not there, an entity given twice, a surface without
    a radius, a face without a boundary, nothing in it that has a surface.
    """
    raw = path.read_bytes()
    text = _STRING_OR_COMMENT.sub(b"''", raw)
    if not text.lstrip(b"\xef\xbb\xbf \t\r\n'").startswith(b"ISO-10303-21"):
        raise BadInput(path.name, "is not a STEP file: it does not begin with ISO-10303-21", "export the part as STEP")
    if not _END.search(text):
        what = "is cut short: the closing END-ISO-10303-21 is missing"
        raise BadInput(path.name, what, "copy or export the file again")
    starts = {int(m[1]): m.end() for m in _DEFINED.finditer(text)}
    _check_references(path.name, text, starts)
    for pattern, what in ((_NO_RADIUS, "has no radius"), (_NO_BOUND, "has no boundary")):
        if wrong := pattern.search(text):  # the kernel would leave the face out and say nothing
            where = f"{path.name}, #{wrong[1].decode()}"
            raise BadInput(where, f"the {wrong[2].decode()} {what}", "export the part again")
    found = _SCHEMA.search(raw)
    schema = found[1].decode("ascii", "replace").strip().split("{")[0].strip() if found else ""
    if not _SHAPE.search(text):
        if elsewhere := [name.decode("utf-8", "replace") for name in _OTHER_FILE.findall(raw)]:
            more = f" and {len(elsewhere) - 2} more" if len(elsewhere) > 2 else ""
            what = f"keeps its parts in other files ({', '.join(elsewhere[:2])}{more})"
            raise BadInput(path.name, what, "give those files, or export it all as one file")
        what = f"holds no solid and no surface ({len(starts)} entities of other kinds)"
        raise BadInput(path.name, what, "export the part itself as a solid")
    return StepText(schema, len(starts), _units_mm(text, starts))


def records(raw: bytes) -> list[tuple[int, bytes]]:
    """The number and words of every record, in the file's order, strings and comments emptied.

    >>> records(b"#3=PLANE('a;b',#7);#7 = AXIS2_PLACEMENT_3D();")
    [(3, b"PLANE('',#7)"), (7, b'AXIS2_PLACEMENT_3D()')]
    """
    text = _STRING_OR_COMMENT.sub(b"''", raw)
    return [(int(number), words) for number, words in _RECORD.findall(text)]


def _units_mm(text: bytes, starts: dict[int, int]) -> tuple[float, ...]:
    """The length units that the contexts of 3-D geometry assign, most used first."""
    uses: dict[float, int] = {}
    for context in _CONTEXT.finditer(text):
        if b"GLOBAL_UNIT_ASSIGNED_CONTEXT" not in context[0]:
            continue
        for number in USED.findall(context[0].split(b"GLOBAL_UNIT_ASSIGNED_CONTEXT")[1].split(b")")[0]):
            mm = _unit_mm(text, starts, int(number), 4)
            if mm is not None:
                uses[mm] = uses.get(mm, 0) + 1
    return tuple(sorted(uses, key=lambda mm: -uses[mm]))


def _unit_mm(text: bytes, starts: dict[int, int], number: int, depth: int) -> float | None:
    """The length unit that #number is, in mm, through its chain of conversions; None for what is no length."""
    if depth == 0:
        return None
    body = text[starts[number] : text.find(b";", starts[number])]
    if si := _SI_METRE.search(body):
        return 1e3 * _PREFIX[si[1] or b""] if (si[1] or b"") in _PREFIX else None
    if b"LENGTH_UNIT" in body and (conversion := re.search(rb"CONVERSION_BASED_UNIT\s*\([^#]*#(\d+)", body)):
        return _unit_mm(text, starts, int(conversion[1]), depth - 1)
    if measure := _MEASURE.search(body):
        base = _unit_mm(text, starts, int(measure[2]), depth - 1)
        return None if base is None else float(f"{float(measure[1]) * base:.12g}")
    return None


def _check_references(name: str, text: bytes, starts: dict[int, int]) -> None:
    """Raise BadInput unless every #n that is used is there, once."""
    if not starts:
        raise BadInput(name, "holds no entity", "export the part as STEP again")
    known = np.sort(np.fromiter(starts, np.int64, len(starts)))
    used = np.unique(np.array(USED.findall(text)).astype(np.int64))
    lost = np.setdiff1d(used, known, assume_unique=True)
    if len(lost):
        user = re.search(rb"#(\d+)\s*=[^;]*#%d(?!\d)" % lost[0], text)
        where = f"{name}, #{user[1].decode()}" if user else name
        more = f" (and {len(lost) - 1} more)" if len(lost) > 1 else ""
        raise BadInput(where, f"uses #{lost[0]}{more}, which the file does not hold", "export the part again")
    if len(_DEFINED.findall(text)) > len(starts):
        seen: set[int] = set()
        twice = next(n for m in _DEFINED.finditer(text) if (n := int(m[1])) in seen or seen.add(n))  # type: ignore[func-returns-value]
        raise BadInput(f"{name}, #{twice}", "is given more than once", "export the part again")
