"""Whether the hot loops stand compiled here, as setup.py leaves them."""

from contextlib import nullcontext
from importlib.machinery import EXTENSION_SUFFIXES
from pathlib import Path

nogil = gil = nullcontext()
"""What `with nogil` is in a loop that is not compiled: nothing. Compiled, other threads run meanwhile."""

STALE = "the compiled loops are not those of the sources; build them again: python setup.py build_ext -i"
_HERE = Path(__file__).parent


def compiled() -> bool:
    """Whether they are compiled; if not they run as plain Python, with the same answers, a hundred times as slowly."""
    return _made(_HERE / "shape/mesh/measure_loops") > 0.0


def stale() -> bool:
    """Whether a checkout has loops that are newer than what was compiled of them. Two milliseconds."""
    if not compiled() or not (_HERE.parent / "setup.py").is_file():  # what is installed was compiled of what it holds
        return False
    return any(
        max(each.stat().st_mtime for each in (kinds, kinds.with_suffix(".py"))) > _made(kinds)
        for kinds in _HERE.rglob("*_loops.pxd")
    )


def _made(loops: Path) -> float:
    """When they were compiled; 0 where they were not."""
    found = [loops.with_suffix(suffix) for suffix in EXTENSION_SUFFIXES]
    return max((each.stat().st_mtime for each in found if each.exists()), default=0.0)
