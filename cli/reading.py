"""How far the reading of a large file is, on the last line of a terminal, wiped off when it is done."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from areacalc.shape.fence import watched

_SILENT_S = 1.5  # most files are read before it is worth a word


@contextmanager
def reading_shown() -> Iterator[None]:
    """Show it for what is read inside the block, where standard error is a terminal."""
    if not sys.stderr.isatty():
        yield
        return
    began: dict[str, float] = {}

    def show(source: str, stage: str, done: int, of: int) -> None:
        since = time.monotonic() - began.setdefault(source, time.monotonic())
        if not stage:  # it has been read
            del began[source]
            sys.stderr.write("\r\x1b[K" if since > _SILENT_S else "")
        elif since > _SILENT_S:
            far = f" {done} of {of}" if of else ""
            sys.stderr.write(f"\r{source}: {stage}{far}, {since:.0f} s\x1b[K")
        sys.stderr.flush()

    with watched(show):
        yield
