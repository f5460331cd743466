"""Which column of a table of points is the position and which the diameter or radius, by the words of its heading."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS


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
_MOST_LETTERS = 200
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
    if len(heading) > _MOST_LETTERS:
        raise BadInput(where, f"has a heading of {len(heading)} letters", "write short headings, as in 'x;diameter'")
    plain = unicodedata.normalize("NFKD", heading.translate(_LETTERS)).casefold()
    words = re.findall(r"[^\W\d_]+|⌀", "".join(letter for letter in plain if not unicodedata.combining(letter)))
    roles = {_ROLE_OF[word] for word in words if word in _ROLE_OF}
    if len(roles) > 1:
        raise BadInput(where, f"the heading '{heading}' names {' and '.join(sorted(roles))}", "name one of them")
    units = [_UNIT_WORDS[word] for word in words if word in _UNIT_WORDS]
    return (roles.pop() if roles else None), (units[-1] if units else None)  # "Radius in mm" is not in inches
