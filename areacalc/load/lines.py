"""On which line of a TOML text each table and key stands: the standard library's reader does not tell."""

import re

Path = tuple[str | int, ...]

_NAME = r"""(?:"(?:[^"\\]|\\.)*"|'[^']*'|[A-Za-z0-9_-]+)"""
_DOTTED = rf"{_NAME}(?:\s*\.\s*{_NAME})*"
_TABLE = re.compile(rf"^\s*(?P<array>\[)?\[\s*(?P<name>{_DOTTED})\s*\]")
_KEY = re.compile(rf"^\s*(?P<name>{_DOTTED})\s*=(?P<value>.*)$")
_PIECE = re.compile(r'"""|\'\'\'|"(?:[^"\\]|\\.)*"|\'[^\']*\'|#.*|[\[\]{}]')


def key_lines(text: str) -> dict[Path, int]:
    """The line (from 1) of every table and key of a sound TOML text; a table in an array has its number in its path.

    >>> key_lines("[[part]]\\ncount = 4\\n[[part]]\\ncount = 2\\n[bath]\\nacid = '180 g/L'")[("part", 1, "count")]
    4
    """
    lines: dict[Path, int] = {}
    arrays: dict[Path, int] = {}
    table: Path = ()
    open_quote, depth = "", 0
    for number, line in enumerate(text.splitlines(), start=1):
        if open_quote or depth:
            open_quote, depth = _after(line, open_quote, depth)
            continue
        if found := _TABLE.match(line):
            table = _table(_names(found["name"]), bool(found["array"]), arrays)
            lines.setdefault(table, number)
        elif found := _KEY.match(line):
            names = _names(found["name"])
            for end in range(1, len(names) + 1):
                lines.setdefault((*table, *names[:end]), number)
            open_quote, depth = _after(found["value"], "", 0)
    return lines


def _names(dotted: str) -> list[str]:
    return [name.strip("\"'") for name in re.findall(_NAME, dotted)]


def _table(names: list[str], is_array: bool, arrays: dict[Path, int]) -> Path:
    """The path of a table header, with the number of the last entry of each array it stands in."""
    path: Path = ()
    for i, name in enumerate(names):
        path = (*path, name)
        if is_array and i == len(names) - 1:
            arrays[path] = arrays.get(path, -1) + 1
        if path in arrays:
            path = (*path, arrays[path])
    return path


def _after(text: str, open_quote: str, depth: int) -> tuple[str, int]:
    """Whether a long string or a list is still open at the end of this line."""
    at = 0
    if open_quote:
        end = text.find(open_quote)
        if end < 0:
            return open_quote, depth
        at = end + 3
    for piece in _PIECE.finditer(text, at):
        mark = piece.group()
        if mark in ('"""', "'''"):
            end = text.find(mark, piece.end())
            if end < 0:
                return mark, depth
            return _after(text[end + 3 :], "", depth)
        if mark in "[{":
            depth += 1
        elif mark in "]}":
            depth -= 1
    return "", max(depth, 0)
