"""STL, binary and ASCII, told apart by size and content. The two bytes after a facet are left: no standard fills them.

The binary reader works in blocks that stay in the processor's cache and allocates nothing before the file's size has
confirmed the count in its header.
"""

from pathlib import Path
from typing import BinaryIO

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.file_kind import HEAD_BYTES, is_text
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import FileNote, Floats, Note

RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", 9), ("extra", "<u2")])
HEADER_BYTES = 84
BLOCK = 16384  # facets; 0.8 MB of file


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in an STL file. Three vertices of its own for each triangle: `Body.topology` welds them.

    Raises BadInput: cut short, not STL, a corner that is not a finite number (with its triangle).
    """
    basis, notes = decide_unit(unit)
    with path.open("rb") as file:
        if _is_ascii(path, file):
            from areacalc.shape.files.read_stl_text import read_text

            corners, solids, solid_of = read_text(path, file)
            vertices = corners.reshape(-1, 3)
        else:
            count, more = _count(path, file)
            vertices = _corners(path, file, count)
            solids, solid_of, notes = (), np.empty(0, np.int32), (*notes, *more)
    if basis.mm != 1.0:
        vertices *= basis.mm
    triangles = np.arange(len(vertices), dtype=np.int32).reshape(-1, 3)
    return Body(
        path.stem, path.name, vertices, triangles, basis, solids=solids, solid_of_triangle=solid_of, notes=notes
    )


def _is_ascii(path: Path, file: BinaryIO) -> bool:
    """By size first: a header that begins with "solid" says nothing."""
    head = file.read(HEAD_BYTES)
    file.seek(0)
    size = path.stat().st_size
    if size >= HEADER_BYTES and size == HEADER_BYTES + RECORD.itemsize * int.from_bytes(head[80:84], "little"):
        return False
    return is_text(head) and head.removeprefix(b"\xef\xbb\xbf").lstrip()[:5].lower() == b"solid"


def _count(path: Path, file: BinaryIO) -> tuple[int, tuple[Note, ...]]:
    """The number of facets, held against the file's size; the file stands at the first one."""
    size = path.stat().st_size
    header = file.read(HEADER_BYTES)
    if len(header) < HEADER_BYTES:
        raise BadInput(path.name, f"is cut short: {size} bytes, and the header alone takes 84", "export the part again")
    count = int.from_bytes(header[80:84], "little")
    held = (size - HEADER_BYTES) // RECORD.itemsize
    if count > held:
        what = f"header promises {count} triangles, the file holds {held}"
        raise BadInput(path.name, what, "export the part again")
    if count == 0:
        raise BadInput(path.name, "holds no triangle", "export the part as a solid or a mesh")
    extra = size - HEADER_BYTES - count * RECORD.itemsize
    if extra == 0:
        return count, ()
    return count, (Note(fact(FileNote.TRAILING_BYTES, count=extra), warns=extra >= RECORD.itemsize),)


def _corners(path: Path, file: BinaryIO, count: int) -> Floats:
    """All corners (3 count, 3), read block by block."""
    corners = np.empty((count, 9))
    buffer = np.empty(min(BLOCK, count), RECORD)
    for start in range(0, count, BLOCK):
        block = corners[start : start + BLOCK]
        records = buffer[: len(block)]
        if file.readinto(records.view(np.uint8).data) != records.nbytes:  # type: ignore[attr-defined]
            raise BadInput(path.name, "became shorter while it was read", "wait until it is written, then try again")
        block[:] = records["corners"]
        if not np.isfinite(block.sum()):
            _refuse_infinite(path, start, block)
    return corners.reshape(-1, 3)


def _refuse_infinite(path: Path, start: int, block: Floats) -> None:
    bad = np.nonzero(~np.isfinite(block).all(axis=1))[0]
    if len(bad):
        where = f"{path.name}, triangle {start + int(bad[0]) + 1}"
        raise BadInput(where, "a corner is not a finite number", "export the part again")
