"""A zip file opened with care: names that lead outside it, locks, and contents that unpack without end are refused."""

import errno
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import IO

from areacalc.errors import BadInput

MAX_UNPACKED_BYTES = 1 << 30  # a mesh of some ten million triangles
MAX_RATIO = 250  # the most that rows of coordinates shrink is about 40 to 1
_SMALL_BYTES = 1 << 24  # below this a high ratio does no harm


class Package:
    """The parts of an open zip, by their names without a leading slash. Raises BadInput."""

    def __init__(self, path: Path, opened: zipfile.ZipFile) -> None:
        self.path, self._zip = path, opened
        self.names: dict[str, str] = {}
        for info in opened.infolist():
            parts = PurePosixPath(info.filename.replace("\\", "/")).parts
            if ".." in parts or info.filename.startswith("/") or ":" in info.filename:
                what = f"holds a name that leads outside it: '{info.filename[:60]}'"
                raise BadInput(path.name, what, "do not use it")
            self.names[info.filename.lower()] = info.filename

    def __contains__(self, name: str) -> bool:
        return name.lstrip("/").lower() in self.names

    @contextmanager
    def part(self, name: str) -> Iterator[IO[bytes]]:
        """One part as a stream that ends in an error where more comes out than was declared and is allowed."""
        if name not in self:
            raise BadInput(self.path.name, f"lacks its part '{name[:80]}'", "export the part again")
        info = self._zip.getinfo(self.names[name.lstrip("/").lower()])
        where = f"{self.path.name}, {info.filename}"
        if info.flag_bits & 1:
            raise BadInput(where, "is locked with a password", "export it without one")
        swollen = info.file_size > MAX_RATIO * max(info.compress_size, 1) and info.file_size > _SMALL_BYTES
        if info.file_size > MAX_UNPACKED_BYTES or swollen:
            size = f"{info.compress_size} bytes unpack to {info.file_size}"
            raise BadInput(where, f"{size}, more than a mesh needs", "export it coarser, or do not use it")
        try:
            with self._zip.open(info) as stream:  # stops at the declared size, and checks it against the sum
                yield stream
        except (zipfile.BadZipFile, EOFError, NotImplementedError, ValueError) as error:
            if isinstance(error, BadInput):
                raise
            raise BadInput(where, f"is damaged ({error})", "export the part again") from None
        except Exception as error:
            before_the_file = isinstance(error, OSError) and error.errno == errno.EINVAL  # where a part should begin
            if before_the_file or type(error).__name__ in ("error", "LZMAError"):  # the decompressors' own
                raise BadInput(where, f"is damaged ({error})", "export the part again") from None
            raise


@contextmanager
def open_package(path: Path) -> Iterator[Package]:
    """The zip file at `path`. Raises BadInput."""
    try:
        opened = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as error:
        raise BadInput(path.name, f"is a damaged zip ({error})", "export the part again") from None
    with opened:
        yield Package(path, opened)
