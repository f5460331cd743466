"""A file written whole or not at all: under a name of our own in its folder first, then renamed."""

import contextlib
import os
import re
import secrets
import stat
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from areacalc.errors import BadInput, Taken

_OURS = re.compile(r"\.areacalc-[0-9a-f]{16}")


def write_whole(
    path: Path, write: Callable[[BinaryIO], object], *, replace: bool = True, private: bool = False
) -> None:
    """Write a file whole or not at all, and onto the disk before this returns.

    A file that is replaced keeps its mode and owner; a link is written through. private: only the user may read a new
    file. What a killed write left in the folder is removed. Raises BadInput where the file cannot be written, and
    where it is there and may not be replaced.
    """
    refuse_taken(path, replace)
    target = Path(os.path.realpath(path))
    tidy(target.parent)
    try:
        with new_file(target.parent, private) as (temporary, file):
            write(file)
            settle(temporary, file, target, replace)
    except FileExistsError:
        refuse_taken(path, replace)
        raise
    except OSError as trouble:
        why = trouble.strerror or str(trouble)
        raise BadInput(str(path), f"cannot be written: {why}", "choose another name or folder") from None


def refuse_taken(path: Path, replace: bool) -> None:
    """Refuse the name of a folder or a device, and of a file that may not be replaced. Raises BadInput."""
    if not os.path.exists(path):
        return
    if os.path.isdir(path):
        raise BadInput(str(path), "is a folder", "choose another name")
    if not os.path.isfile(path):
        raise BadInput(str(path), "is a device, not a file", "choose another name")  # a rename would take its place
    if not replace:
        raise Taken(str(path), "already exists", "choose another name, or say that it may be replaced")


@contextlib.contextmanager
def new_file(folder: Path, private: bool = False) -> Iterator[tuple[Path, BinaryIO]]:
    """A new file in the folder, held while it is written; unless it is settled, it is gone afterwards."""
    path = folder / f".areacalc-{secrets.token_hex(8)}"
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600 if private else 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            with contextlib.suppress(OSError):  # some file systems have no locks
                _hold(file.fileno())
            if not path.exists():  # another write tidied it away before it was held
                with new_file(folder, private) as again:
                    yield again
                return
            yield path, file
    finally:
        path.unlink(missing_ok=True)


def settle(temporary: Path, file: BinaryIO, target: Path, replace: bool = True) -> None:
    """Bring a new file onto the disk and give it its name. Raises OSError."""
    file.flush()
    os.fsync(file.fileno())
    _put(temporary, target, replace)
    _keep_names(target.parent)


def _put(temporary: Path, target: Path, replace: bool) -> None:
    """Give the finished file its name. Raises OSError, FileExistsError where a file is there that must stay."""
    if not replace:
        with contextlib.suppress(OSError):  # some file systems have no second names
            os.link(temporary, target)
            return
        if os.path.exists(target):
            raise FileExistsError(target)
    elif os.path.isfile(target):
        before = target.stat()
        os.chmod(temporary, stat.S_IMODE(before.st_mode))
        if sys.platform != "win32":
            with contextlib.suppress(PermissionError):
                os.chown(temporary, before.st_uid, before.st_gid)
    os.replace(temporary, target)


def _keep_names(folder: Path) -> None:
    """Bring the folder itself onto the disk, so that the new name outlasts a loss of power."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # some file systems cannot
            os.fsync(handle)
    finally:
        os.close(handle)


def tidy(folder: Path) -> None:
    """Remove what killed writes left: files with a name of ours that no process holds."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if _OURS.fullmatch(entry.name):
                with contextlib.suppress(OSError):
                    _remove_unheld(entry.path)


def _remove_unheld(path: str) -> None:
    """Raises OSError where a process holds the file."""
    if sys.platform == "win32":  # there a file that is open cannot be removed
        os.unlink(path)
        return
    with open(path, "rb+") as file:
        _hold(file.fileno(), wait=False)
        os.unlink(path)


def _hold(handle: int, wait: bool = True) -> None:
    """Lock an open file for as long as it is open. Raises OSError where another process holds it."""
    if sys.platform != "win32":
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
