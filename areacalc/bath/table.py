"""Tables beside the code as csv files, and straight lines between their rows; those of the bath begin with a source."""

import csv
import functools
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from enum import Enum
from importlib.resources import files


@functools.cache
def rows(name: str, room: str = "areacalc.bath") -> tuple[dict[str, str], ...]:
    """The rows of data/NAME.csv in a room as text under their headings."""
    lines = (files(room) / "data" / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if not line.startswith("# source:")))


def by_kind(name: str, room: str, kinds: Iterable[type[Enum]]) -> dict[Enum, dict[str, str]]:
    """The rows of data/NAME.csv in a room by the kinds that they tell of: members of enums, by the names of both."""
    known = {kind.__name__: kind for kind in kinds}
    return {known[row["kind"]][row["name"]]: row for row in rows(name, room) if row["kind"] in known}


@functools.cache
def columns(name: str) -> dict[str, tuple[float, ...]]:
    """The columns of data/NAME.csv under their headings."""
    lines = rows(name)
    return {heading: tuple(float(row[heading]) for row in lines) for heading in lines[0]}


def segment(value: float, xs: Sequence[float]) -> int:
    """The index of the pair of rising xs that the value lies between; the first or last pair outside them."""
    return min(max(bisect_right(xs, value) - 1, 0), len(xs) - 2)


def between(value: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """The straight line through the two rows about the value.

    >>> between(2.0, (0.0, 4.0, 8.0), (10.0, 20.0, 20.0))
    15.0
    """
    i = segment(value, xs)
    return ys[i] + (ys[i + 1] - ys[i]) * (value - xs[i]) / (xs[i + 1] - xs[i])
