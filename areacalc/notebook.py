"""What a notebook shows for a part, a plan or a figure: a small table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def html_table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table as HTML, every text escaped.

    >>> html_table("", ["a"], [["<1"]])
    '<table><caption></caption><tr><th>a</th></tr><tr><td>&lt;1</td></tr></table>'
    """
    head = "".join(f"<th>{escape(word)}</th>" for word in heads)
    lines = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return f"<table><caption>{escape(title)}</caption><tr>{head}</tr>{lines}</table>"
