"""A part's skin as one HTML file that needs nothing else: the 3-D view of the page, with its table, offline."""

import base64
import re
from importlib.resources import files
from pathlib import Path

from areacalc.report.html import filled
from areacalc.surface.picture import Picture
from areacalc.surface.skin import SurfaceMap
from areacalc.surface.wetted import WettedArea

from .page.view_file import view_bytes
from .palette import STATE_STYLES


def page(skin: SurfaceMap, drawn: Picture, wetted: WettedArea, titles: tuple[str, str]) -> str:
    static = Path(__file__).parent / "page" / "static"
    colours = {state.value: style.colour for state, style in STATE_STYLES.items()}
    odd = not skin.body.closed or any(note.code == "flipped" for note in skin.notes)
    states = {group.state for group in drawn.groups}
    return filled(
        (files(__package__) / "draw_template.html").read_text("utf-8"),
        title=titles[0],
        axes=titles[1],
        three=_module(static / "vendor" / "three" / "three.min.js"),
        view=_module(static / "picture" / "part_view.js"),
        read=_module(static / "picture" / "read_picture.js"),
        colours=colours,
        odd=odd,
        key=[style for state, style in STATE_STYLES.items() if state in states],
        rows=wetted.rows,
        picture=base64.b64encode(view_bytes(skin, drawn)).decode(),
    )


def _module(path: Path) -> str:
    """A module of the page as an address that holds all of it, the modules that it imports too."""

    def held(found: re.Match[str]) -> str:
        return f' from "{_module(path.parent / found[1])}"'

    text = re.sub(r' from "(\.[^"]+)"', held, path.read_text("utf-8"))
    return "data:text/javascript;base64," + base64.b64encode(text.encode()).decode()
