"""The one door to the compiler: a loop that measures better compiled is marked here and cached on disk.

Importing a module that uses it costs the compiler's own import (about 0.4 s), so such loops live in modules of their
own that are imported where they are called.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, TypeVar, cast

import numba

P = ParamSpec("P")
R = TypeVar("R")


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """The function compiled on its first call with each set of argument types, released from the interpreter's lock."""
    return cast(Callable[P, R], numba.njit(cache=True, nogil=True)(function))
