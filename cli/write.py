"""Text written to a file of the person's choice: whole or not at all."""

from __future__ import annotations

from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write under a temporary name, then rename. Raises BadInput where it cannot be written."""
    from areacalc.shape.export import write_whole

    write_whole(path, lambda file: file.write(text.encode("utf-8")))
