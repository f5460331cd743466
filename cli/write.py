"""Text written to a file of the person's choice: whole or not at all."""

from __future__ import annotations

from pathlib import Path


def ending(path: Path, option: str, known: tuple[str, ...]) -> str:
    """The ending of a file to write, in small letters. Raises UnknownName for one that the option does not write."""
    from areacalc.errors import UnknownName

    suffix = path.suffix.lower()
    if suffix not in known:
        raise UnknownName.among(option, suffix or str(path), known)
    return suffix


def write_text(path: Path, text: str) -> None:
    """Write under a temporary name, then rename. Raises BadInput where it cannot be written."""
    from areacalc.errors import BadInput
    from areacalc.shape.export import write_whole

    try:
        content = text.encode("utf-8")
    except UnicodeEncodeError:
        raise BadInput(str(path), "would hold letters that are none", "type the names in it again") from None
    write_whole(path, lambda file: file.write(content))
