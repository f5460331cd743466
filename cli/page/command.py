"""`areacalc page`: the local page in the browser."""

from pathlib import Path
from typing import Annotated

from typer import Option

Port = Annotated[int, Option("--port", min=0, max=65535, help="Port on this computer; 0 picks a free one.")]
Data = Annotated[
    Path | None, Option("--data", metavar="FOLDER", help="Folder for your work and its logbook; made if missing.")
]
Speed = Annotated[
    float, Option(min=1.0, max=10_000.0, metavar="TIMES", help="Rehearse with a clock this many times as fast.")
]
NoBrowser = Annotated[bool, Option("--no-browser", help="Print the address; do not open a browser.")]


def page(port: Port = 0, data: Data = None, no_browser: NoBrowser = False, speed: Speed = 1.0) -> None:
    """Open the page in the browser: drop or sketch parts, see their surface in 3-D, read the current to set.

    It runs on this computer alone and needs no network. What you do is kept, and is there when you come back.

    Example: areacalc page
    """
    from .server import serve

    serve(port, data, not no_browser, speed)
