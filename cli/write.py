"""Files written where the person says: whole or not at all, over another only with --force, and known to be written."""

import contextlib
import signal
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from areacalc.errors import BadInput, UnknownName
from areacalc.whole_file import refuse_taken, write_whole

DONE: list[str] = []
"""What this command has brought onto the disk so far, in words."""


def target(path: Path, option: str, known: tuple[str, ...], force: bool) -> str:
    """The ending of a file to write, in small letters, asked before any work is done for it.

    Raises UnknownName for an ending that the option does not write, BadInput for a file that is there without --force.
    """
    suffix = path.suffix.lower()
    if suffix not in known:
        raise UnknownName.among(option, suffix or str(path), known)
    refuse_taken(path, force)
    return suffix


def write(path: Path, content: bytes | str | Callable[[BinaryIO], object], force: bool) -> None:
    """Write a file whole. Raises BadInput where it cannot be written, or is there and may not be replaced."""
    data = _encoded(path, content) if isinstance(content, str) else content
    with done(f"{path} is written"):
        write_whole(path, data if callable(data) else lambda file: file.write(data), replace=force)


def _encoded(path: Path, text: str) -> bytes:
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise BadInput(str(path), "would hold letters that cannot be written", "type the names in it again") from None


@contextlib.contextmanager
def done(words: str) -> Iterator[None]:
    """Note what the work inside brings onto the disk; an interrupt waits until that is known."""
    interrupted: list[int] = []
    if threading.current_thread() is not threading.main_thread():
        yield
        DONE.append(words)
        return
    before = signal.signal(signal.SIGINT, lambda number, _: interrupted.append(number))
    try:
        yield
        DONE.append(words)
    finally:
        signal.signal(signal.SIGINT, before or signal.SIG_DFL)
    if interrupted:
        raise KeyboardInterrupt
