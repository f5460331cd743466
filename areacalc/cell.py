"""Cells of a table: of CSV, not taken for a formula by a spreadsheet; of HTML, for a notebook."""

from collections.abc import Iterable, Sequence
from html import escape

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def quoted(value: object) -> object:
    """A text that looks like a formula with a quotation mark before it; anything else as it is.

    >>> quoted("=1+1"), quoted("pen"), quoted(-1.0)
    ("'=1+1", 'pen', -1.0)
    """
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def unquoted(cell: str) -> str:
    """The text that was quoted."""
    return cell.removeprefix("'")


def html_table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table as HTML, every text escaped.

    >>> html_table("", ["a"], [["<1"]])
    '<table><caption></caption><tr><th>a</th></tr><tr><td>&lt;1</td></tr></table>'
    """
    head = "".join(f"<th>{escape(word)}</th>" for word in heads)
    lines = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return f"<table><caption>{escape(title)}</caption><tr>{head}</tr>{lines}</table>"
