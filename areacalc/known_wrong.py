"""Versions of libraries that give wrong answers without a word: refused where their answer would be used."""

import re
from functools import cache

from areacalc.errors import BadInput

_FIRST_RIGHT = {"manifold3d": ("3.0.2", "unites bodies with faces left out")}
"""By library: the first version that is right, and what an older one does (each was installed and seen to do it)."""


@cache
def refuse_wrong(library: str) -> None:
    """Raise BadInput where the version installed is known to be wrong."""
    from importlib.metadata import version

    here = version(library)
    right, fault = _FIRST_RIGHT[library]
    if _numbers(here) < _numbers(right):
        raise BadInput(f"{library} {here}", fault, f"pip install -U '{library}>={right}'")


def _numbers(version: str) -> list[int]:
    """
    >>> _numbers("3.0.10") > _numbers("3.0.2")
    True
    """
    return [int(each) for each in re.findall(r"\d+", version)]
