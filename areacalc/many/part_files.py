"""Which part files a person means by names, patterns and folders."""

import glob
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from areacalc.errors import BadInput

_BY_NAME = {".toml", ".csv"}  # in a folder these may be anything; a pattern or a name says that they are profiles


def part_files(given: Iterable[str | os.PathLike[str]]) -> list[Path]:
    """The files meant: names as they stand, as often as they are given; what a pattern or a folder holds besides, in
    the order of its names.

    `**` in a pattern goes through all folders below, and a folder stands for the part files in it and below it;
    lathe profiles in TOML or CSV are taken from a folder only by a pattern. Raises BadInput: a pattern or a folder
    that holds no part file.
    """
    found: list[Path] = []
    for one in given:
        each = os.fspath(one)
        if os.path.isdir(each) or (glob.has_magic(each) and not os.path.exists(each)):
            there = set(found)
            found += [path for path in dict.fromkeys(_held(each)) if path not in there]
        else:
            found.append(Path(each))
    return found


def _held(given: str) -> Iterator[Path]:
    """The part files in a folder, or those that a pattern finds."""
    if os.path.isdir(given):
        from areacalc.shape.read import FORMATS

        known = set(FORMATS) - _BY_NAME
        shown = (Path(here) / name for here, names in _walked(given) for name in sorted(names) if name[0] != ".")
        found = [path for path in shown if path.suffix.lower() in known]
        if not found:
            raise BadInput(given, f"no part file is in this folder ({' '.join(sorted(known))})", "name another folder")
        yield from found
    else:
        from areacalc.surface.choice import SUFFIX

        found = [Path(path) for path in sorted(set(_matches(given))) if os.path.isfile(path)]
        found = [path for path in found if not path.name.endswith(SUFFIX)]
        if not found:
            raise BadInput(given, "no file has such a name", "check the pattern and the folder")
        yield from found


def _matches(pattern: str) -> Iterator[str]:
    """What a pattern finds. No link leads `**` on, so that none leads it round and round."""
    parts = Path(pattern).parts
    if "**" not in parts:
        yield from glob.glob(pattern)
        return
    at = parts.index("**")
    rest = parts[at + 1 :] or ("*",)
    for top in glob.glob(os.path.join(*parts[:at])) if at else [""]:
        for here, _ in _walked(top or os.curdir):
            yield from _matches(os.path.join(glob.escape(here if top else here[2:]), *rest))


def _walked(top: str) -> Iterator[tuple[str, list[str]]]:
    """A folder and those below it, in the order of their names, each with the files in it; none that is hidden."""
    for here, folders, names in os.walk(top):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield here, names
