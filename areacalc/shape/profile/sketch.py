"""A turned part as a person writes it: points of the outside, bores from their mouths, in short words.

    0 12, 40 12, 40 8 r1, 60 8; bore right 6 x 30 drill 118; unit mm

Points are position and diameter, parted by commas. After a point: `r1` fillet or `c1` chamfer at that corner; for the
length that ends there `arc r20 [in] [large]`, `arc centre 30 0 [ccw]`, `thread M10x1.5` or `knurl 0.8`. Clauses, parted
by semicolons: `bore left|right|through ...`, `unit mm`, `measure radius`, `name pen body`. A bore is one or more steps
`8 x 30, 6 x 50` (each depth from the mouth) or, through, `8 x 30, 6`; then `drill 118` (the default), `flat`,
`chamfer 0.5` at its mouth, `thread M6` after a step.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field

from areacalc.errors import BadInput, UnknownName
from areacalc.quantity import LENGTH_UNITS, Dimension, length_unit, parse
from areacalc.shape.profile.outline import Arc, BoreDiameter, BoreWords, Vertex
from areacalc.shape.profile.profile import Knurl
from areacalc.shape.profile.thread import Thread, parse_thread

DRILL_POINT_DEG = 118.0
UNNAMED = "profile"
_MOST_LETTERS = 300  # in the words of one point or bore
_BARE = re.compile(r"[-+]?\d{1,12}(\.\d{0,12})?")
_PLAIN_LEAST, _PLAIN_MOST = 1e-6, 1e5  # mm; what is smaller or larger is looked at more closely
_POINTED = "decimals take a point, as in 12.5"
_SPACED_UNIT = re.compile(  # not after r25, where `in` is a way to bend
    rf"(?:(?<!\S)|(?<=x))([-+.,/\d]*\d\.?)\s+({'|'.join(LENGTH_UNITS)}|inch|inches|\")(?=[\s,;]|$)", re.I
)


@dataclass(frozen=True, slots=True)
class Sketch:
    """The words of a profile, kept as written: what a TOML file holds and what a page sends back and forth."""

    outside: tuple[str, ...]
    bores: tuple[str, ...] = ()
    unit: str = "mm"
    measure: str = "diameter"
    name: str = UNNAMED
    unit_is_declared: bool = field(default=False, compare=False)

    def to_dict(self) -> dict[str, object]:
        """The sketch as plain data, with the keys of a TOML file.

        >>> Sketch.from_dict(sketch_of("0 12, 40 12; bore left 6 x 20").to_dict()).bores
        ('left 6 x 20',)
        """
        plain = asdict(self)
        del plain["unit_is_declared"]
        return {key: list(value) if isinstance(value, tuple) else value for key, value in plain.items()}

    def to_toml(self) -> str:
        """The sketch as a TOML file that reads back as the same sketch."""
        quote = json.dumps  # a JSON string of plain text is a TOML basic string
        lines = [f"{key} = {quote(getattr(self, key), ensure_ascii=False)}" for key in ("name", "unit", "measure")]
        for key in ("outside", "bores"):
            items = "".join(f"    {quote(item, ensure_ascii=False)},\n" for item in getattr(self, key))
            lines.append(f"{key} = [\n{items}]" if items else f"{key} = []")
        return "\n".join(lines) + "\n"

    @classmethod
    def from_dict(cls, table: Mapping[str, object], where: str = "profile") -> Sketch:
        """The sketch in a table with the keys name, unit, measure, outside, bores. Raises BadInput, UnknownName."""
        known = ("name", "unit", "measure", "outside", "bores")
        for key in table:
            if key not in known:
                raise UnknownName.among(where, key, known)
        if "outside" not in table:
            raise BadInput(where, "has no 'outside'", 'write outside = ["0 12", "40 12"]')
        words = {key: table[key] for key in ("name", "unit", "measure") if key in table}
        for key, value in words.items():
            if not isinstance(value, str):
                raise BadInput(f"{where}, {key}", f"{value!r} is not a text", f'write {key} = "..."')
        return cls(
            _lines(table["outside"], f"{where}, outside"),
            _lines(table.get("bores", ()), f"{where}, bores", split=";"),
            unit_is_declared="unit" in words,
            **{key: str(value) for key, value in words.items()},
        )


def _lines(given: object, where: str, split: str = ",") -> tuple[str, ...]:
    if isinstance(given, str):
        return tuple(_tight(part) for part in given.split(split) if part.strip())
    if not isinstance(given, (list, tuple)):
        raise BadInput(where, f"{given!r} is not a list", 'write a list such as ["0 12", "40 12"]')
    out = []
    for number, item in enumerate(given, 1):
        if isinstance(item, str):
            out.append(_tight(item))
        elif isinstance(item, (list, tuple)) and all(isinstance(x, (int, float, str)) for x in item) and len(item) >= 2:
            out.append(" ".join(str(x) for x in item))
        else:
            raise BadInput(f"{where}, item {number}", f"{item!r} is not a point", 'write "0 12" or [0, 12]')
    return tuple(out)


def _tight(words: str) -> str:
    """The words with each number's unit set close to it, for a space parts the numbers of a point.

    >>> _tight("2 in 1/2 in arc r25 in")
    '2in 1/2in arc r25 in'
    """
    return _SPACED_UNIT.sub(r"\1\2", words.strip())


def sketch_of(line: str, where: str = "profile") -> Sketch:
    """The sketch in one line of words. Raises BadInput.

    >>> sketch_of("0 1/2, 2 1/2; bore through 1/4; unit in").unit
    'in'
    """
    outside: list[str] = []
    bores: list[str] = []
    named: dict[str, str] = {}
    for clause in (part.strip() for part in re.split(r"[;\n]", line)):
        head, _, rest = clause.partition(" ")
        match head.lower():
            case "":
                continue
            case "bore":
                bores.append(_tight(rest))
            case "unit" | "measure" | "name":
                if head.lower() in named:
                    raise BadInput(where, f"says its {head.lower()} twice", "say it once")
                named[head.lower()] = rest.strip()
            case "outside":
                outside += _lines(rest, where)
            case word if word.isalpha():
                raise BadInput(where, f"'{head}' starts no clause",
                               "start with bore (as in 'bore through 8'), outside, unit, measure or name")  # fmt: skip
            case _:
                outside += _lines(clause, where)
    if not outside:
        raise BadInput(where, "gives no points of the outside", "write position and diameter, as in '0 12, 40 12'")
    return Sketch(tuple(outside), tuple(bores), unit_is_declared="unit" in named, **named)


@dataclass(frozen=True, slots=True)
class SketchReading:
    """How a sketch's numbers are read: the unit of bare ones, and whether the second of a point is a diameter."""

    unit: str
    diameter: bool

    def length(self, word: str, where: str) -> float:
        """One length [mm]: a bare number, a fraction, or a number with its unit and no space between."""
        if _BARE.fullmatch(word):  # by far the most, and a table has thousands
            value = float(word) * LENGTH_UNITS[self.unit].mm
            if _PLAIN_LEAST <= abs(value) <= _PLAIN_MOST:
                return value
        return parse(word, Dimension.LENGTH, where, default_unit=self.unit)

    def radius(self, word: str, where: str) -> float:
        """A distance across or from the axis as a radius [mm]."""
        across = self.length(word, where)
        return across / 2 if self.diameter else across


def reading(sketch: Sketch, where: str) -> SketchReading:
    """The unit and the measure of a sketch. Raises BadInput for ones that are not known."""
    measure = sketch.measure.strip().lower()
    if measure not in ("diameter", "radius"):
        raise BadInput(f"{where}, measure", f"'{sketch.measure}' is neither diameter nor radius", "write one of them")
    return SketchReading(length_unit(sketch.unit, f"{where}, unit").name, measure == "diameter")


def vertex(words: str, read: SketchReading, where: str) -> Vertex:
    """One point of an outline with what is said of it. Raises BadInput."""
    _refuse_long(words, where)
    tokens = words.split()
    if len(tokens) < 2:
        raise BadInput(where, f"'{words}' is not a point", f"write position and diameter, as in '40 12'; {_POINTED}")
    spot = (read.length(tokens[0], where), read.radius(tokens[1], where))
    if spot[1] < 0:
        raise BadInput(where, f"'{words}' lies across the axis", "give a diameter of 0 or more")
    said: dict[str, object] = {}
    rest = tokens[2:]
    while rest:
        one: dict[str, object] = {}
        word, rest = rest[0], _say(one, rest, read, where)
        if one.keys() & said.keys() or {"fillet_mm", "chamfer_mm"} <= one.keys() | said.keys():
            raise BadInput(where, f"'{word}' is one word too many in '{words}'", _ONCE)
        said |= one
    return Vertex(spot, place=where.rpartition(", ")[2], **said)  # type: ignore[arg-type]


_ONCE = "a corner takes one of r and c; a length takes one thread, knurl or arc"


def _refuse_long(words: str, where: str) -> None:
    if len(words) > _MOST_LETTERS:
        raise BadInput(where, f"'{words[:30]}...' is {len(words)} letters long", "part the points by commas")


_SHORT = re.compile(r"([rc])(.*\d.*)$", re.I)


def _say(said: dict[str, object], tokens: list[str], read: SketchReading, where: str) -> list[str]:
    """Take one word and what belongs to it off the front."""
    word, rest = tokens[0].lower(), tokens[1:]
    if short := _SHORT.match(word):
        key = "fillet_mm" if short[1] == "r" else "chamfer_mm"
        said[key] = _positive(short[2], read, where)
        return rest
    if word in ("fillet", "chamfer", "thread", "knurl") and not rest:
        raise BadInput(where, f"'{word}' says no size", f"write it like '{word} 1'")
    match word:
        case "fillet" | "chamfer":
            said[f"{word}_mm"] = _positive(rest[0], read, where)
            return rest[1:]
        case "thread":
            words = 2 if len(rest) > 1 and rest[1].upper() in ("UNC", "UNF", "UNEF", "UN") else 1
            said["dress"] = parse_thread(" ".join(rest[:words]), where)
            return rest[words:]
        case "knurl":
            said["dress"] = Knurl(_positive(rest[0], read, where))
            return rest[1:]
        case "arc":
            said["arc"], left = _arc(rest, read, where)
            return left
    known = "after a point: r1, c1, arc r20, thread M10x1.5, knurl 0.8"
    remedy = f"a comma ends a point; {_POINTED}" if tokens[0][:1].isdigit() else known
    raise BadInput(where, f"'{tokens[0]}' is not understood", remedy)


def _arc(tokens: list[str], read: SketchReading, where: str) -> tuple[Arc, list[str]]:
    if tokens and tokens[0].lower() in ("centre", "center") and len(tokens) >= 3:
        centre = (read.length(tokens[1], where), read.radius(tokens[2], where))
        left = tokens[3:]
        turns = bool(left) and left[0].lower() in ("cw", "ccw")
        return Arc(centre=centre, clockwise=not turns or left[0].lower() == "cw"), left[1:] if turns else left
    if not tokens or not tokens[0].lower().startswith("r") or len(tokens[0]) < 2:
        raise BadInput(where, "an arc needs its radius or its centre", "write 'arc r20' or 'arc centre 30 0'")
    radius = _positive(tokens[0][1:], read, where)
    left = tokens[1:]
    out, large = True, False
    while left and left[0].lower() in ("in", "out", "large", "small"):
        word = left.pop(0).lower()
        out = word == "out" if word in ("in", "out") else out
        large = word == "large" if word in ("large", "small") else large
    return Arc(radius, out, large), left


def _positive(word: str, read: SketchReading, where: str) -> float:
    value = read.length(word, where)
    if value <= 0.0:
        raise BadInput(where, f"a size of {word} must be above zero", "give a larger size")
    return value


_STEP = re.compile(r"(?P<d>\S+?)\s*(?:[x×]\s*(?P<depth>\S+))?(?:\s+thread\s+(?P<thread>\S+(?:\s+UN\w*)?))?$", re.I)
_TAIL = re.compile(
    r"\s+(?:(?P<flat>flat)|drill\s+(?P<drill>\S+)|(?:chamfer\s+|c)(?P<chamfer>[\d./]\S*)"
    r"|(?P<thread>thread\s+\S+(?:\s+UN\w*)?))$",
    re.I,
)


_ENDINGS = {"drill": "floor (flat or drill)", "chamfer": "chamfer", "thread": "thread"}


def bore_words(words: str, read: SketchReading, where: str) -> BoreWords:
    """A bore from its words, after the word `bore`. Raises BadInput.

    >>> bore_words("left 8 x 30, 6 x 50 drill 118", SketchReading("mm", True), "bore 1").steps[1].depth_mm
    50.0
    """
    _refuse_long(words, where)
    text = words.strip()
    head, _, rest = text.partition(" ")
    side = head.lower()
    if side not in ("left", "right", "through"):
        raise BadInput(where, f"'{words}' does not say where the bore opens",
                       "begin with left, right or through, as in 'through 8'")  # fmt: skip
    if side == "through" and rest.split(" ")[0].lower() in ("left", "right"):
        side, (_, _, rest) = f"through {rest.split(' ')[0].lower()}", rest.partition(" ")
    point: float | None = DRILL_POINT_DEG
    chamfer, threads = 0.0, ""  # the ending's words stand in any order; a thread among them is that of the last step
    said: set[str | None] = set()
    while tail := _TAIL.search(rest):
        rest = rest[: tail.start()]
        kind = "drill" if tail["flat"] else tail.lastgroup
        if kind in said:
            raise BadInput(where, f"'{words}' says its {_ENDINGS[kind or '']} twice", "say it once")
        said.add(kind)
        if tail["flat"]:
            point = None
        elif tail["drill"]:
            point = parse(tail["drill"].rstrip("°"), Dimension.ANGLE, where, default_unit="deg")
            if not 20.0 <= point < 180.0:
                raise BadInput(where, f"a drill point cannot have {point:g} degrees", "give its angle, such as 118")
        elif tail["thread"]:
            threads = f" {tail['thread']}{threads}"
        else:
            chamfer = _positive(tail["chamfer"], read, where)
    steps = tuple(_bore_step(part.strip(), read, where) for part in f"{rest}{threads}".split(",") if part.strip())
    if not steps:
        raise BadInput(where, f"'{words}' gives no diameter", "write it, as in 'left 8 x 30' or 'through 8'")
    return BoreWords(side, steps, point, chamfer)


def _bore_step(words: str, read: SketchReading, where: str) -> BoreDiameter:
    found = _STEP.match(words)
    if not found:
        raise BadInput(where, f"'{words}' is not a step of a bore",
                       "write diameter x depth, as in '8 x 30', and a comma between steps")  # fmt: skip
    radius = read.radius(found["d"], where)
    if radius <= 0.0:
        raise BadInput(where, f"a bore of {found['d']} must be above zero", "give its diameter")
    depth = _positive(found["depth"], read, where) if found["depth"] else None
    thread: Thread | None = parse_thread(found["thread"], where) if found["thread"] else None
    return BoreDiameter(radius, depth, thread)
