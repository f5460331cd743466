"""What is asked of every file alike, and the marks by which a row that was kept is known to hold."""

import hashlib
import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote

from areacalc import __version__
from areacalc.quantity import length_unit
from areacalc.surface.air.hanging import By
from areacalc.surface.choice import SUFFIX, Choices

_BLOCK = 1 << 20
_LONGEST = 1000  # bytes of a name
_URI = re.compile(rb'"uri"\s*:\s*"([^"]{1,%d})"' % _LONGEST)
_NAMES_OTHERS = {".gltf": _URI, ".glb": _URI, ".obj": re.compile(rb"^mtllib\s+(.{1,%d}?)\s*$" % _LONGEST, re.M)}


@dataclass(frozen=True, slots=True)
class Asked:
    """The settings of a run. unit and as_drawn as for `open_part`; said: choices for all parts, the plugs and masks
    where a part has such surface; choices: None takes those in the file beside each part; up, line, by as for
    `Part.hung`. Raises BadInput for a unit that is not known.
    """

    unit: str | None = None
    as_drawn: bool = False
    said: Choices = field(default_factory=Choices)
    choices: Choices | None = None
    up: str | None = None
    line: str | None = None
    by: By | None = None

    def __post_init__(self) -> None:
        if self.unit is not None:
            length_unit(self.unit)

    @property
    def mark(self) -> str:
        """The same for the same settings, version of areacalc and limits of the environment."""
        limits = sorted(each for each in os.environ.items() if each[0].startswith("AREACALC_STEP_"))
        return hashlib.sha256(repr((__version__, limits, self)).encode("utf-8", "backslashreplace")).hexdigest()[:32]


def digest(path: Path) -> str:
    """SHA-256 over a part file and what is read with it: its choices, its materials or points. Empty: not readable."""
    total = hashlib.sha256()
    try:
        for each in [path, *_beside(path)] if path.is_file() else []:
            total.update(b"\0")
            with each.open("rb") as file:
                while block := file.read(_BLOCK):
                    total.update(block)
    except OSError:
        return ""
    return total.hexdigest() if path.is_file() else ""


def stamp(path: Path) -> tuple[tuple[int, int, int] | None, ...]:
    """What changes when somebody writes a part file or its choices; without reading them."""
    return tuple(_stamp(each) for each in (path, path.with_suffix(SUFFIX)))


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def read_with(path: Path) -> list[tuple[str, bytes]]:
    """A part file and what is read with it, by name, the part first. Raises OSError."""
    return [(each.name, each.read_bytes()) for each in (path, *_beside(path))]


def _beside(path: Path) -> list[Path]:
    found = [path.with_suffix(SUFFIX)]
    if names := _NAMES_OTHERS.get(path.suffix.lower()):
        words = [name.decode("utf-8", "replace") for name in _found(names, path)]
        found += [path.parent / Path(unquote(name)).name for name in words if not name.startswith("data:")]
    return [each for each in dict.fromkeys(found) if os.path.isfile(each)]


def _found(names: re.Pattern[bytes], path: Path) -> list[bytes]:
    """What a pattern finds in a file, which is read a block at a time. Raises OSError."""
    found, tail = [], b""
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            text = tail + block
            found += names.findall(text)
            tail = text[-2 * _LONGEST :]
    return found
