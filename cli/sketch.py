"""`areacalc sketch`: a lathe profile from words or a file, its areas, a drawing, an export."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from typer import Argument, Option

from areacalc.errors import BadInput
from areacalc.quantity import Dimension, length_unit, parse

from . import show as out
from .grouped import grouped, option
from .options import Force, Json, Quiet, Show, ShowOption
from .part_options import ChoiceOptions
from .write import done, target, write

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.shape.profile.profile import Profile

_FILES = (".toml", ".csv", ".dxf")

Words = Annotated[
    str, Argument(metavar="PROFILE", help="Points 'position diameter, ...' and clauses after ';', or a TOML, CSV "
                 "or DXF file."),
]  # fmt: skip
Draw = Annotated[Path | None, Option("--draw", metavar="FILE.svg|.png", help="Write the half section as a picture.")]


@dataclass(frozen=True)
class SketchFiles:
    """What is written of a sketch."""

    draw: Draw = None
    export: Path | None = option("Write the part to a file.", metavar="FILE.stl|.3mf|.toml")
    chord_error: str = option("How far flats may lie from the true shape.", default="0.01 mm", metavar="LENGTH")
    force: Force = False

    def check(self, words: str) -> None:
        """Refuse what cannot be written before anything is. Raises BadInput, UnknownName."""
        if self.draw is not None:
            target(self.draw, "--draw", (".svg", ".png"), self.force)
        if self.export is None:
            return
        ending = target(self.export, "--export", (".stl", ".3mf", ".toml"), self.force)
        if ending == ".toml" and Path(words).suffix.lower() in _FILES:
            raise BadInput("--export", "a TOML file is written from words, not from another file", "give the words")

    def write(self, part: Part, words: str, show: Show) -> None:
        turned = part.body.profile
        assert turned is not None
        if self.draw is not None:
            from areacalc.shape.profile.half_section import png, svg

            drawn = png if self.draw.suffix.lower() == ".png" else svg
            write(self.draw, drawn(turned, show is Show.IN), self.force)
        if self.export is not None:
            _export(part, words, self.export, self.force)


@grouped
def sketch(
    profile: Words, of: ChoiceOptions, files: SketchFiles, show: ShowOption = Show.MM, quiet: Quiet = False,
    json: Json = False,
) -> None:  # fmt: skip
    """Sketch a turned part as points and read its area, segment by segment.

    Words: "0 12, 40 12, 40 8 r1, 60 8; bore right 6 x 30 drill 118; unit mm". After a point: r1 (fillet), c1 (chamfer),
    arc r20 (`arc r20 in` is hollow, `arc r20 large` goes the longer way round), arc centre 30 0 (`ccw`: to the left),
    thread M10x1.5, knurl 0.8. A bore: left|right|through, steps
    "8 x 30, 6 x 50" (depths from the mouth), then drill 118 | flat | chamfer 0.5 | thread M6. One diameter right
    through, as of a pen body: "bore through 8".

    Example: areacalc sketch "0 12, 100 12, 110 8; bore left 8 x 90 drill 118"
    """
    files.check(profile)
    part = _part(profile, of.unit_said, parse(files.chord_error, Dimension.LENGTH, "--chord-error"))
    part = replace(part, choices=part.choices.joined(of.said()))
    wetted = part.wetted()
    files.write(part, profile, show)
    if json:
        from areacalc.report.documents import area_document

        out.json_out(area_document([part], [wetted], [1]))
    elif quiet:
        out.say(out.area_text(wetted.value.value, show, 5))
    else:
        from areacalc.shape.kinds import FileNote
        from areacalc.shape.profile.half_section import text

        from .area import print_part

        turned, export = part.body.profile, files.export
        assert turned is not None
        for line in text(turned, show is Show.IN).split("\n"):
            out.line(line)
        heads = ("segment", f"across [{show.value}]", f"area [{show.value}2]")
        out.table("", heads, _segments(turned, show), right=(1, 2))
        print_part(part, wetted, 1, show)
        for path in filter(None, (files.draw, export)):
            out.say(f"Wrote {path}.")
        if export is not None:
            out.notes([note for note in part.body.notes if note.fact.kind is FileNote.REVOLVED], show, full=True)
        if export is not None and export.suffix.lower() != ".toml" and any(s.dress for s in turned.segments):
            out.say(f"note: threads and knurls are smooth in {export.name}: give them with --add when you measure it")


def _segments(profile: Profile, show: Show) -> list[tuple[str, str, str]]:
    rows = []
    for s in profile.from_the_mouths:
        ends = [
            out.length_text(2.0 * r, show).split()[0] for r in dict.fromkeys((round(s.start[1], 9), round(s.end[1], 9)))
        ]
        rows.append((s.name, " to ".join(ends), out.area_text(s.area_mm2.value, show).split()[0]))
    return rows


def _part(words: str, unit: str | None, chord_error_mm: float) -> Part:
    from areacalc.part.part import Part, open_part
    from areacalc.shape.file_unit import unit_notes
    from areacalc.shape.kinds import UnitHow
    from areacalc.shape.profile.revolve import revolve
    from areacalc.shape.profile.sketch import sketch_of
    from areacalc.shape.profile.turn import in_unit
    from areacalc.shape.read import FORMATS

    if Path(words).suffix.lower() in FORMATS or os.path.exists(words):  # not Path.exists, which fails on long words
        part = open_part(words, unit)
        if part.body.profile is None:
            raise BadInput(words, "is not a lathe profile", "use `areacalc area` for it")
        body = revolve(part.body.profile, chord_error_mm)
        drawn = body.notes[-1]
        notes = tuple(drawn if note.code == drawn.code else note for note in part.body.notes)
        return replace(part, body=replace(body, notes=notes))
    body = revolve(in_unit(sketch_of(words), "profile", length_unit(unit) if unit else None), chord_error_mm)
    typed = replace(body.unit, how=UnitHow.GIVEN) if body.unit.how is UnitHow.DECLARED else body.unit
    told = unit_notes(max(body.size_mm), body.facet_area_mm2, typed)
    return Part(replace(body, unit=typed, notes=(*body.notes, *told)))


def _export(part: Part, words: str, path: Path, force: bool) -> None:
    from areacalc.shape.export import export
    from areacalc.shape.profile.sketch import UNNAMED, sketch_of

    if path.suffix.lower() != ".toml":
        body = replace(part.body, name=path.stem) if part.body.name == UNNAMED else part.body
        with done(f"{path} is written"):
            export(body, path, replace=force)
        return
    sketch = sketch_of(words)
    name = path.stem if sketch.name == UNNAMED else sketch.name
    text = replace(sketch, name=name, unit=part.body.unit.name).to_toml()
    write(path, text, force)
