"""A part's skin as one HTML file that needs nothing else: the 3-D view of the page, with its table, offline."""

from __future__ import annotations

import base64
import json
import re
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from .page.view_file import view_bytes
from .palette import STATE_STYLES

if TYPE_CHECKING:
    from areacalc.surface.picture import Picture
    from areacalc.surface.skin import SurfaceMap
    from areacalc.surface.wetted import WettedArea


def page(skin: SurfaceMap, drawn: Picture, wetted: WettedArea, title: str) -> str:
    """The file's text."""
    static = Path(__file__).parent / "page" / "static"
    colours = {state.value: style.colour for state, style in STATE_STYLES.items()}
    odd = not skin.body.closed or any(note.code == "turned" for note in skin.notes)
    fill = {
        "@TITLE@": escape(title),
        "@THREE@": _module(static / "vendor" / "three" / "three.min.js"),
        "@VIEW@": _module(static / "picture" / "part_view.js"),
        "@READ@": _module(static / "picture" / "read_picture.js"),
        "@COLOURS@": json.dumps(colours),
        "@ODD@": json.dumps(odd),
        "@KEY@": _key({group.state for group in drawn.groups}),
        "@ROWS@": _rows(wetted),
        "@PICTURE@": base64.b64encode(view_bytes(skin, drawn)).decode(),
    }
    text = (files(__package__) / "look_template.html").read_text("utf-8")
    for mark, content in fill.items():
        text = text.replace(mark, content)
    return text


def _module(path: Path) -> str:
    """A module of the page as an address that holds all of it, the modules that it imports too."""

    def held(found: re.Match[str]) -> str:
        return f' from "{_module(path.parent / found[1])}"'

    text = re.sub(r' from "(\.[^"]+)"', held, path.read_text("utf-8"))
    return "data:text/javascript;base64," + base64.b64encode(text.encode()).decode()


def _key(states: set[object]) -> str:
    return "".join(
        f'<li><svg width="14" height="14" aria-hidden="true"><rect width="14" height="14" fill="{style.colour}"/></svg>'
        f" {escape(style.words)}</li>"
        for state, style in STATE_STYLES.items()
        if state in states
    )


def _rows(wetted: WettedArea) -> str:
    def cells(*words: str) -> str:
        return "".join(f"<td>{escape(word)}</td>" for word in words)

    def size(mm: float | None) -> str:
        return "" if mm is None else f"{mm:.4g}"

    return "".join(
        f'<tr data-name="{escape(row.feature.name)}"><th scope="row">{escape(row.feature.name)}</th>'
        + cells(row.state.value, size(row.feature.diameter_mm), size(row.feature.depth_mm),
                f"{row.area_mm2.value:.6g}", f"{row.area_mm2.low:.6g} to {row.area_mm2.high:.6g}")
        + "</tr>"
        for row in wetted.rows
    )  # fmt: skip
