"""A bath or a tank that a load calls by its name: its table comes from the logbook."""

from __future__ import annotations

from typing import Any, Literal

from areacalc.load.lines import key_lines
from areacalc.logbook.logbook import Logbook

Values = dict[str, Any]
KINDS: tuple[Literal["bath", "tank"], ...] = ("bath", "tank")


def names_in(data: Values) -> dict[str, str]:
    """The baths and tanks that a load calls by name.

    >>> names_in({"bath": "the small one", "tank": {"volume": "10 L"}})
    {'bath': 'the small one'}
    """
    return {kind: data[kind] for kind in KINDS if isinstance(data.get(kind), str)}


def with_tables(data: Values, text: str, source: str) -> Values:
    """The load with the tables of the baths and tanks that it names. Raises UnknownName."""
    names = names_in(data)
    if not names:
        return data
    lines = key_lines(text)
    with Logbook() as book:
        found: Values = {
            kind: dict(book.vessel(kind, names[kind], f"{source}, line {lines.get((kind,), 1)}, {kind}").settings)
            for kind in KINDS
            if kind in names
        }
    return {**data, **found}
