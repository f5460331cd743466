"""A cell of a CSV table that a spreadsheet does not take for a formula."""

from __future__ import annotations

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def quoted(value: object) -> object:
    """A text that looks like a formula with a quotation mark before it; anything else as it is.

    >>> quoted("=1+1"), quoted("pen"), quoted(-1.0)
    ("'=1+1", 'pen', -1.0)
    """
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def unquoted(cell: str) -> str:
    """The text that was quoted.

    >>> unquoted("'=1+1")
    '=1+1'
    """
    return cell.removeprefix("'")
