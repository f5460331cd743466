"""What is done with a STEP file behind the fence: its text is checked, then the CAD kernel reads it."""

import ctypes
import gc
import importlib.machinery
import re
import sys
from contextlib import suppress
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.shape.body import Body
from areacalc.shape.fenced import tell
from areacalc.shape.step.step_text import read_step_text

_KERNEL = "areacalc.shape.step.step_kernel"
_DISPLAY = ("libGL.so.1", "libX11.so.6")
_APT = {"libGL.so.1": "libgl1", "libX11.so.6": "libx11-6", "libexpat.so.1": "libexpat1", "libz.so.1": "zlib1g",
        "libstdc++.so.6": "libstdc++6", "libgcc_s.so.1": "libgcc-s1"}  # fmt: skip


def read_inside(path: Path) -> tuple[tuple[float, ...], Body]:
    """The length units of the text [mm], and the body, in mm of these. Raises BadInput."""
    tell("reading")
    units_mm = read_step_text(path)  # before the kernel is loaded, which takes a second
    try:
        load_kernel()
    except ImportError as error:
        raise missing_library(error) from None
    from areacalc.shape.step.step_kernel import read_part

    return units_mm, read_part(path)


def load_kernel() -> None:
    """Load the CAD kernel, once; it takes half a second and more. Raises ImportError."""
    if _KERNEL in sys.modules:
        return
    _stand_in_for_display()
    gc.disable()  # 200,000 objects come with it, and none of them ever goes
    try:
        importlib.import_module(_KERNEL)
    finally:
        gc.freeze()
        gc.enable()


def _stand_in_for_display() -> None:
    """Load a stand-in for each library of the kernel's viewer that this machine lacks.

    The kernel is linked with its viewer, and the viewer with these; it is never opened here, so they need only exist.
    The loader takes a library that is loaded already under the name that is asked for.
    """
    for library in _DISPLAY:
        try:
            ctypes.CDLL(library)
        except OSError:
            with suppress(OSError):  # not compiled here: the kernel then says what it lacks
                ctypes.CDLL(str(Path(__file__).with_name(library)))


def missing_library(error: ImportError) -> BadInput:
    """One line for a kernel that cannot be loaded: which system library it lacks, or that it is not installed.

    >>> str(missing_library(ImportError("libGL.so.1: cannot open shared object file: No such file or directory")))
    'STEP: the CAD kernel needs the system library libGL.so.1; on Debian: apt-get install libgl1 libx11-6 libexpat1'
    """
    found = re.search(r"(lib[\w+.-]+\.so[\w.]*)", str(error))
    if found and importlib.machinery.EXTENSION_SUFFIXES[0] not in found[0]:
        packages = dict.fromkeys([_APT.get(found[1], ""), *(_APT[library] for library in (*_DISPLAY, "libexpat.so.1"))])
        words = " ".join(filter(None, packages))
        return BadInput(
            "STEP", f"the CAD kernel needs the system library {found[1]}", f"on Debian: apt-get install {words}"
        )
    return BadInput("STEP", f"the CAD kernel cannot be loaded ({error})", "pip install cadquery-ocp-novtk")
