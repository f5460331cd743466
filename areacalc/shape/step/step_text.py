"""What the text of a STEP file (ISO 10303-21) shows before any kernel sees it: is it whole, and in which unit.

Every look at the text is one pass over it: no pattern here can begin again inside what it has passed.
"""

import re
from pathlib import Path

import numpy as np

from areacalc.errors import BadInput

# a text or comment that never closes swallows the rest, so that the end is missed once
_TEXT_OR_COMMENT = re.compile(rb"'[^']*+(?:'|\Z)|/\*.*?(?:\*/|\Z)", re.S)
_DEFINED = re.compile(rb"\s*#(\d{1,15})\s*=\s*")
USED = re.compile(rb"#(\d{1,15})(?!\d)")
_LONG = re.compile(rb"#\d{16}")
_END = re.compile(rb"END-ISO-10303-21\s*;")
_DATA = re.compile(rb"\s*DATA\s*(?:\(|\Z)")
_SPACE_OF_3 = re.compile(rb"GEOMETRIC_REPRESENTATION_CONTEXT\s*\(\s*3\s*\)")
_SI_METRE = re.compile(rb"SI_UNIT\s*\(\s*(?:\$|\.(\w+)\.)\s*,\s*\.METRE\.\s*\)")
_CONVERSION = re.compile(rb"CONVERSION_BASED_UNIT\s*\([^#]*+#(\d{1,15})")
_MEASURE = re.compile(rb"MEASURE_WITH_UNIT\s*\(\s*(?:LENGTH_MEASURE\s*\(\s*)?([-+.\dEe]++)\s*\)?\s*,\s*#(\d{1,15})")
_PREFIX = {b"": 1.0, b"KILO": 1e3, b"HECTO": 1e2, b"DECA": 10.0, b"DECI": 0.1, b"CENTI": 1e-2, b"MILLI": 1e-3,
           b"MICRO": 1e-6, b"NANO": 1e-9}  # fmt: skip
_ROUND = re.compile(rb"(CYLINDRICAL|SPHERICAL|TOROIDAL)_SURFACE\s*\(")
_FACE = re.compile(rb"(ADVANCED_FACE|FACE_SURFACE)\s*\(\s*''\s*,\s*\(\s*\)")
_OTHER_FILE = re.compile(rb"=\s*DOCUMENT_FILE\s*\(\s*'([^']+)'")
_SHAPE = re.compile(
    rb"\b(MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP|SHELL_BASED_SURFACE_MODEL|FACE_BASED_SURFACE_MODEL"
    rb"|GEOMETRIC_SET|GEOMETRICALLY_BOUNDED_SURFACE_SHAPE_REPRESENTATION|ADVANCED_FACE|FACE_SURFACE|OPEN_SHELL"
    rb"|CLOSED_SHELL|TESSELLATED_SOLID|TESSELLATED_SHELL|TRIANGULATED_FACE|COMPLEX_TRIANGULATED_FACE"
    rb"|TRIANGULATED_SURFACE_SET|COMPLEX_TRIANGULATED_SURFACE_SET|EXTRUDED_AREA_SOLID|REVOLVED_AREA_SOLID|CSG_SOLID"
    rb"|BOOLEAN_RESULT|BLOCK|RIGHT_CIRCULAR_CYLINDER)\b"
)


def read_step_text(path: Path) -> tuple[float, ...]:
    """Check the text of a STEP file: the distinct length units of its 3-D geometry [mm], most used first.

    Raises BadInput: not STEP, cut short, an entity that is used but not there, an entity given twice, a surface without
    a radius, a face without a boundary, nothing in it that has a surface.
    """
    raw = path.read_bytes()
    text = _TEXT_OR_COMMENT.sub(b"''", raw)
    if not text.lstrip(b"\xef\xbb\xbf \t\r\n'").startswith(b"ISO-10303-21"):
        raise BadInput(path.name, "is not a STEP file: it does not begin with ISO-10303-21", "export the part as STEP")
    if not _END.search(text):
        what = "is cut short: the closing END-ISO-10303-21 is missing"
        raise BadInput(path.name, what, "copy or export the file again")
    given = _records(text)
    told = dict(given)
    if len(told) < len(given):
        seen: set[int] = set()
        twice = next(n for n, _ in given if n in seen or seen.add(n))  # type: ignore[func-returns-value]
        raise BadInput(f"{path.name}, #{twice}", "is given more than once", "export the part again")
    _check_references(path.name, told)
    _check_faces(path.name, given)  # the kernel would leave them out and say nothing
    if not any(_SHAPE.search(words) for words in told.values()):
        raise _no_shape(path.name, raw, len(told))
    return _units_mm(told)


def records(raw: bytes) -> list[tuple[int, bytes]]:
    """The number and words of every record of the data sections, in the file's order, texts and comments emptied.

    >>> records(b"DATA;#3=PLANE('a;b',#7);#7 = AXIS2_PLACEMENT_3D();ENDSEC;#3=TRACE();")
    [(3, b"PLANE('',#7)"), (7, b'AXIS2_PLACEMENT_3D()')]
    """
    return _records(_TEXT_OR_COMMENT.sub(b"''", raw))


def _records(text: bytes) -> list[tuple[int, bytes]]:
    """What stands between DATA and ENDSEC, up to the end of the exchange: other sections have numbers of their own."""
    out: list[tuple[int, bytes]] = []
    inside = False
    for statement in text.split(b";"):
        if inside and (start := _DEFINED.match(statement)):
            out.append((int(start[1]), statement[start.end() :]))
        elif _DATA.match(statement):
            inside = True
        elif statement.strip() == b"ENDSEC":
            inside = False
        elif statement.strip() == b"END-ISO-10303-21":
            break
    return out


def _no_shape(name: str, raw: bytes, count: int) -> BadInput:
    if elsewhere := [found.decode("utf-8", "replace") for found in _OTHER_FILE.findall(raw)]:
        more = f" and {len(elsewhere) - 2} more" if len(elsewhere) > 2 else ""
        what = f"keeps its parts in other files ({', '.join(elsewhere[:2])}{more})"
        return BadInput(name, what, "give those files, or export it all as one file")
    what = f"holds no solid and no surface ({count} entities of other kinds)"
    return BadInput(name, what, "export the part itself as a solid")


def _check_faces(name: str, given: list[tuple[int, bytes]]) -> None:
    """Raise BadInput for a round surface without a radius and for a face without a boundary."""
    for number, words in given:
        if (kind := _ROUND.match(words)) and _is_zero(words.rpartition(b",")[2]):
            raise BadInput(f"{name}, #{number}", f"the {kind[1].decode()}_SURFACE has no radius", "export it again")
        if kind := _FACE.match(words):
            raise BadInput(f"{name}, #{number}", f"the {kind[1].decode()} has no boundary", "export the part again")


def _is_zero(words: bytes) -> bool:
    try:
        return float(words.strip(b") \t\r\n")) == 0.0
    except ValueError:
        return False


def _units_mm(told: dict[int, bytes]) -> tuple[float, ...]:
    """The length units that the contexts of 3-D geometry assign, most used first."""
    uses: dict[float, int] = {}
    for words in told.values():
        if b"GLOBAL_UNIT_ASSIGNED_CONTEXT" not in words or not _SPACE_OF_3.search(words):
            continue
        for number in USED.findall(words.split(b"GLOBAL_UNIT_ASSIGNED_CONTEXT")[1].split(b")")[0]):
            mm = _unit_mm(told, int(number), 4)
            if mm is not None:
                uses[mm] = uses.get(mm, 0) + 1
    return tuple(sorted(uses, key=lambda mm: -uses[mm]))


def _unit_mm(told: dict[int, bytes], number: int, depth: int) -> float | None:
    """The length unit that #number is, in mm, through its chain of conversions; None for what is no length."""
    words = told.get(number)
    if depth == 0 or words is None:
        return None
    if si := _SI_METRE.search(words):
        return 1e3 * _PREFIX[si[1] or b""] if (si[1] or b"") in _PREFIX else None
    if b"LENGTH_UNIT" in words and (conversion := _CONVERSION.search(words)):
        return _unit_mm(told, int(conversion[1]), depth - 1)
    if measure := _MEASURE.search(words):
        base = _unit_mm(told, int(measure[2]), depth - 1)
        return None if base is None else float(f"{float(measure[1]) * base:.12g}")
    return None


def _check_references(name: str, told: dict[int, bytes]) -> None:
    """Raise BadInput unless every #n that is used is there."""
    if not told:
        raise BadInput(name, "holds no entity", "export the part as STEP again")
    together = b"\n".join(told.values())
    if _LONG.search(together):
        raise BadInput(name, "numbers an entity with more than 15 figures", "export the part again")
    known = np.sort(np.fromiter(told, np.int64, len(told)))
    used = np.unique(np.array(USED.findall(together)).astype(np.int64))
    lost = np.setdiff1d(used, known, assume_unique=True)
    if len(lost):
        wanted = re.compile(rb"#%d(?!\d)" % lost[0])
        user = next(number for number, words in told.items() if wanted.search(words))
        more = f" (and {len(lost) - 1} more)" if len(lost) > 1 else ""
        what = f"uses #{lost[0]}{more}, which the file does not hold"
        raise BadInput(f"{name}, #{user}", what, "export the part again")
