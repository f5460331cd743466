"""Whether the hot loops stand compiled here, as setup.py leaves them."""

from contextlib import nullcontext
from importlib.machinery import EXTENSION_SUFFIXES
from pathlib import Path

nogil = gil = nullcontext()
"""What `with nogil` is in a loop that is not compiled: nothing. Compiled, other threads run meanwhile."""

_ONE = Path(__file__).parent / "shape/mesh/measure_loops"


def compiled() -> bool:
    """Whether they are compiled; if not they run as plain Python, with the same answers, a hundred times as slowly."""
    return any(_ONE.with_suffix(suffix).exists() for suffix in EXTENSION_SUFFIXES)
