"""What is said before loops are compiled for the first time on a machine."""

from __future__ import annotations

from collections.abc import Callable

tellers: list[Callable[[], None]] = []
"""A front end puts here how it tells the person; nothing is said otherwise."""


def tell() -> None:
    """Say it, once in a process."""
    while tellers:
        tellers.pop()()
