"""One part as a person handles it: a file opened, its skin found, their choices laid on it, its wetted area; and parts
kept open."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from areacalc.cell import html_table
from areacalc.digits import counted, five
from areacalc.errors import BadInput, Field
from areacalc.estimate import Estimate
from areacalc.fact import fact
from areacalc.load.load import PartLine
from areacalc.quantity import length_unit
from areacalc.shape.body import Body
from areacalc.shape.kinds import Note
from areacalc.surface.choice import SUFFIX, Choices, read_choices
from areacalc.surface.skin import FeatureKind, State, SurfaceMap, Vector
from areacalc.surface.wetted import WettedArea, wetted_area

if TYPE_CHECKING:
    from areacalc.surface.air.bath_skin import BathSkin
    from areacalc.surface.air.best_hanging import Ranked
    from areacalc.surface.air.hanging import By, Hanging

Words = str | Iterable[str]
_MOST_RANKED = 4_000_000  # triangles times directions: up to 3 s of processor


class _Found:
    """What was worked out of one body, shared by all copies of its part: its surface, and its closed skin by plugs."""

    def __init__(self) -> None:
        self.skin: SurfaceMap | None = None
        self.bath_skins: dict[tuple[str, ...], BathSkin] = {}
        self.ranked: dict[tuple[tuple[str, ...], ...], tuple[Ranked, ...]] = {}  # by plugs and fills


class PartNote(Enum):
    HANGING_NOT_GIVEN = "hanging-not-considered"
    NOT_ON_THIS_PART = "not-on-this-part"
    CHOICES_FILE = "choices-file"


@dataclass(frozen=True, eq=False, repr=False)
class Part:
    """A Body with a person's choices. `skin` is worked out once, when it is first asked for.

    up is the direction (in the part's own axes, or words such as `bore-1`) that points up in the bath; None: hanging is
    not considered. line is the liquid line in words (`40 mm`, `5 mm below the top`); None: fully submerged.
    """

    body: Body
    choices: Choices = field(default_factory=Choices)
    as_drawn: bool = False
    up: str | Vector | None = None
    line: str | None = None
    by: By | None = None
    notes: tuple[Note, ...] = ()
    _found: _Found = field(default_factory=_Found, repr=False)

    def __repr__(self) -> str:
        size = " x ".join(map(five, self.body.size_mm))
        return f"<Part {self.name}: {size} mm, {counted(len(self.body.triangles), 'triangle')}>"

    def _repr_html_(self) -> str:
        wetted = self.wetted()
        rows = [(row.feature.name, row.state.value, _length(row.feature.diameter_mm), _length(row.feature.depth_mm),
                 *_area(row.area_mm2)) for row in wetted.rows]  # fmt: skip
        heads = ("feature", "state", "diameter [mm]", "depth [mm]", "area [mm2]", "least to most")
        return html_table(repr(self)[1:-1], heads, [*rows, ("wetted area", "", "", "", *_area(wetted.value))])

    @property
    def name(self) -> str:
        """The file's or profile's name."""
        return self.body.name

    @cached_property
    def skin(self) -> SurfaceMap:
        """The part's patches and named features, with the notes on this part."""
        if self._found.skin is None:
            self._found.skin = self._found_skin()
        skin = self._found.skin
        return replace(skin, notes=(*skin.notes, *self.notes)) if self.notes else skin

    def _found_skin(self) -> SurfaceMap:
        from areacalc.surface.features.features import find_features
        from areacalc.surface.turned import surface_of

        return surface_of(self.body) if self.body.profile is not None else find_features(self.body, self.as_drawn)

    def with_choices(self, plug: Words = (), mask: Words = (), wet_only: Words = (), contact: Words = (),
                     add: Words = (), fill: Words = ()) -> Part:  # fmt: skip
        """The same part with more choices; each is one text or several."""
        return replace(self, choices=self.choices.with_words(plug, mask, wet_only, contact, add, fill))

    def hung(self, up: str | Vector, line: str | None = None, by: By | None = None) -> Part:
        """The same part hung with a direction up, and a liquid line where it is not fully submerged."""
        return replace(self, up=up, line=line, by=by)

    @property
    def bath_skin(self) -> BathSkin:
        """The closed skin that air and liquid meet, plugs in; worked out once for each set of plugs."""
        from areacalc.surface.air.bath_skin import bath_skin
        from areacalc.surface.covering import cover

        known = self._found.bath_skins
        if self.choices.plug not in known:
            known[self.choices.plug] = bath_skin(
                self.skin, cover(self.skin, self.choices) if self.choices.plug else None
            )
        return known[self.choices.plug]

    @property
    def ranked(self) -> tuple[Ranked, ...]:
        """The ways to hang it that a person would choose, the best first.

        None where its mesh is open, or so fine that trying them takes longer than a person waits for a plan. Worked out
        once for each set of plugs and fills.
        """
        from areacalc.surface.air.best_hanging import best_hanging
        from areacalc.surface.air.narrow import LEAST_GAP_MM, wide_ways

        known, skin = self._found.ranked, self.bath_skin
        done = self.choices.plug, self.choices.fill
        if done not in known and not skin.open:
            known[done] = best_hanging(
                skin, self.skin, None, wide_ways(skin, LEAST_GAP_MM), sphere=0, most_work=_MOST_RANKED,
                filled=self.filled,
            )  # fmt: skip
        return known.get(done, ())

    @property
    def wants_a_way(self) -> bool:
        """Whether its way up is left free, makes a difference, and can be chosen from `ranked`."""
        from areacalc.surface.air.best_hanging import is_free

        return self.up is None and bool(self.ranked) and not is_free(self.ranked, self.bath_skin)

    @cached_property
    def hanging(self) -> Hanging | None:
        """What the part traps and carries out as it hangs; None where no direction is given."""
        if self.up is None:
            return None
        from areacalc.surface.air.direction import direction
        from areacalc.surface.air.hanging import By, hanging
        from areacalc.surface.air.liquid_line import line

        up = direction(self.up, self.skin) if isinstance(self.up, str) else self.up
        by = self.by or By()
        at = line(self.line) if self.line is not None else None
        return hanging(self.bath_skin, up, at, by.accuracy_deg, by.gap_mm, under=by.under, filled=self.filled)

    @property
    def filled(self) -> tuple[str, ...]:
        """The names of the features that a person fills with a syringe. Raises BadInput and UnknownName."""
        from areacalc.surface.region import region

        found = [(words, region(words, self.skin, Field.FILL).features) for words in self.choices.fill]
        for words, features in found:
            if not features:
                raise BadInput(Field.FILL, f"'{words}' names no bore", "name one, such as blind-bore-1")
        return tuple(self.skin.features[i].name for _, features in found for i in features)

    def wetted(self) -> WettedArea:
        """The area that the acid touches. Raises BadInput and UnknownName for choices that do not fit the part."""
        hanging = self.hanging
        if hanging is not None:
            wetted = wetted_area(self.skin, self.choices, hanging.dry_shares)
            return replace(wetted, notes=(*wetted.notes, *hanging.told(wetted)))
        wetted = wetted_area(self.skin, self.choices)
        _ = self.filled  # its words are refused here too
        if all(row.state is not State.WET or row.feature.kind is FeatureKind.OUTSIDE for row in wetted.rows):
            return wetted  # nothing is open that could hold air
        return replace(wetted, notes=(*wetted.notes, Note(fact(PartNote.HANGING_NOT_GIVEN))))


def with_shared(parts: Sequence[Part], said: Choices) -> list[Part]:
    """Several parts with choices, of plugs, masks and fills those that each has skin for, a warning for the others.

    Raises BadInput or UnknownName for words that fit none of the parts.
    """
    out = [_with_rest(part, said) for part in parts]
    for one in _each(said):
        refusals = [_refusal(part, one) for part in out]
        if all(refusals) and refusals[0] is not None:
            raise refusals[0]
        out = [_with_or_noted(part, one, refusal) for part, refusal in zip(out, refusals, strict=True)]
    return out


def with_those_that_fit(part: Part, said: Choices) -> Part:
    """One part of many with choices, of plugs, masks and fills those that it has skin for, a warning for the others."""
    part = _with_rest(part, said)
    for one in _each(said):
        part = _with_or_noted(part, one, _refusal(part, one))
    return part


def _with_rest(part: Part, said: Choices) -> Part:
    return replace(part, choices=part.choices.joined(replace(said, plug=(), mask=(), fill=())))


def _each(said: Choices) -> list[Choices]:
    return [Choices(**{key: (words,)}) for key in ("plug", "mask", "fill") for words in getattr(said, key)]


def _with_or_noted(part: Part, one: Choices, refusal: BadInput | None) -> Part:
    if refusal is None:
        return replace(part, choices=part.choices.joined(one))
    told = fact(PartNote.NOT_ON_THIS_PART, where=str(refusal.where), what=refusal.what, part=part.name)
    return replace(part, notes=(*part.notes, Note(told, warns=True)))


def _refusal(part: Part, one: Choices) -> BadInput | None:
    from areacalc.surface.covering import cover

    try:
        cover(part.skin, one)
        _ = replace(part, choices=one).filled
    except BadInput as refusal:
        return refusal
    return None


def open_part(
    path: str | os.PathLike[str], unit: str | None = None, choices: Choices | None = None, as_drawn: bool = False
) -> Part:
    """The part in a file: STL, STEP, 3MF, OBJ, PLY, OFF, GLB, or a lathe profile (TOML, CSV, DXF).

    unit: what the file's numbers are in, where it does not say (mm, cm, m, in, ft, um).
    choices: None takes those in the file `NAME.wet.toml` beside the part, where there is one.
    Raises BadInput: file, place in it, what is wrong, what to do.
    """
    from areacalc.shape.mesh.mend import mend
    from areacalc.shape.read import read_body

    path = Path(path)
    body = read_body(path, length_unit(unit) if unit is not None else None)
    if body.profile is None and len(body.faces) == 0:
        body = mend(body)
    beside = path.with_suffix(SUFFIX)
    if choices is None and beside.is_file():
        choices = read_choices(beside)
        body = replace(body, notes=(*body.notes, Note(fact(PartNote.CHOICES_FILE, file=beside.name))))
    return Part(body, choices or Choices(), as_drawn)


def _length(length_mm: float | None) -> str:
    return "" if length_mm is None else five(length_mm)


def _area(area_mm2: Estimate) -> tuple[str, str]:
    low, high = five(area_mm2.low), five(area_mm2.high)
    return five(area_mm2.value), "" if low == high else f"{low} to {high}"


class Shelf:
    """Parts by path and unit, and by what is done to their skin."""

    def __init__(self) -> None:
        self._opened: dict[tuple[Path, str | None], Part] = {}
        self._wetted: dict[tuple[object, ...], tuple[Part, WettedArea]] = {}

    def wetted(self, folder: str, line: PartLine) -> tuple[Part, WettedArea]:
        """The part of a line, covered and hung, and its wetted area. Raises BadInput, UnknownName."""
        assert line.file is not None
        path = Path(folder) / line.file
        key = (path, line.unit, line.choices, line.up, line.liquid_line)
        if key not in self._wetted:
            part = self._part(path, line.unit)
            if line.choices:
                part = replace(part, choices=part.choices.joined(line.choices))
            if line.up is not None:
                part = part.hung(line.up, line.liquid_line)
            self._wetted[key] = part, part.wetted()
        return self._wetted[key]

    def _part(self, path: Path, unit: str | None) -> Part:
        if (path, unit) not in self._opened:
            part = open_part(path, unit)
            _ = part.skin  # found here, so that every way to cover it shares it
            self._opened[path, unit] = part
        return self._opened[path, unit]
