"""The one door for files: what a file is, who reads it, and one clear line for what cannot be read."""

from __future__ import annotations

import pkgutil
import stat
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from areacalc.errors import BadInput
from areacalc.quantity import Unit
from areacalc.shape.body import Body
from areacalc.shape.file_kind import described, kind_of
from areacalc.shape.file_unit import assumed_unit_notes
from areacalc.shape.kinds import UnitHow

LONGEST_MM = 1e8  # a hundred kilometres: past it the arithmetic, not the part, is the question
SHORTEST_MM = 1e-6  # a nanometre: below it areas round to nothing
Reader = Callable[[Path, Unit | None], Body]


@dataclass(frozen=True, slots=True)
class Format:
    """A kind of file: what it may be by content (see file_kind), and who reads it ("module:function")."""

    name: str
    kinds: tuple[str, ...]
    reader: str


_STL = Format("STL", ("binary STL", "ASCII STL", "binary"), "areacalc.shape.files.read_stl:read")
_STEP = Format("STEP", ("STEP",), "areacalc.shape.step.read_step:read")
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
    ".dxf": Format("DXF profile", ("DXF",), "areacalc.shape.profile.read_profile:read"),
}  # fmt: skip
_PACKED = {"zip", "gzip", "bzip2", "xz", "7-zip"}


def read_body(path: Path, unit: Unit | None = None) -> Body:
    """The part in `path`, in mm; `unit` overrules what the file declares.

    Raises BadInput: the file and the place in it, what is wrong, what to do.
    """
    path = Path(path)
    try:
        target = _reader_of(path)
        read: Reader = pkgutil.resolve_name(target)  # imports only the reader it needs
        with np.errstate(invalid="ignore", over="ignore"):  # readers look for what is not finite themselves
            body = read(path, unit)
    except FileNotFoundError:
        raise BadInput(str(path), "there is no such file", "check the name and the folder") from None
    except PermissionError:
        raise BadInput(path.name, "may not be read", "ask for permission to read it, or copy it") from None
    except OSError as error:
        raise BadInput(path.name, f"cannot be read ({error.strerror or error})", "copy it to this machine") from None
    except MemoryError:
        raise BadInput(path.name, "does not fit in this machine's memory", "export it coarser") from None
    longest_mm, away_mm = max(body.size_mm), float(np.abs(body.vertices[0]).max())
    if longest_mm <= LONGEST_MM < away_mm:
        raise BadInput(
            path.name, f"lies {away_mm:.3g} mm from the zero point, so far that its shape is lost in rounding",
            "move it near the zero point and export it again, or check the unit",
        )  # fmt: skip
    if not SHORTEST_MM <= longest_mm <= LONGEST_MM:
        raise BadInput(
            path.name, f"is {longest_mm:.3g} mm long, which is no part", "export it again, or check the unit"
        )
    if body.unit.how is not UnitHow.ASSUMED:
        return body
    return replace(body, notes=(*body.notes, *assumed_unit_notes(longest_mm)))


def _reader_of(path: Path) -> str:
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
        return expected.reader
    if kind in _PACKED:
        raise BadInput(path.name, f"is packed ({kind})", "unpack it and give the file inside")
    if kind == "damaged zip" and suffix == ".3mf":
        raise BadInput(path.name, "is a damaged or cut short 3MF (its zip directory cannot be read)", "export it again")
    right = [s for s, each in FORMATS.items() if kind in each.kinds and kind not in ("text", "binary")]
    if expected is None:
        what = f"no reader for '{path.suffix}'" if path.suffix else "the name has no ending"
        if right:
            raise BadInput(path.name, f"{what}; it is {described(path)}", f"name it {path.stem}{right[0]}")
        what = f"is {described(path)}, which holds no part" if kind not in ("text", "binary") else what
        raise BadInput(path.name, what, f"export as one of {' '.join(FORMATS)}")
    what = f"the name says {expected.name}, but it is {described(path)}"
    raise BadInput(path.name, what, f"name it {path.stem}{right[0]}" if right else "give the file that holds the part")


def _may_be(expected: Format, kind: str) -> bool:
    """Whether a reader should try: the right kind, or for sketches any text that is not plainly something else."""
    return kind in expected.kinds or (expected.kinds == ("text",) and kind in ("OBJ", "text", "UTF-16 text"))
