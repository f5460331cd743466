"""STL, binary and ASCII, told apart by size and content. The two bytes after a facet are left: no standard fills them.

The binary reader works in blocks that stay in the processor's cache and allocates nothing before the file's size has
confirmed the count in its header.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Totals:
    """What one pass over an STL gives without keeping it."""

    area_mm2: float
    count: int
    low_mm: tuple[float, float, float]
    high_mm: tuple[float, float, float]


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
            vertices = np.empty((3 * count, 3))
            flat = vertices.reshape(count, 9)
            for start, block in _blocks(path, file, count):
                flat[start : start + len(block)] = block
            solids, solid_of, notes = (), np.empty(0, np.int32), (*notes, *more)
    if basis.mm != 1.0:
        vertices *= basis.mm
    triangles = np.arange(len(vertices), dtype=np.int32).reshape(-1, 3)
    return Body(
        path.stem, path.name, vertices, triangles, basis, solids=solids, solid_of_triangle=solid_of, notes=notes
    )


def totals(path: Path, unit: Unit | None = None) -> Totals:
    """Area, count and extent of an STL in one pass that keeps no triangle. Raises BadInput as `read` does."""
    mm = decide_unit(unit)[0].mm
    with path.open("rb") as file:
        if _is_ascii(path, file):
            body = read(path, unit)
            low, high = body.vertices.min(axis=0), body.vertices.max(axis=0)
            return Totals(body.facet_area_mm2, len(body.triangles), _triple(low), _triple(high))
        count, _ = _count(path, file)
        area, low, high = 0.0, np.full(9, np.inf), np.full(9, -np.inf)
        for _, block in _blocks(path, file, count):
            area += float(_double_areas(block).sum())
            np.minimum(low, block.min(axis=0), out=low)
            np.maximum(high, block.max(axis=0), out=high)
    low, high = low.reshape(3, 3).min(axis=0) * mm, high.reshape(3, 3).max(axis=0) * mm
    return Totals(0.5 * area * mm * mm, count, _triple(low), _triple(high))


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


def _blocks(path: Path, file: BinaryIO, count: int) -> Iterator[tuple[int, Floats]]:
    """Block by block: the first facet's number and the corners (k, 9) as float64."""
    buffer = np.empty(min(BLOCK, count), RECORD)
    for start in range(0, count, BLOCK):
        records = buffer[: min(BLOCK, count - start)]
        if file.readinto(records.view(np.uint8).data) != records.nbytes:  # type: ignore[attr-defined]
            raise BadInput(path.name, "became shorter while it was read", "wait until it is written, then try again")
        block = records["corners"].astype(np.float64)
        if not np.isfinite(block.sum()):
            _refuse_infinite(path, start, block)
        yield start, block


def _refuse_infinite(path: Path, start: int, block: Floats) -> None:
    bad = np.nonzero(~np.isfinite(block).all(axis=1))[0]
    if len(bad):
        where = f"{path.name}, triangle {start + int(bad[0]) + 1}"
        raise BadInput(where, "a corner is not a finite number", "export the part again")


def _double_areas(block: Floats) -> Floats:
    ax, ay, az, bx, by, bz, cx, cy, cz = np.ascontiguousarray(block.T)
    ux, uy, uz, vx, vy, vz = bx - ax, by - ay, bz - az, cx - ax, cy - ay, cz - az
    x, y, z = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    doubled: Floats = np.sqrt(x * x + y * y + z * z)
    return doubled


def _triple(row: Floats) -> tuple[float, float, float]:
    return float(row[0]), float(row[1]), float(row[2])
