"""`areacalc draw`: pictures of a part's skin, each feature coloured by its state and named."""

from pathlib import Path
from typing import Annotated

import typer

from areacalc.errors import UnknownName

from . import show as out
from .grouped import grouped
from .options import Force, Quiet, Show
from .part_options import HangOptions, PartOptions
from .write import target, write

File = Annotated[str, typer.Argument(metavar="PART", help="A part file, as for `area`.")]
To = Annotated[
    list[Path] | None,
    typer.Option("--out", "-o", metavar="FILE", help="A picture (.png) or a 3-D view (.html) (default: both)."),
]


@grouped
def draw(
    part: File,
    *,
    to: To = None,
    of: PartOptions,
    hangs: HangOptions,
    cut: Annotated[str | None, typer.Option(metavar="x|y|z", help="Cut the part in half across this axis.")] = None,
    force: Force = False,
    quiet: Quiet = False,
) -> None:
    """Draw a part's surface, coloured as wet, plugged, masked or dry: a picture, and a 3-D view that opens offline.

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
    dry = opened.hanging.dry_shares if opened.hanging is not None else ()
    drawn = picture(opened.skin, cover(opened.skin, opened.choices), dry)
    title = f"{opened.name}: {out.area_text(wetted.value.value, Show.MM)} wetted"
    for each in targets:
        if each.suffix.lower() == ".png":
            write(each, png(opened.skin, drawn, title, "xyz".index(cut) if cut else None), force)
        else:
            write(each, page(opened.skin, drawn, wetted, title), force)
        if not quiet:
            out.say(f"Wrote {each}.")
    if not quiet:
        out.notes(wetted.notes)
