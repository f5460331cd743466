"""`areacalc hang`: which way to hang a part so that no air stays in it and little liquid comes out with it."""

from __future__ import annotations

import shlex
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from typer import Argument, Option

from areacalc.errors import BadInput
from areacalc.estimate import total
from areacalc.fact import quantity
from areacalc.report.words.places import named_as
from areacalc.surface.air.drag_out import RINSE, drag_out_ml

from . import show as out
from .grouped import grouped, option
from .options import Accuracy, Force, Full, Json, LeastGap, Quiet, Show, ShowOption
from .part_options import PartOptions, hung_by
from .write import target

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.shape.kinds import Floats
    from areacalc.surface.air.best_hanging import Ranked
    from areacalc.surface.air.hanging import By, Hanging
    from areacalc.surface.skin import SurfaceMap

_LISTED = 5
_NOTHING_MM2 = 0.5  # bare: less is told as none
_VENTS, _METAL_MM = 3, 0.01  # vents told: through metal thicker than this

File = Annotated[str, Argument(metavar="FILE", help="A part file, as for `area`.")]
Draw = Annotated[
    Path | None, Option("--draw", metavar="FILE.svg|.png|.html", help="Write pictures of the part going into the bath.")
]


@dataclass(frozen=True)
class WaysOptions:
    """Which ways are tried, and how truly a part hangs."""

    up: str | None = option("Try this direction alone; same words as `area --up`.", metavar="DIRECTION")
    seen: list[str] | None = option("Faces that show when the part is in use: 'outside', 'face 4'.", metavar="SURFACE")
    directions: int = option("How many more directions to try.", default=100, min=0, max=2000)
    accuracy: Accuracy = None
    least_gap: LeastGap = None


@grouped
def hang(
    file: File, of: PartOptions, ways: WaysOptions, draw: Draw = None, force: Force = False, full: Full = False,
    show: ShowOption = Show.MM, quiet: Quiet = False, json: Json = False,
) -> None:  # fmt: skip
    """Find the best way to hang a part: no trapped air, then little liquid carried out, then no marks that show.

    Each way is ranked by its worst case within a small tilt (--accuracy).
    Example: areacalc hang knob.stl --unit mm --draw knob.html
    """
    if draw is not None:
        from .hang_picture import FORMS

        target(draw, "--draw", FORMS, force)
    by = hung_by(ways.accuracy, ways.least_gap)
    part = of.open([file])[0]
    ranked = _tried(part, ways, by)
    hung = part.hung(ranked[0].up, by=by)
    hanging = hung.hanging
    assert hanging is not None
    title = f"{'Best for ' if ways.up is None else ''}{part.name}: {way_text(hung, show)}"
    if draw is not None:
        from areacalc.surface.air.going_under import strip

        from .hang_picture import write_strip

        write_strip(draw, lambda steps: strip(hanging, part.skin, steps), title, force)
    if json:
        from areacalc.report.hang_document import hang_document

        out.json_out(hang_document(hung, ranked))
        return
    out.say(title)
    if quiet:
        return
    if ways.seen:
        marks_mm2 = (ranked[0].most or ranked[0].outcome).marks_mm2
        marks = f"up to {out.area_text(marks_mm2, show, 3)} of" if marks_mm2 >= _NOTHING_MM2 else "no"
        out.say(f"Air and standing liquid leave {marks} marks on the surface that shows.")
    _print(shlex.join([file, *of.typed()]), hung, ranked, show, full)
    if draw is not None:
        out.say(f"Wrote {draw}.")


def _tried(part: Part, ways: WaysOptions, by: By) -> tuple[Ranked, ...]:
    from rich.console import Console
    from rich.progress import Progress

    from areacalc.surface.air.best_hanging import best_hanging, one_way
    from areacalc.surface.air.direction import direction
    from areacalc.surface.air.narrow import wide_ways

    with Progress(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task("finding its bores", total=None)
        faces = _seen_faces(part.skin, ways.seen or [])
        bar.update(task, description="closing its surface")
        skin = part.bath_skin
        if skin.open:
            raise BadInput(part.body.source, "the mesh is open, so trapped air cannot be told", "export a closed solid")
        wide = wide_ways(skin, by.gap_mm)
        bar.update(task, description="trying ways to hang it")
        if ways.up is not None:
            return (one_way(skin, direction(ways.up, part.skin), faces, wide, by.accuracy_deg, part.filled),)
        return best_hanging(
            skin, part.skin, faces, wide, ways.directions, by.accuracy_deg,
            progress=lambda done, total: bar.update(task, completed=done, total=total), filled=part.filled,
        )  # fmt: skip


def _seen_faces(skin: SurfaceMap, seen: list[str]) -> Floats | None:
    if not seen:
        return None
    import numpy as np

    from areacalc.surface.region import region
    from areacalc.surface.split import whole

    pieces = whole(skin.body.vertices, skin.body.triangles)
    faces: Floats = np.logical_or.reduce([region(words, skin, "--seen").inside(pieces) for words in seen]).astype(float)
    return faces


def way_text(hung: Part, show: Show = Show.MM) -> str:
    """How a part hangs, what air keeps bare of it so, and what it carries out, in words."""
    from areacalc.report.words.hung import in_words, outcome_words

    assert hung.hanging is not None
    with named_as("options"):
        return f"{in_words(hung.hanging.up, hung.skin)}; {outcome_words(hung, show is Show.IN)}"


def _print(again: str, hung: Part, ranked: tuple[Ranked, ...], show: Show, full: bool) -> None:
    from areacalc.report.figures import shown, whole_quantity
    from areacalc.shape.kinds import FileNote

    if full:
        _table(hung, ranked, show)
    else:
        for name, way in zip(("Next best", "Worst"), _others(hung, ranked), strict=False):
            out.say(f"{name}: {way_text(way, show)}")
    hanging = hung.hanging
    assert hanging is not None
    wetted = hung.wetted()
    tilt = f"Least and most cover a tilt of {out.counted(hanging.accuracy_deg, 'degree')}."
    told = [f"Tried {len(ranked)} ways."] if len(ranked) > 1 else []
    if told := [*told, *([tilt] if full or out.bounds_text(wetted.value, show) else [])]:
        out.say(" ".join(told))
    drag_ml, inch = drag_out_ml(wetted.value, hanging.liquid.volume_mm3), show is Show.IN
    carried = whole_quantity(quantity(drag_ml, "mL"), inch)
    rinse = shown(RINSE.value * 1e-3 * drag_ml.value, "L", inch)
    out.say(f"Drag-out each lift, with what clings to the surface: {carried}, from memory. {rinse} of rinse water "
            f"dilutes it {RINSE.value:g} times.")  # fmt: skip
    _narrow(hanging, show, full)
    if len(ranked) > 1:
        _vents(hung, hanging, show)
    elif hanging.air.volume_mm3 >= 1.0:
        out.say("Another way up may let the air out: leave --up out, and all ways are tried.")
    out.line(f"Next: areacalc area {again} --up {_numbers(hanging.up)}")
    odd = (note for note in wetted.notes if note.warns or note.fact.kind is FileNote.UNIT_ASSUMED)
    out.notes(dict.fromkeys([*odd, *hanging.told(wetted)]), show, full=full)
    if not full and len(ranked) > 1:
        out.say("More ways to hang it: --full")


def _others(hung: Part, ranked: tuple[Ranked, ...]) -> list[Part]:
    """The second best of the ways that a person would tell apart, and the worst of all."""
    from areacalc.surface.air.best_hanging import apart

    worst = _worst(ranked)
    ways = [*apart(ranked, hung.skin, 2)[1:], *([worst] if worst else [])]
    return [hung.hung(way.up, by=hung.by) for way in ways]


def _worst(ranked: tuple[Ranked, ...]) -> Ranked | None:
    """The way that keeps the most bare; None where no other way was tried, or none keeps anything bare."""
    worst = max(ranked, key=lambda each: (each.outcome.bare_mm2, each.outcome.dry_mm2))
    return worst if len(ranked) > 1 and worst.outcome.bare_mm2 >= _NOTHING_MM2 else None


def _table(hung: Part, ranked: tuple[Ranked, ...], show: Show) -> None:
    """The best ways that a person would tell apart, and the worst to compare them with."""
    from areacalc.report.words.hung import carried_text, in_words
    from areacalc.surface.air.best_hanging import apart
    from areacalc.surface.wetted import bare_areas

    worst, rows = _worst(ranked), []
    best = [way for way in apart(ranked, hung.skin, _LISTED) if way is not worst]
    for each in (*best, *([worst] if worst else [])):
        made = hung.hung(each.up, by=hung.by)
        bare, hanging = total(bare_areas(made.wetted().rows).values()), made.hanging
        assert hanging is not None
        rows.append((
            ("worst: " if each is worst else "") + in_words(each.up, hung.skin), _numbers(each.up),
            out.area_text(bare.value, show, 3), out.bounds_text(bare, show, 3),
            carried_text(hanging.liquid.volume_mm3, show is Show.IN),
        ))  # fmt: skip
    out.table("", ("how", "--up", "bare", "least to most", "carried out"), rows, right=(2, 3, 4))


def _narrow(hanging: Hanging, show: Show, full: bool) -> None:
    """The narrow bores: in short those that fill by themselves, in full all of them, those alike in one row."""
    from areacalc.report.words.notes import bores_named
    from areacalc.surface.air.fills import Fill
    from areacalc.surface.air.narrow_mouths import alike

    groups = [
        (bores_named(tuple(dict.fromkeys(name for each in same for name in each.room.features))), same[0])
        for same in alike(hanging.narrow)
    ]
    if full:
        rows = [(names, out.length_text(v.room.diameter_mm, show), str(len(v.room.mouths)), v.facing or "",
                 v.fill.value, ", ".join(v.helps)) for names, v in groups]  # fmt: skip
        out.table("", ("narrow bores", "across", "mouths", "hang", "air", "what helps"), rows, right=(1, 2))
    elif free := tuple(dict.fromkeys(n for v in hanging.narrow if v.fill is Fill.FILLS for n in v.room.features)):
        out.say(f"Narrow openings that fill by themselves: {bores_named(free)}.")


def _vents(hung: Part, hanging: Hanging, show: Show) -> None:
    """The vent holes worth a drill: for more than a drop of air that no way of hanging lets out."""
    from areacalc.report.words.hung import DROP_MM3, air_words, place_words
    from areacalc.surface.air.vent import vents

    holes = [each for each in vents(hanging.air) if each.pocket.volume_mm3 >= DROP_MM3 and each.metal_mm >= _METAL_MM]
    for vent in holes[:_VENTS]:
        where, air = place_words(vent.inside, hung.skin), air_words(vent.pocket.volume_mm3, show is Show.IN)
        metal, gap = (out.length_text(each, show) for each in (vent.metal_mm, hanging.gap_mm))
        out.say(f"No way lets {air} of air out at {where}: a vent hole there, through {metal} of metal and at least "
                f"{gap} wide, would. --json has its place.")  # fmt: skip
    if more := len(holes) - len(holes[:_VENTS]):
        out.say(f"{out.counted(more, 'more pocket')}: --json lists every vent.")


def _numbers(up: tuple[float, float, float]) -> str:
    return ",".join(f"{round(x, 3) + 0.0:g}" for x in up)
