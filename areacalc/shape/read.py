"""The one door for files: what a file is, who reads it, and one clear line for what cannot be read."""

import difflib
import math
import pkgutil
import re
import stat
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from areacalc.errors import AreacalcError, BadInput, Passing
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.fence import CLOCK, Bounds, Budget, fault_line, fenced, machine_bytes
from areacalc.shape.file_kind import described, held_in, kind_of
from areacalc.shape.file_unit import unit_notes

LONGEST_MM = 1e8  # a hundred kilometres: past it the arithmetic, not the part, is the question
SHORTEST_MM = 1e-6  # a nanometre: below it areas round to nothing
Reader = Callable[[Path, Unit | None], Body]


@dataclass(frozen=True, slots=True)
class Format:
    """A kind of file: what it may be by content (see file_kind), and who reads it ("module:function").

    bare_bytes: up to this size it is read in this process, since our own reader is linear and counts before it makes
    anything, and a process behind the fence takes a tenth of a second to start; larger files go behind the fence.
    """

    name: str
    kinds: tuple[str, ...]
    reader: str
    bare_bytes: float = 1 << 20


_STL = Format("STL", ("binary STL", "ASCII STL", "binary"), "areacalc.shape.files.read_stl:read", 1 << 23)
_STEP = Format("STEP", ("STEP",), "areacalc.shape.step.read_step:read", math.inf)  # its kernel has a fence of its own
FORMATS = {
    ".stl": _STL,
    ".step": _STEP, ".stp": _STEP, ".p21": _STEP,
    ".3mf": Format("3MF", ("3MF",), "areacalc.shape.files.read_3mf:read"),
    ".obj": Format("OBJ", ("OBJ",), "areacalc.shape.files.read_obj:read"),
    ".ply": Format("PLY", ("PLY",), "areacalc.shape.files.read_ply:read"),
    ".off": Format("OFF", ("OFF",), "areacalc.shape.files.read_off:read"),
    ".glb": Format("GLB", ("GLB",), "areacalc.shape.files.read_gltf:read"),
    ".gltf": Format("glTF", ("glTF",), "areacalc.shape.files.read_gltf:read"),
    ".toml": Format("profile", ("text",), "areacalc.shape.profile.read_profile:read"),
    ".csv": Format("profile", ("text",), "areacalc.shape.profile.read_profile:read"),
    ".dxf": Format("DXF profile", ("DXF",), "areacalc.shape.profile.read_profile:read", 0),
}  # fmt: skip
_POINTS = re.compile(r"\s*-?[\d.]+\s+[\d.]+\s*,")
_PACKED = {"zip", "gzip", "bzip2", "xz", "7-zip"}
_SECONDS, _SECONDS_PER_MB = 10.0, 5.0  # of processor; our readers take under one a megabyte
_MEMORY, _MEMORY_PER_BYTE = 1 << 30, 60  # text of a mesh takes some 20 bytes of memory for one of its own


def read_body(path: Path, unit: Unit | None = None) -> Body:
    """The part in `path`, in mm; `unit` overrules what the file declares.

    Raises BadInput: the file and the place in it, what is wrong, what to do.
    """
    path = Path(path)
    try:
        body = _read(path, _format_of(path), unit)
    except FileNotFoundError:
        beside = [each.name for each in path.parent.iterdir()] if path.parent.is_dir() else []
        near = [f"did you mean '{name}'?" for name in difflib.get_close_matches(path.name, beside, 1, 0.8)]
        if _POINTS.match(str(path)):
            near = ["put a part of points into a file: areacalc sketch POINTS --export part.toml"]
        remedy = (near or ["check the name and the folder"])[0]
        raise Passing(str(path), "there is no such file", remedy) from None
    except PermissionError:
        raise Passing(path.name, "may not be read", "ask for permission to read it, or copy it") from None
    except OSError as error:
        raise Passing(path.name, f"cannot be read ({error.strerror or error})", "copy it to this machine") from None
    except MemoryError:
        raise Passing(path.name, "does not fit in this machine's memory", "export it coarser") from None
    if any("\ud800" <= letter <= "\udfff" for letter in body.source):  # bytes of its name that are no UTF-8
        body = replace(body, name=_printable(body.name), source=_printable(body.source))
    longest_mm, away_mm = max(body.size_mm), float(np.abs(body.vertices[0]).max())
    if longest_mm <= LONGEST_MM < away_mm:
        what = f"lies {away_mm:.3g} mm from the zero point, so far that its shape is lost in rounding"
        raise BadInput(path.name, what, "move it near the zero point and export it again, or check the unit")
    if not SHORTEST_MM <= longest_mm <= LONGEST_MM:
        what = f"is {longest_mm:.3g} mm long, too long for a part"
        raise BadInput(path.name, what, "export it again, or check the unit")
    told = unit_notes(longest_mm, body.facet_area_mm2, body.unit)
    return replace(body, notes=(*body.notes, *told)) if told else body


def _read(path: Path, format: Format, unit: Unit | None) -> Body:
    size = path.stat().st_size
    by_size = format is _STL and kind_of(path) == "binary STL"  # read in blocks, which needs no fence
    if size > format.bare_bytes and not by_size:
        seconds = _SECONDS + _SECONDS_PER_MB * size / 1e6
        budget = Budget(seconds, CLOCK * seconds, min(_MEMORY + _MEMORY_PER_BYTE * size, machine_bytes()))
        body: Body = fenced("areacalc.shape.read:read_bare", (format.reader, path, unit), Bounds(path.name, budget))
        return body
    try:
        return read_bare(format.reader, path, unit)
    except (AreacalcError, OSError, MemoryError):
        raise
    except Exception as fault:
        raise fault_line(path.name, f"{type(fault).__name__}: {fault}") from fault


def read_bare(reader: str, path: Path, unit: Unit | None) -> Body:
    """What "module:function" reads, in this very process. Raises whatever that reader does."""
    read: Reader = pkgutil.resolve_name(reader)  # imports only the reader it needs
    with np.errstate(invalid="ignore", over="ignore"):  # readers look for what is not finite themselves
        return read(path, unit)


def _format_of(path: Path) -> Format:
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise BadInput(str(path), "is a folder, not a file", "give the files in it")
    if not stat.S_ISREG(mode):
        raise BadInput(str(path), "is a pipe or a device, not a file", "save it as a file first")
    suffix = path.suffix.lower()
    expected = FORMATS.get(suffix)
    kind = kind_of(path)
    if kind == "empty":
        raise BadInput(path.name, "is empty", "export the part again")
    if expected is not None and _may_be(expected, kind):
        return expected
    if kind in _PACKED:
        raise _packed(path, kind, expected)
    if kind == "damaged zip" and suffix == ".3mf":
        raise BadInput(path.name, "is a damaged or cut short 3MF (its zip directory cannot be read)", "export it again")
    right = [s for s, each in FORMATS.items() if kind in each.kinds and kind not in ("text", "binary")]
    if expected is None:
        what = f"no '{path.suffix}' file can be read" if path.suffix else "the name has no ending"
        if right:
            raise BadInput(path.name, f"{what}; it is {described(path)}", f"name it {path.stem}{right[0]}")
        what = f"is {described(path)}, which holds no part" if kind not in ("text", "binary") else what
        raise BadInput(path.name, what, f"export as one of {' '.join(FORMATS)}")
    what = f"the name says {expected.name}, but it is {described(path)}"
    raise BadInput(path.name, what, f"name it {path.stem}{right[0]}" if right else "give the file that holds the part")


def _printable(name: str) -> str:
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _packed(path: Path, kind: str, expected: Format | None) -> BadInput:
    """An archive under any name: what it is, what it holds."""
    held = held_in(path) if kind == "zip" else []
    names = ", ".join(held[:3]) + (f" and {len(held) - 3} more" if len(held) > 3 else "")
    what = f"is packed ({kind})" + (f": an archive that holds {names}" if names else "")
    if expected is not None and "3MF" in expected.kinds and kind == "zip":
        return BadInput(path.name, f"{what}, and no 3MF model", "export the part again, or unpack it")
    return BadInput(path.name, what, f"unpack it and give {held[0] if len(held) == 1 else 'the file inside'}")


def _may_be(expected: Format, kind: str) -> bool:
    """Whether a reader should try: the right kind, or for sketches any text that is not plainly something else."""
    return kind in expected.kinds or (expected.kinds == ("text",) and kind in ("OBJ", "text", "UTF-16 text"))
