"""The one door to compiled loops: a loop that measures better compiled is marked here, compiled once, kept on disk.

Importing the compiler takes 0.25 s, more than half of what a small part takes in all, so a loop that was compiled once
is opened from its machine code alone (machine_code). The compiler comes in when the code, the processor or the kinds of
the arguments are new, or where machine code cannot be opened so.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from threading import Lock
from types import FunctionType
from typing import Any, Generic, ParamSpec, TypeVar, cast

from numpy import ndarray

from areacalc import first_use

P = ParamSpec("P")
R = TypeVar("R")
_opening = Lock()
_LAID = 0x101  # numpy's flags for without gaps and for beginning on a word


class Loop(Generic[P, R]):
    """A function of arrays and numbers, compiled when first called with each set of argument kinds.

    Arrays are read as they are, numbers as int64, float64 or bool. It runs without the interpreter's lock, divides as
    numpy does, and gives back numbers, arrays of its own, or a tuple of these.
    """

    def __init__(self, function: Callable[P, R]) -> None:
        functools.update_wrapper(self, function)
        self.plain = cast(FunctionType, function)
        self._opened: dict[tuple[object, ...], Callable[..., Any]] = {}

    def __call__(self, *given: P.args, **named: P.kwargs) -> R:
        if named:
            raise TypeError(f"{self.plain.__name__} takes its arguments in order, not by name")
        kinds = tuple([(a.dtype, a.ndim, a.flags.num & _LAID) if isinstance(a, ndarray) else type(a) for a in given])
        run = self._opened.get(kinds)
        if run is None:
            with _opening:  # another thread may have opened it meanwhile
                run = self._opened.get(kinds) or self._open(tuple(map(kind, given)))
                self._opened[kinds] = run
        return cast(R, run(*given))

    def _open(self, kinds: tuple[str, ...]) -> Callable[..., Any]:
        from areacalc import machine_code

        places = machine_code.kept_at(self.plain, self.origins, kinds)
        run = machine_code.opened(places)
        if run is None:
            first_use.tell()
            run = machine_code.made(self.for_compiler, kinds, places)
        return run

    @functools.cached_property
    def _called(self) -> dict[str, Loop[..., Any]]:
        known = self.plain.__globals__
        named = {name: known.get(name) for name in self.plain.__code__.co_names}
        return {name: loop for name, loop in named.items() if isinstance(loop, Loop)}

    @functools.cached_property
    def origins(self) -> frozenset[tuple[str, str]]:
        """What the code is made from: source files, and constants as (name, value), of this loop and those it calls."""
        known = self.plain.__globals__
        constants = {name: known.get(name) for name in self.plain.__code__.co_names}
        own = {(name, repr(value)) for name, value in constants.items() if isinstance(value, int | float | tuple)}
        own.add((self.plain.__code__.co_filename, ""))
        return frozenset(own).union(*(loop.origins for loop in self._called.values()))

    @functools.cached_property
    def _shared(self) -> Any:
        """As the loops that call this one take it: compiled once for all of them."""
        return self.for_compiler(no_cpython_wrapper=True, no_cfunc_wrapper=True)

    def for_compiler(self, **options: bool) -> Any:
        """The same function as the compiler takes it, with the loops it calls."""
        import numba

        called = {name: loop._shared for name, loop in self._called.items()}
        code, known = self.plain.__code__, {**self.plain.__globals__, **called}
        return numba.njit(nogil=True, error_model="numpy", **options)(FunctionType(code, known, self.plain.__name__))


def kind(given: Any) -> str:
    """How a value is handed over: 'float64 2 C' for an array, with A for one that has gaps, or the name of a number."""
    if isinstance(given, ndarray):
        if not given.flags.aligned:
            raise TypeError("an array that does not begin on a word of its own: copy it first")
        if not given.dtype.isnative:
            raise TypeError("an array in another machine's order of bytes: copy it into this one's first")
        return f"{given.dtype} {given.ndim} {'C' if given.flags.c_contiguous else 'A'}"
    if isinstance(given, bool):
        return "bool"
    return "int64" if hasattr(given, "__index__") else "float64"


def compiled(function: Callable[P, R]) -> Loop[P, R]:
    """The function compiled on its first call with each set of argument kinds, released from the interpreter's lock."""
    return Loop(function)
