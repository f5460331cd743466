"""ASCII STL: any case, any line end, any number of solids, read in blocks of whole facets."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.kinds import Floats, Ints

BLOCK_BYTES = 1 << 22
_WORDS = 21  # facet normal x y z outer loop (vertex x y z) x 3 endloop endfacet
_FIXED = {0: b"facet", 1: b"normal", 5: b"outer", 6: b"loop", 7: b"vertex", 11: b"vertex", 15: b"vertex",
          19: b"endloop", 20: b"endfacet"}  # fmt: skip
_END = b"endfacet"
_SOLID = re.compile(rb"\b(endsolid|solid)\b", re.I)
_NAME_ENDS = re.compile(rb"[\r\n]|\bfacet\s+normal\b", re.I)  # where the whole file is one line, at its first facet


def read_text(path: Path, file: BinaryIO) -> tuple[Floats, tuple[str, ...], Ints]:
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
