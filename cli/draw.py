"""`areacalc draw`: pictures of a part's skin, each feature coloured by its state and named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from typer import Argument, Option

from areacalc.errors import UnknownName

from . import show as out
from .grouped import grouped
from .options import Force, Quiet, Show
from .part_options import HangOptions, PartOptions
from .write import target, write

if TYPE_CHECKING:
    from areacalc.part.part import Part

File = Annotated[str, Argument(metavar="PART", help="A part file, as for `area`.")]
To = Annotated[
    list[Path] | None,
    Option("--out", "-o", metavar="FILE", help="A picture (.png) or a 3-D view (.html) (default: both)."),
]


@grouped
def draw(
    part: File,
    *,
    to: To = None,
    of: PartOptions,
    hangs: HangOptions,
    cut: Annotated[str | None, Option(metavar="x|y|z", help="Cut the part in half across this axis.")] = None,
    force: Force = False,
    quiet: Quiet = False,
) -> None:
    """Draw a part's surface as a picture, or a 3-D view that opens offline.

    Colours tell what is wet, plugged, masked, in trapped air or above the line.

    Example: areacalc draw knob.stl --unit mm --plug bore-1
    """
    from areacalc.surface.covering import cover
    from areacalc.surface.picture import picture

    from .draw_html import page
    from .draw_png import png

    if cut is not None and cut not in ("x", "y", "z"):
        raise UnknownName.among("--cut", cut, ("x", "y", "z"))
    hangs.by()
    targets = to or [Path(f"{Path(part).stem}-drawing.png"), Path(f"{Path(part).stem}-drawing.html")]
    for each in targets:
        target(each, "--out", (".png", ".html"), force)
    opened = hangs.hung(of.open([part]))[0]
    wetted = opened.wetted()
    dry, up = (opened.hanging.dry_shares, opened.hanging.up) if opened.hanging is not None else ((), None)
    drawn = picture(opened.skin, cover(opened.skin, opened.choices), dry)
    titles = f"{opened.name}: {out.area_text(wetted.value.value, Show.MM)} wetted", axes_words(opened)
    for each in targets:
        if each.suffix.lower() == ".png":
            write(each, png(opened.skin, drawn, titles, "xyz".index(cut) if cut else None, up), force)
        else:
            write(each, page(opened.skin, drawn, wetted, titles), force)
        if not quiet:
            out.say(f"Wrote {each}.")
    if not quiet:
        from areacalc.part.part import PartNote

        out.notes([note for note in wetted.notes if note.fact.kind is not PartNote.HANGING_NOT_GIVEN])


def axes_words(part: Part) -> str:
    """How far the part reaches along each axis of its file, as bands are given, and which way it hangs."""
    from areacalc.report.words.hung import in_words

    vertices = part.body.vertices
    ends = (f"{axis} {out.five(round(float(low), 3))} to {out.five(round(float(high), 3))}"
            for axis, low, high in zip("xyz", vertices.min(axis=0), vertices.max(axis=0), strict=True))  # fmt: skip
    hung = f"; hung {in_words(part.hanging.up, part.skin)}" if part.hanging is not None else ""
    return f"The part reaches from {', '.join(ends)} mm{hung}"
