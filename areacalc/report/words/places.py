"""How a sentence names a key of the load: as the load file has it, as an option, or as the page shows it."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Literal

_TITLES = {"supply": "Power supply"}
_OF_PARTS = {"up": "which way is up", "liquid_line": "'in the liquid up to'", "hang": "the station Hang",
             "fill": "'fill with a syringe' at Plug and mask"}  # fmt: skip
TypedAt = Literal["load file", "options", "page"]
"""Where a person types what a key says."""
_TYPED: ContextVar[TypedAt] = ContextVar("typed", default="load file")


@contextmanager
def named_as(typed: TypedAt) -> Iterator[None]:
    """Sentences told in here name keys as they are typed there."""
    before = _TYPED.set(typed)
    try:
        yield
    finally:
        _TYPED.reset(before)


def typed_at(place: TypedAt) -> bool:
    """Whether sentences are told to someone who types there."""
    return _TYPED.get() == place


class Keys:
    """Keys in a sentence: `{key:bath.agitation}`, `{key:bath.a+b}`, a whole table `{key:bath}`, one of a part `{key:up}`.

    >>> "Give {0:bath.agitation}; {0:split_tube}; {0:up}.".format(Keys())
    'Give `agitation` under [bath]; [split_tube]; `up`.'
    >>> with named_as("options"):
    ...     "{0:liquid_line}".format(Keys())
    '--liquid-line'
    >>> with named_as("page"):
    ...     "{0:bath.agitation}.".format(Keys()), "{0:up}.".format(Keys())
    ('agitation under Bath at the station Rack and tank.', 'which way is up.')
    """

    def __format__(self, told: str) -> str:
        from areacalc.load.keys import TABLES

        table, dot, keys = told.partition(".")
        whole = table in TABLES and not dot
        names = [] if whole else (keys if dot else table).split("+")
        if typed_at("options"):
            return " and ".join(f"--{name.replace('_', '-')}" for name in names)
        if typed_at("load file"):
            said = " and ".join(f"`{name}`" for name in names)
            return f"[{table}]" if whole else f"{said} under [{table}]" if dot else said
        labels = {key.name: key.called for key in TABLES.get(table, ())}
        said = " and ".join(_OF_PARTS.get(name, labels.get(name, name.replace("_", " "))) for name in names)
        title = _TITLES.get(table, table.capitalize().replace("_", " "))
        if not whole and not dot:
            return said
        return f"{said} under {title} at the station Rack and tank".removeprefix(" under ")
