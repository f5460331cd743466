"""What is done with a STEP file behind the fence: its text is checked, then the CAD kernel reads it."""

import gc
import importlib.machinery
import re
import sys
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput
from areacalc.shape.fenced import tell
from areacalc.shape.kinds import Arrays
from areacalc.shape.step.display import stand_in_for_display
from areacalc.shape.step.step_text import read_step_text

_KERNEL = "areacalc.shape.step.step_kernel"
_APT = {"libGL.so.1": "libgl1", "libX11.so.6": "libx11-6", "libexpat.so.1": "libexpat1", "libz.so.1": "zlib1g",
        "libstdc++.so.6": "libstdc++6", "libgcc_s.so.1": "libgcc-s1"}  # fmt: skip


def read_inside(path: Path) -> tuple[tuple[float, ...], dict[str, Any], Arrays]:
    """The length units of the text [mm], and words and arrays as `step_collect.collect` lists them. Raises BadInput."""
    tell("reading")
    units_mm = read_step_text(path)  # before the kernel is loaded, which takes a second
    try:
        load_kernel()
    except ImportError as error:
        raise missing_library(error) from None
    from areacalc.shape.step.step_kernel import read_part

    return (units_mm, *read_part(path))


def load_kernel() -> None:
    """Load the CAD kernel, once; it takes half a second and more. Raises ImportError."""
    if _KERNEL in sys.modules:
        return
    stand_in_for_display()
    gc.disable()  # 200,000 objects come with it, and none of them ever goes
    try:
        importlib.import_module(_KERNEL)
    finally:
        gc.freeze()
        gc.enable()


def missing_library(error: ImportError) -> BadInput:
    """One line for a kernel that cannot be loaded: which system library it lacks, or that it is not installed.

    >>> str(missing_library(ImportError("libGL.so.1: cannot open shared object file: No such file or directory")))
    'STEP: the CAD kernel needs the system library libGL.so.1; on Debian: apt-get install libgl1 libx11-6 libexpat1'
    """
    found = re.search(r"(lib[\w+.-]+\.so[\w.]*)", str(error))
    if found and importlib.machinery.EXTENSION_SUFFIXES[0] not in found[0]:
        others = [
            package for library, package in _APT.items() if library in ("libGL.so.1", "libX11.so.6", "libexpat.so.1")
        ]
        packages = dict.fromkeys([_APT.get(found[1], ""), *others])
        words = " ".join(filter(None, packages))
        return BadInput(
            "STEP", f"the CAD kernel needs the system library {found[1]}", f"on Debian: apt-get install {words}"
        )
    return BadInput("STEP", f"the CAD kernel cannot be loaded ({error})", "pip install cadquery-ocp-novtk")
