"""What a file really is, from its first bytes and its size; its name is not asked."""

import re
import zipfile
from pathlib import Path

HEAD_BYTES = 4096
_MAGIC = [
    (re.compile(rb"glTF", re.S), "GLB"),
    (re.compile(rb"PK\x03\x04|PK\x05\x06"), "zip"),
    (re.compile(rb"\x1f\x8b"), "gzip"),
    (re.compile(rb"BZh\d"), "bzip2"),
    (re.compile(rb"\xfd7zXZ"), "xz"),
    (re.compile(rb"7z\xbc\xaf"), "7-zip"),
    (re.compile(rb"%PDF"), "PDF"),
    (re.compile(rb"\x89PNG|\xff\xd8\xff|GIF8"), "picture"),
    (re.compile(rb"\xd0\xcf\x11\xe0"), "compound document"),
    (re.compile(rb"\x7fELF|MZ"), "program"),
    (re.compile(rb"AutoCAD Binary DXF"), "DXF"),
    (re.compile(rb"AC10\d\d\x00"), "DWG"),
    (re.compile(rb"\xff\xfe|\xfe\xff"), "UTF-16 text"),
    (re.compile(rb"ply\s"), "PLY"),
]  # fmt: skip
_FIRST_WORD = [
    (re.compile(rb"ISO-10303-21[ \t\r\n]*;"), "STEP"),
    (re.compile(rb"(ST)?C?N?4?n?OFF\b"), "OFF"),
    (re.compile(rb"0[ \t]*[\r\n]+[ \t]*SECTION"), "DXF"),
    (re.compile(rb"<(!DOCTYPE[ \t\r\n]+)?html", re.I), "HTML"),
    (re.compile(rb"<"), "XML"),
    (re.compile(rb"\{"), "JSON"),
]  # fmt: skip
# what may stand before the first word: of a STEP file, of an OFF, of a DXF drawing; each end is looked for once
_REMARKS = ((b"/*", re.compile(rb"\*/")), (b"#", re.compile(rb"[\r\n]")), (b"999", re.compile(rb"[\r\n]+[^\r\n]*")))
_OBJ_LINE = re.compile(rb"^[ \t]*(v|vn|vt|f|o|g|mtllib|usemtl)[ \t]+[^ \t\r\n]", re.M)
_IN_A_SENTENCE = {
    "text": "plain text of no known kind", "binary": "binary data of no known kind", "empty": "an empty file",
    "UTF-16 text": "text in UTF-16", "picture": "a picture", "compound document": "an office document",
    "program": "a program",
}  # fmt: skip
_WITH_AN = {"ASCII STL", "OBJ", "OFF", "IGES", "HTML", "XML", "xz"}
_IGES = re.compile(rb"^[^\r\n]{72}S\s*0*1\s*[\r\n]")


def kind_of(path: Path) -> str:
    """The kind of file in plain words: "binary STL", "ASCII STL", "STEP", "3MF", "zip", "text", "empty" ...

    Reads at most HEAD_BYTES (and a zip's list of names). Raises OSError.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        head = file.read(HEAD_BYTES)
    if not head:
        return "empty"
    # the size fits a count that stands in four bytes: by chance once in four thousand million files
    if size >= 84 and size == 84 + 50 * int.from_bytes(head[80:84], "little"):
        return "binary STL"
    text = head[3:] if head.startswith(b"\xef\xbb\xbf") else head
    for magic, kind in _MAGIC:
        if magic.match(text):
            return _zipped(path) if kind == "zip" else kind
    first = _without_remarks(text)
    for word, kind in _FIRST_WORD:
        if word.match(first):
            return "glTF" if kind == "JSON" and b'"asset"' in _whole(path) else kind
    if _IGES.match(text):
        return "IGES"
    if not is_text(head):
        return "binary"
    if re.match(rb"solid\b", text.lstrip(), re.I):
        return "ASCII STL"
    return "OBJ" if _OBJ_LINE.search(text) else "text"


def described(path: Path) -> str:
    """The kind of file with its article, for a sentence: "a picture", "an OBJ file". Raises OSError."""
    kind = kind_of(path)
    article = "an" if kind in _WITH_AN else "a"
    return _IN_A_SENTENCE.get(kind, f"{article} {kind} file")


def is_text(head: bytes) -> bool:
    """Whether these bytes are text of any 8-bit kind: no control characters but tabs and line ends.

    >>> is_text(b"solid knob\\r\\n"), is_text(b"solid knob" + bytes(70))
    (True, False)
    """
    return not re.search(rb"[\x00-\x08\x0e-\x1f]", head)


def _without_remarks(text: bytes) -> bytes:
    """The text from its first word that is no remark, in one pass however the remarks are nested.

    >>> _without_remarks(b" /* made here */ ISO-10303-21;"), _without_remarks(b"# one\\n# two\\nOFF 1")
    (b'ISO-10303-21;', b'OFF 1')
    """
    at = 0
    while True:
        while text[at : at + 1].isspace():
            at += 1
        end = next((end.search(text, at) for mark, end in _REMARKS if text.startswith(mark, at)), None)
        if end is None:
            return text[at:]
        at = end.end()


def _whole(path: Path) -> bytes:
    """Enough of a JSON file to see whether it is glTF, whose "asset" may stand last."""
    with path.open("rb") as file:
        head = file.read(1 << 16)
        file.seek(max(0, path.stat().st_size - (1 << 16)))
        return head + file.read(1 << 16)


def held_in(path: Path) -> list[str]:
    """The names of the files in a zip, without those that systems add; none where it cannot be read."""
    return [name for name in _names(path) or () if not name.endswith("/") and "__MACOSX" not in name]


def _names(path: Path) -> list[str] | None:
    try:
        with zipfile.ZipFile(path) as package:
            return package.namelist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return None


def _zipped(path: Path) -> str:
    found = _names(path)
    if found is None:
        return "damaged zip"
    names = {name.lower() for name in found}
    if any(name.endswith(".model") for name in names) or ("_rels/.rels" in names and any("3d/" in n for n in names)):
        return "3MF"
    return "zip"
