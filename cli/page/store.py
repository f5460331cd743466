"""The data folder: the bench, the part files that were dropped and their pictures, each written whole or not at all."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path
from typing import IO

from areacalc.errors import BadInput
from areacalc.logbook.logbook import SUFFIX
from areacalc.whole_file import write_whole

from .bench import Bench, bench_document, bench_from

MOST_UPLOAD_BYTES = 400_000_000


class TooLarge(Exception):
    """More bytes than are let in."""


def default_folder() -> Path:
    """Where the page keeps its data unless told otherwise: the system's place for a person's data."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Application Support")
    else:
        base = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(base) / "areacalc"


class Store:
    """One data folder. Raises BadInput where it cannot be made, or another page holds it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self.parts = self.folder / "parts"
        self.views = self.folder / "views"
        self.book = self.folder / f"page{SUFFIX}"
        try:
            for each in (self.parts, self.views):
                each.mkdir(parents=True, exist_ok=True)
            self._lock = (self.folder / "lock").open("a+")
        except OSError as trouble:
            raise BadInput(
                str(folder), f"cannot hold data: {trouble.strerror}", "give another folder with --data"
            ) from None
        _hold(self._lock, folder)

    def close(self) -> None:
        """Let the folder go."""
        self._lock.close()

    def read(self) -> tuple[Bench, str]:
        """The bench as it was left, and a sentence where it could not be read and was put aside."""
        file = self.folder / "bench.json"
        try:
            return bench_from(json.loads(file.read_text("utf-8"))), ""
        except FileNotFoundError:
            return Bench(), ""
        except (OSError, ValueError, KeyError, TypeError, AttributeError, BadInput):
            aside = next(p for n in range(1, 10_000) if not (p := self.folder / f"bench-unread-{n}.json").exists())
            shutil.move(file, aside)
            return Bench(), f"What lay on the bench could not be read; it was put aside as {aside.name}."

    def write(self, bench: Bench) -> None:
        """Keep the bench."""
        content = json.dumps(bench_document(bench), ensure_ascii=False).encode()
        write_whole(self.folder / "bench.json", lambda file: file.write(content))

    async def take(self, stream: AsyncIterator[bytes], suffix: str, most: int = MOST_UPLOAD_BYTES) -> str:
        """Keep the bytes as a part file of that suffix; its name in the folder. Raises TooLarge."""
        digest, size = hashlib.sha256(), 0
        handle, temporary = tempfile.mkstemp(dir=self.parts, prefix=".coming-")
        try:
            with os.fdopen(handle, "wb") as file:
                async for chunk in stream:
                    size += len(chunk)
                    if size > most:
                        raise TooLarge
                    digest.update(chunk)
                    file.write(chunk)
            name = f"{digest.hexdigest()[:32]}/part{suffix}"
            (self.parts / name).parent.mkdir(exist_ok=True)
            os.replace(temporary, self.parts / name)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
        return name

    def keep(self, content: bytes, suffix: str) -> str:
        """Keep bytes that are at hand as a part file."""
        name = f"{hashlib.sha256(content).hexdigest()[:32]}/part{suffix}"
        (self.parts / name).parent.mkdir(exist_ok=True)
        write_whole(self.parts / name, lambda file: file.write(content))
        return name

    def tidy(self, bench: Bench) -> None:
        """Throw away files and pictures that nothing on the bench uses."""
        used = {p.file.partition("/")[0] for p in (*bench.parts, *bench.removed)}
        for folder in self.parts.iterdir():
            if folder.name not in used:
                shutil.rmtree(folder, ignore_errors=True) if folder.is_dir() else folder.unlink(missing_ok=True)
        seen = {p.view for p in (*bench.parts, *bench.removed)}
        for file in self.views.iterdir():
            if file.name not in seen:
                file.unlink(missing_ok=True)


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
