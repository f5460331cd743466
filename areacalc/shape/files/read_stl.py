"""STL, binary and ASCII, told apart by size and content. The two bytes after a facet are left: no standard fills them.

The binary reader works in blocks that stay in the processor's cache and allocates nothing before the file's size has
confirmed the count in its header. Text may be of any case, with any line end and any number of solids; it is read in
blocks of whole facets.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import numpy as np

from areacalc.errors import BadInput
from areacalc.fact import fact
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.file_kind import HEAD_BYTES, is_text
from areacalc.shape.file_unit import decide_unit
from areacalc.shape.kinds import FileNote, Floats, Ints, Note

RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", 9), ("extra", "<u2")])
HEADER_BYTES = 84
BLOCK = 16384  # facets; 0.8 MB of file
BLOCK_BYTES = 1 << 22
_WORDS = 21  # facet normal x y z outer loop (vertex x y z) x 3 endloop endfacet
_FIXED = {0: b"facet", 1: b"normal", 5: b"outer", 6: b"loop", 7: b"vertex", 11: b"vertex", 15: b"vertex",
          19: b"endloop", 20: b"endfacet"}  # fmt: skip
_END = b"endfacet"
_SOLID = re.compile(rb"\b(endsolid|solid)\b", re.I)
_NAME_ENDS = re.compile(rb"[\r\n]|\bfacet\s+normal\b", re.I)  # where the whole file is one line, at its first facet


def read(path: Path, unit: Unit | None = None) -> Body:
    """The Body in an STL file. Three vertices of its own for each triangle: `Body.topology` welds them.

    Raises BadInput: cut short, not STL, a corner that is not a finite number (with its triangle).
    """
    basis, notes = decide_unit(unit)
    with path.open("rb") as file:
        if _is_ascii(path, file):
            corners, solids, solid_of = _read_text(path, file)
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
        if not np.isfinite(block.sum()) and len(bad := np.nonzero(~np.isfinite(block).all(axis=1))[0]):
            where = f"{path.name}, triangle {start + int(bad[0]) + 1}"
            raise BadInput(where, "a corner is not a finite number", "export the part again")
    return corners.reshape(-1, 3)


def _read_text(path: Path, file: BinaryIO) -> tuple[Floats, tuple[str, ...], Ints]:
    """Corners (m, 9) in the file's unit, the names of its solids, and the solid of each triangle (m,).

    Raises BadInput with the facet's number: cut short, not three corners, not a finite number.
    """
    corners: list[Floats] = []
    names: list[str] = []
    solid_of: list[Ints] = []
    count = 0
    for block in _blocks(path, file):
        cut = 0
        while cut < len(block):
            mark = _SOLID.search(block, cut)
            facets = _facets(path, block[cut : mark.start() if mark else len(block)], count)
            count += len(facets)
            corners.append(facets)
            solid_of.append(np.full(len(facets), max(len(names) - 1, 0), np.int32))
            if mark is None:
                break
            ends = _NAME_ENDS.search(block, mark.end())
            cut = ends.start() if ends else len(block)
            if mark[1].lower() == b"solid":
                names.append(block[mark.end() : cut].decode("utf-8", "replace").strip())
    if count == 0:
        raise BadInput(path.name, "holds no triangle", "export the part as a solid or a mesh")
    solids = tuple(name or f"solid-{i}" for i, name in enumerate(names, 1))
    return np.concatenate(corners), solids, np.concatenate(solid_of)


def _blocks(path: Path, file: BinaryIO) -> Iterator[bytes]:
    """Whole facets a block, with the solid and endsolid lines between them. Raises BadInput where the last is cut."""
    rest = file.read(3).removeprefix(b"\xef\xbb\xbf")
    count = 0
    while more := file.read(BLOCK_BYTES):
        rest += more
        end = rest.lower().rfind(_END)
        if end >= 0:
            count += 1
            yield rest[: end + len(_END)]
            rest = rest[end + len(_END) :]
        elif len(rest) > 4 * BLOCK_BYTES:
            raise BadInput(path.name, "is not an STL: no facet ends in 16 MB of text", "export the part again")
    if not re.search(rb"\bendsolid\b", rest, re.I) or re.search(rb"\bfacet\s+normal\b", rest, re.I):
        what = "the text is cut short: it does not end with 'endsolid'" if count else "holds no whole triangle"
        raise BadInput(path.name, what, "export the part again")
    yield rest


def _facets(path: Path, text: bytes, before: int) -> Floats:
    words = text.split()
    whole = len(words) // _WORDS
    if len(words) != whole * _WORDS or any(_odd(words[place::_WORDS], word) for place, word in _FIXED.items()):
        _refuse(path, words, before)
    numbers = np.empty((whole, 9))
    places = (8, 9, 10, 12, 13, 14, 16, 17, 18)
    for column, place in enumerate(places):
        try:
            numbers[:, column] = np.fromiter(map(float, words[place::_WORDS]), float, whole)
        except ValueError:
            _refuse(path, words, before)
    if not np.isfinite(numbers.sum()) and not np.isfinite(numbers).all():
        _refuse(path, words, before)
    return numbers


def _odd(words: list[bytes], expected: bytes) -> bool:
    count = len(words)
    return count != words.count(expected) and count != sum(word.lower() == expected for word in words)


def _refuse(path: Path, words: list[bytes], before: int) -> None:
    for i in range(0, len(words), _WORDS):
        facet = words[i : i + _WORDS]
        where = f"{path.name}, triangle {before + i // _WORDS + 1}"
        for place, word in enumerate(facet):
            expected = _FIXED.get(place)
            if expected is not None and word.lower() != expected:
                what = f"'{_shown(word)}' stands where '{expected.decode()}' belongs"
                raise BadInput(where, what, "export the part again")
            if expected is None and place > 6 and not _finite(word):
                raise BadInput(where, f"a corner is not a finite number: '{_shown(word)}'", "export the part again")
        if len(facet) < _WORDS:
            raise BadInput(where, "the facet is not whole", "export the part again")


def _finite(word: bytes) -> bool:
    try:
        return bool(np.isfinite(float(word)))
    except ValueError:
        return False


def _shown(word: bytes) -> str:
    return word[:30].decode("utf-8", "replace")
