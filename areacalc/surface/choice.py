"""What a person decides about a part's skin: plugs, masks, contacts and declared textures, as words or a TOML file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from pathlib import Path

from areacalc.errors import BadInput, Field, UnknownName
from areacalc.quantity import Dimension, parse
from areacalc.shape.small_text import CHOICES, refuse_others, small_text, toml_table
from areacalc.surface.sides import SIDES

SUFFIX = ".wet.toml"  # a file of choices beside a part: knob.stl -> knob.wet.toml


@dataclass(frozen=True, slots=True)
class Choices:
    """The words of each choice, as written; they are understood only against the skin they are for.

    plug: `bore-1` (the whole bore), `bore-1 top 5 mm deep`, `bore-1 5 mm deep from mouth 2`, `bore-1 5 mm deep at both
    ends`; of a bore with one mouth `blind-bore-1 5 mm deep`.
    mask, wet_only: any words that region.region knows. contact: `2 x 3 mm on outside`, `6 mm2 at 1,2,3 mm`.
    add: `outside thread M10x1.5`, `bore-1 thread M6`, `outside knurl 0.8 mm`, `outside texture 1.3`.
    fill: narrow bores filled with a syringe, so that they hold no air: `blind-bore-1`, `bores under 3 mm`.
    """

    plug: tuple[str, ...] = ()
    mask: tuple[str, ...] = ()
    wet_only: tuple[str, ...] = ()
    contact: tuple[str, ...] = ()
    add: tuple[str, ...] = ()
    fill: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return any(getattr(self, f.name) for f in fields(self))

    def with_words(self, *given: str | Iterable[str]) -> Choices:
        """These choices and more, in the order of the fields, each one text or several.

        >>> Choices().with_words("bore-1", ["outside"])
        Choices(plug=('bore-1',), mask=('outside',), wet_only=(), contact=(), add=(), fill=())
        """
        return self.joined(Choices(*((each,) if isinstance(each, str) else tuple(each) for each in given)))

    def joined(self, other: Choices) -> Choices:
        return Choices(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))


@dataclass(frozen=True, slots=True)
class Plug:
    """Words for the bores plugged; how far it goes in [mm] (None: all the way); which mouth, as bore_lengths.mouths
    takes it."""

    words: str
    depth_mm: float | None = None
    mouth: str | None = None


@dataclass(frozen=True, slots=True)
class ContactChoice:
    """The area that a rack contact or clamp covers, and the words for where."""

    area_mm2: float
    words: str


@dataclass(frozen=True, slots=True)
class Added:
    """A thread, knurl or texture that the drawing leaves smooth: on which feature, what kind, which size."""

    words: str
    kind: str
    size: str


def choices_from(table: Mapping[str, object], where: str) -> Choices:
    """Choices from the keys of a table (a TOML file, a load file's part). Raises BadInput, UnknownName."""
    known = [f.name.replace("_", "-") for f in fields(Choices)]
    given: dict[str, tuple[str, ...]] = {}
    for key, value in table.items():
        if key not in known:
            raise UnknownName.among(where, key, known)
        items = [value] if isinstance(value, str) else value
        if not isinstance(items, list) or not all(isinstance(item, str) for item in items):
            raise BadInput(f"{where}, {key}", "is neither a text nor a list of texts", f'write {key} = ["bore-1"]')
        given[key.replace("-", "_")] = tuple(items)
    return Choices(**given)


def read_choices(path: Path) -> Choices:
    """The choices in a TOML file. Raises BadInput with the line of a mistake."""
    try:
        table = toml_table(small_text(path, "a file of choices"), path.name)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as mistake:
        raise BadInput(path.name, f"is not TOML: {mistake}", 'write lines such as plug = ["bore-1"]') from None
    except OSError as trouble:
        raise BadInput(path.name, f"cannot be read: {trouble.strerror}", "check the name") from None
    refuse_others(table, CHOICES, path.name)
    return choices_from(table, path.name)


_SIDE = "|".join(SIDES)
_PLUG = re.compile(
    rf"(?P<words>.+?)(?:\s+(?P<side>{_SIDE}|mouth\s+\d{{1,3}}))?"
    rf"(?:\s+(?P<depth>[\d.,/ ]+\S*|\S+\s*\S*)\s+deep)?"
    rf"(?:\s+from\s+(?:the\s+)?(?P<mouth>{_SIDE}|mouth\s+\d{{1,3}})|\s+at\s+(?P<both>both)\s+ends)?$",
    re.I,
)
_CONTACT = re.compile(r"(?P<size>.+?)\s+(?:on\s+(?P<on>.+)|(?P<at>at\s+.+))$")
_DECLARE = re.compile(r"(?P<words>.+?)\s+(?P<kind>thread|knurl|texture)\s+(?P<size>.+)$", re.I)


def plug(words: str, where: str = Field.PLUG) -> Plug:
    """A plug from its words. Raises BadInput.

    >>> plug("bore-1 5 mm deep from mouth 2")
    Plug(words='bore-1', depth_mm=5.0, mouth='2')
    >>> plug("bore-1 top 5 mm deep").mouth, plug("bore-1 5 mm deep at both ends").mouth
    ('top', 'both')
    >>> plug("bores under 3 mm")
    Plug(words='bores under 3 mm', depth_mm=None, mouth=None)
    """
    found = _PLUG.match(words.strip())
    if not found:
        raise BadInput(where, "nothing is named", "name a bore, such as bore-1")
    depth = parse(found["depth"], Dimension.LENGTH, where) if found["depth"] else None
    if depth is not None and depth <= 0.0:
        raise BadInput(where, f"a plug {depth:g} mm deep must be above zero", "say how far in, such as 5 mm deep")
    said = [found[key] for key in ("side", "mouth", "both") if found[key]]
    if len(said) > 1:
        raise BadInput(where, f"'{words}' says two mouths", "say one, or 'at both ends'")
    if depth is None and said:
        remedy = f"say how deep, as in '{found['words']} {said[0]} 5 mm deep'; a plug with no depth fills the bore"
        raise BadInput(where, f"'{words}' says a mouth and no depth", remedy)
    return Plug(found["words"], depth, re.sub(r"mouth\s+", "", said[0].lower()) if said else None)


def contact(words: str, where: str = Field.CONTACT) -> ContactChoice:
    """A rack contact or clamp from its words. Raises BadInput.

    >>> contact("2 x 3 mm on outside")
    ContactChoice(area_mm2=6.0, words='outside')
    >>> contact("0.01 in2 at 0,0,5 mm").words
    'at 0,0,5 mm'
    """
    found = _CONTACT.match(words.strip())
    if not found:
        what = f"'{words}' gives no size and place"
        raise BadInput(where, what, "write '2 x 3 mm on outside' or '6 mm2 at 1,2,3 mm'")
    sides = re.split(r"\s*[x×]\s*", found["size"].strip())
    if len(sides) == 2:
        unit = re.search(r"[A-Za-zµμ\"']+$", sides[1])
        one = parse(sides[0], Dimension.LENGTH, where, default_unit=unit[0] if unit else None)
        area = one * parse(sides[1], Dimension.LENGTH, where)
    else:
        area = parse(found["size"], Dimension.AREA, where)
    if area <= 0.0:
        raise BadInput(where, f"a contact of {area:g} mm2 must be above zero", "give its size, such as 2 x 3 mm")
    return ContactChoice(area, (found["on"] or found["at"]).strip())


def added(words: str, where: str = Field.ADD) -> Added:
    """A declared thread, knurl or texture from its words. Raises BadInput.

    >>> added("outside thread M10x1.5")
    Added(words='outside', kind='thread', size='M10x1.5')
    """
    found = _DECLARE.match(words.strip())
    if not found:
        what = f"'{words}' is not understood"
        raise BadInput(where, what, "write 'outside thread M10x1.5', 'outside knurl 0.8 mm' or 'outside texture 1.3'")
    return Added(found["words"].strip(), found["kind"].lower(), found["size"].strip())
