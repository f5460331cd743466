"""Takes the README's pictures of the terminal, 80 columns wide: `python sample_models/make_screens.py`."""

import os
import subprocess
import sys
from html import escape
from pathlib import Path

from rich.console import Console
from rich.text import Text

HERE = Path(__file__).parent
COLUMNS, LINES = 80, 24
SCREENS = {
    "area": "area sample_models/cleat.stl --unit mm --plug bore-1",
    "current": "current sample_models/lamp-knob.step --plug blind-bore-1",
    "plan": "plan sample_models/desk-set.toml",
    "hang": "hang sample_models/pen-cap.toml",
    "tank": "tank --largest 'a tube of 400 x 30 x 26 mm'",
}
_HIGH, _WIDE, _PAD = 20.0, 8.43, 12.0  # of a line, of a letter, round the screen


def screen(command: str) -> list[Text]:
    """What a command prints on a screen of 80 columns, the command first."""
    areacalc = Path(sys.executable).with_name("areacalc")
    shown = {**os.environ, "COLUMNS": str(COLUMNS), "FORCE_COLOR": "1", "TERM": "xterm"}
    done = subprocess.run(
        f"{areacalc} {command}", shell=True, capture_output=True, text=True, cwd=HERE.parent, env=shown
    )
    assert done.returncode == 0, done.stderr
    return [Text(f"$ areacalc {command}", style="bold"), *Text.from_ansi(done.stdout + done.stderr).split("\n")]


def svg(lines: list[Text]) -> str:
    """The screen as a picture: text that can be read, in the reader's own monospaced letters."""
    console = Console(width=COLUMNS)
    rows = []
    for number, line in enumerate(lines):
        at = 0.0
        for piece in line.render(console):
            if piece.text.strip():
                bold = ' font-weight="bold"' if piece.style is not None and piece.style.bold else ""
                wide = len(piece.text) * _WIDE
                rows.append(
                    f'<text x="{_PAD + at:.2f}" y="{_PAD + (number + 0.75) * _HIGH:.1f}" textLength="{wide:.2f}"'
                    f"{bold}>{escape(piece.text).replace(' ', '&#160;')}</text>"
                )
            at += len(piece.text) * _WIDE
    wide, high = COLUMNS * _WIDE + 2 * _PAD, len(lines) * _HIGH + 2 * _PAD
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" width="{wide:g}"'
        ' font-family="monospace" font-size="14" fill="#e8e6df">'
        f'<rect width="{wide:g}" height="{high:g}" rx="6" fill="#1f2328"/>{"".join(rows)}</svg>\n'
    )


def main() -> None:
    """Write every screen beside the pictures of the page."""
    for name, command in SCREENS.items():
        lines = screen(command)
        print(name, len(lines), "lines", "" if len(lines) <= LINES else f"over {LINES}")
        (HERE / "pictures" / f"{name}.svg").write_text(svg(lines), "utf-8")


if __name__ == "__main__":
    main()
