"""The page's own folder: the bench, the part files that were dropped, their pictures; each written whole or not at all.

It stands inside the folder given, under a name of its own and with a marker in it. Nothing outside is touched, and
inside it only files with the names that the page itself gives.
"""

import hashlib
import os
import re
import sys
import time
from collections.abc import AsyncIterator
from pathlib import Path
from typing import IO

import msgspec

from areacalc.errors import BadInput
from areacalc.whole_file import new_file, settle, tidy, write_whole

from .bench import KEPT_S, Bench

MOST_UPLOAD_BYTES = 400_000_000
OWN = "areacalc-page"
MARKER = "made-by-areacalc-page"
_DIGEST = re.compile("[0-9a-f]{32}")


class TooLarge(Exception):
    """More bytes than are let in."""


class Store:
    """One folder of the page. Raises BadInput where it cannot be made, is not the page's, or another page holds it."""

    def __init__(self, given: Path) -> None:
        self.folder = (given if (given / MARKER).is_file() else given / OWN).resolve()
        self.parts = self.folder / "parts"
        self.views = self.folder / "views"
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._mark()
            for each in (self.folder, self.parts, self.views):
                each.mkdir(mode=0o700, exist_ok=True)
                each.chmod(0o700)
            self._lock = os.fdopen(os.open(self.folder / "lock", os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600), "a+")
        except OSError as trouble:
            why = trouble.strerror or "no folder can be made there"
            raise BadInput(str(given), f"cannot hold data: {why}", "give another folder with --data") from None
        _hold(self._lock, self.folder)
        for each in (self.folder, self.parts, self.views):
            tidy(each)

    def _mark(self) -> None:
        """Make the folder the page's own. Raises BadInput for one that holds something of another's."""
        if (self.folder / MARKER).is_file():
            return
        if any(self.folder.iterdir()):
            raise BadInput(str(self.folder), "holds files that the page did not write",
                           "move them, or give another folder with --data")  # fmt: skip
        write_whole(self.folder / MARKER, lambda file: file.write(b"The page keeps its data here.\n"), private=True)

    def close(self) -> None:
        """Let the folder go."""
        self._lock.close()

    def read(self) -> tuple[Bench, str]:
        """The bench as it was left, and a sentence where it could not be read and is kept aside."""
        file = self.folder / "bench.json"
        try:
            return msgspec.json.decode(file.read_bytes(), type=Bench).kept(time.time()), ""
        except FileNotFoundError:
            return Bench(), ""
        except (OSError, ValueError) as trouble:  # what does not decode is a ValueError too
            aside = next(p for n in range(1, 10_000) if not (p := self.folder / f"bench-unread-{n}.json").exists())
            os.rename(file, aside)
            why = trouble.strerror if isinstance(trouble, OSError) else str(trouble)
            why = "another version of areacalc wrote it" if why and "$.schema" in why else why
            return Bench(), (f"What lay on the bench could not be read ({why}). It is kept as {aside}, "
                             "and its part files stay in their folder.")  # fmt: skip

    def write(self, bench: Bench) -> None:
        """Keep the bench. Raises BadInput, with the one before still kept."""
        content = msgspec.json.encode(bench)
        try:
            write_whole(self.folder / "bench.json", lambda file: file.write(content), private=True)
        except BadInput as trouble:
            raise BadInput("this change", trouble.what, "make room, and make it again") from None

    async def take(self, name: str, stream: AsyncIterator[bytes], suffix: str, most: int = MOST_UPLOAD_BYTES) -> str:
        """Keep the bytes as a part file of that suffix; its name in the folder. Raises TooLarge, BadInput."""
        digest, size = hashlib.sha256(), 0
        try:
            with new_file(self.parts, private=True) as (temporary, file):
                async for chunk in stream:
                    size += len(chunk)
                    if size > most:
                        raise TooLarge
                    digest.update(chunk)
                    file.write(chunk)
                stored = f"{digest.hexdigest()[:32]}/part{suffix}"
                (self.parts / stored).parent.mkdir(mode=0o700, exist_ok=True)
                settle(temporary, file, self.parts / stored)
        except OSError as trouble:
            raise BadInput(name, f"cannot be kept: {trouble.strerror}", "make room, and drop it again") from None
        return stored

    async def keep(self, name: str, content: bytes, suffix: str) -> str:
        """Keep bytes that are at hand as a part file. Raises BadInput."""

        async def once() -> AsyncIterator[bytes]:
            yield content

        return await self.take(name, once(), suffix)

    def drop(self, stored: str) -> None:
        """Let go of a file that was just kept and is not used after all."""
        _remove(self.parts / stored)

    def tidy(self, bench: Bench) -> None:
        """Remove pictures, which are drawn again, and files that no part has used for as long as the bin keeps one.

        While a bench that could not be read lies aside, no part file goes: it may be one of those.
        """
        for file in self.views.iterdir():
            if _DIGEST.fullmatch(file.name):
                file.unlink(missing_ok=True)
        if any(self.folder.glob("bench-unread-*")):
            return
        old = time.time() - KEPT_S
        for file in self.parts.glob("*/part.*"):
            stored = f"{file.parent.name}/{file.name}"
            if _DIGEST.fullmatch(file.parent.name) and stored not in bench.files and file.stat().st_mtime < old:
                _remove(file)


def _remove(file: Path) -> None:
    file.unlink(missing_ok=True)
    if not any(file.parent.iterdir()):
        file.parent.rmdir()


def _hold(lock: IO[str], folder: Path) -> None:
    """Refuse a folder that another page has open."""
    try:
        if sys.platform == "win32":
            import msvcrt

            lock.seek(0)
            msvcrt.locking(lock.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        lock.close()
        raise BadInput(
            str(folder), "is open in another page", "use that one, or give another folder with --data"
        ) from None
