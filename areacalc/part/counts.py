"""How many of each kind of part there are."""

from __future__ import annotations

from collections.abc import Iterable
from numbers import Integral

from areacalc.errors import BadInput
from areacalc.quantity import MOST_COUNT


def counts_of(count: int | Iterable[int], kinds: int, where: str = "count") -> list[int]:
    """One number a kind of part, from one for all or one for each. Raises BadInput.

    >>> counts_of(6, 2), counts_of([1, 4], 2)
    ([6, 6], [1, 4])
    """
    given = list(count) if isinstance(count, Iterable) and not isinstance(count, str) else [count]
    for number in given:
        if isinstance(number, bool) or not isinstance(number, Integral) or number < 1:
            raise BadInput(where, f"{number!r} is not a whole number from 1", "give how many hang")
        if number > MOST_COUNT:
            raise BadInput(where, f"{number} is more than {MOST_COUNT}, the most that is taken", "give how many hang")
    if len(given) == 1:
        return given * kinds
    if len(given) != kinds:
        raise BadInput(where, f"given {len(given)} times for {kinds} files", "give it once, or once a file")
    return given
