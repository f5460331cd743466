"""Lathe profiles from files: TOML, CSV of two columns told apart by the words of their headings, DXF."""

import csv
import re
import tomllib
import unicodedata
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import LENGTH_UNITS, Unit
from areacalc.shape.body import Body
from areacalc.shape.kinds import FileNote, Note
from areacalc.shape.profile.profile import Profile
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.sketch import Sketch
from areacalc.shape.profile.turn import in_unit, refuse_many
from areacalc.shape.small_text import PROFILE, refuse_others, toml_table


class Role(StrEnum):
    """What the numbers of a column are."""

    POSITION = "position"
    DIAMETER = "diameter"
    RADIUS = "radius"


# whole words in English, German, French, Spanish, Italian, Portuguese, Dutch, Swedish, Polish, Czech, Russian,
# Chinese and Japanese; accents are taken off before they are looked for
_WORDS = {
    Role.POSITION: (
        "x z l pos position positions length distance station axial abscissa laenge lange abstand stelle weg longueur "
        "abscisse cote posicion longitud largo posizione lunghezza distanza quota posicao comprimento positie lengte "
        "afstand lage langd pozycja dlugosc odleglosc poloha delka vzdalenost положение позиция длина расстояние "
        "位置 长度 長度 長さ"
    ),
    Role.DIAMETER: (
        "d o ⌀ dia diam diameter diameters durchmesser diametre diametro diametros srednica prumer diametr диаметр "
        "直径 直徑 外径 外徑"
    ),
    Role.RADIUS: (
        "r rad radius radii halbmesser rayon radio raggio raio straal radie promien polomer радиус 半径 半徑"
    ),
}  # fmt: skip
_ROLE_OF = {word: role for role, words in _WORDS.items() for word in words.split()}
_UNIT_WORDS = {name.casefold(): name for name in LENGTH_UNITS}
_MOST_HEADING = 200
_LETTERS = str.maketrans({"ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "µ": "u", "μ": "u"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column: what it is, its unit where the heading names one, and its heading ("" where it has none)."""

    role: Role
    unit: str | None = None
    heading: str = ""
    named: bool = False  # whether the heading said so


def columns(headings: list[str], where: str) -> tuple[Column, Column]:
    """The first two columns by their headings; those that say nothing are position, then diameter.

    Raises BadInput: a heading that is too long or names two things, two columns of one kind.

    >>> [c.role.value for c in columns(["outer diameter", "x [in]"], "knob.csv, line 1")]
    ['diameter', 'position']
    >>> columns(["Laenge", "Radius in mm"], "knob.csv, line 1")[1].unit
    'mm'
    """
    found = [_named(heading.strip(), where) for heading in headings[:2]]
    roles = [role for role, _ in found]
    if len(found) < 2:
        raise BadInput(where, "has one column", "write position and diameter, as in 'x;diameter'")
    across = [role for role in roles if role not in (None, Role.POSITION)]
    if len(across) == 2 or roles == [Role.POSITION, Role.POSITION]:
        what = f"'{headings[0]}' is a {roles[0]} and '{headings[1]}' a {roles[1]}"
        raise BadInput(where, what, "give the position in one column, the diameter or radius in the other")
    first = roles[0] or (Role.POSITION if roles[1] is not Role.POSITION else Role.DIAMETER)
    second = roles[1] or (Role.DIAMETER if first is Role.POSITION else Role.POSITION)
    return tuple(  # type: ignore[return-value]
        Column(role, unit, heading.strip(), named is not None)
        for role, (named, unit), heading in zip((first, second), found, headings, strict=False)
    )


def _named(heading: str, where: str) -> tuple[Role | None, str | None]:
    if len(heading) > _MOST_HEADING:
        raise BadInput(where, f"has a heading of {len(heading)} letters", "write short headings, as in 'x;diameter'")
    plain = unicodedata.normalize("NFKD", heading.translate(_LETTERS)).casefold()
    words = re.findall(r"[^\W\d_]+|⌀", "".join(letter for letter in plain if not unicodedata.combining(letter)))
    roles = {_ROLE_OF[word] for word in words if word in _ROLE_OF}
    if len(roles) > 1:
        raise BadInput(where, f"the heading '{heading}' names {' and '.join(sorted(roles))}", "name one of them")
    units = [_UNIT_WORDS[word] for word in words if word in _UNIT_WORDS]
    return (roles.pop() if roles else None), (units[-1] if units else None)  # "Radius in mm" is not in inches


def read(path: Path, unit: Unit | None = None) -> Body:
    """The profile in a file, turned into a Body. Raises BadInput."""
    return revolve(read_profile(path, unit))


def read_profile(path: Path, unit: Unit | None = None) -> Profile:
    """The profile in a TOML, CSV or DXF file; the unit given wins over the file's. Raises BadInput."""
    kind = path.suffix.lower()
    if kind == ".dxf":
        from areacalc.shape.profile.read_dxf import read_dxf

        return read_dxf(path, unit)
    sketch, told = (_toml(path), ()) if kind == ".toml" else _csv(path, overruled=unit is not None)
    profile = in_unit(sketch, path.name, unit)
    return replace(profile, notes=(*profile.notes, *told))


def _text(path: Path) -> str:
    try:
        return path.read_text("utf-8-sig")
    except UnicodeDecodeError as mistake:
        raise BadInput(f"{path.name}, byte {mistake.start}", "is not UTF-8 text", "save it as UTF-8") from None


def _toml(path: Path) -> Sketch:
    try:
        table = toml_table(_text(path), path.name)
    except tomllib.TOMLDecodeError as mistake:
        what = f"is not TOML: {mistake}"
        raise BadInput(path.name, what, 'write lines such as outside = ["0 12", "40 12"]') from None
    refuse_others(table, PROFILE, path.name)
    return Sketch.from_dict({"name": path.stem, **table}, path.name)


_NUMBER = re.compile(r"[-+.\d,/]+\S*")
_MOST_LETTERS = 1000  # in a line: a point and what is said of it take a tenth


def _csv(path: Path, overruled: bool) -> tuple[Sketch, tuple[Note, ...]]:
    """The points of a table, and how its columns were read: by its heading, else position and diameter.

    overruled: whether the units of the headings do not count, since the person gave one.
    """
    rows = [(number, line) for number, line in enumerate(_text(path).splitlines(), 1) if _says(line)]
    if not rows:
        raise BadInput(path.name, "holds no points", "write position and diameter, one point a line")
    refuse_many(len(rows), path.name)
    first = rows[0][1]
    mark = ";" if ";" in first else "\t" if "\t" in first else ","
    cells = [_cells(line, mark, f"{path.name}, line {number}") for number, line in rows]
    if _NUMBER.match(cells[0][0]):
        heads = Column(Role.POSITION), Column(Role.DIAMETER)
    else:
        heads = columns(cells[0], f"{path.name}, line {rows[0][0]}")
        rows, cells = rows[1:], cells[1:]
    units = {column.unit for column in heads if column.unit}
    along = 0 if heads[0].role is Role.POSITION else 1
    points = []
    for (number, line), row in zip(rows, cells, strict=True):
        if len(row) < 2 or not all(_NUMBER.fullmatch(cell) for cell in row[:2]):
            where = f"{path.name}, line {number}"
            raise BadInput(where, f"'{line.strip()[:60]}' is not a point", "write position and diameter")
        if len(units) > 1 and not overruled:
            row[:2] = [_with_unit(cell, column.unit) for cell, column in zip(row, heads, strict=False)]
        points.append(" ".join([row[along], row[1 - along], *(cell for cell in row[2:] if cell)]))
    measure = "radius" if Role.RADIUS in (heads[0].role, heads[1].role) else "diameter"
    read = fact(FileNote.COLUMNS_READ, first=heads[0].heading, is_first=heads[0].role, second=heads[1].heading,
                is_second=heads[1].role)  # fmt: skip
    told = Note(read, warns=any(column.heading and not column.named for column in heads))
    unit = next(iter(units)) if len(units) == 1 else "mm"
    return Sketch(tuple(points), (), unit, measure, path.stem, unit_is_declared=bool(units)), (told,)


def _says(line: str) -> bool:
    """Whether a line holds anything but a remark or empty cells."""
    return not line.lstrip().startswith("#") and any(letter not in " \t,;" for letter in line)


def _cells(line: str, mark: str, where: str) -> list[str]:
    if len(line) > _MOST_LETTERS:
        raise BadInput(where, f"is {len(line)} letters long", "write one point a line")
    return [cell.strip() for cell in next(csv.reader([line], delimiter=mark))]


def _with_unit(cell: str, unit: str | None) -> str:
    return f"{cell}{unit or 'mm'}" if cell[-1:].isdigit() or cell.endswith(".") else cell
