"""The process that the CAD kernel works in, and the parent's side of it: it may crash, hang or eat memory.

The kernel is C++ on files nobody has checked. So it reads in a process of its own, with a limit on time and memory, and
hands back arrays and words through files in a temporary folder; whatever happens there ends as one clear line here.
"""

from __future__ import annotations

import importlib.machinery
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np

from areacalc.errors import BadInput
from areacalc.shape.step.step_arrays import Arrays

SECONDS_VARIABLE = "AREACALC_STEP_SECONDS"
MEMORY_VARIABLE = "AREACALC_STEP_MEMORY_GB"
_SECONDS = 120.0  # for a small file; a slow machine reads some 1 MB a second
_SECONDS_PER_MB = 30.0
_MOST_LIMIT = 1e6  # seconds or GB: chosen, and far beyond any file
_MEMORY_SHARE = 0.75  # of the machine's memory, but at least
_LEAST_MEMORY_GB = 3.0  # of addresses: the kernel itself fills one of them
_APT = {"libGL.so.1": "libgl1", "libX11.so.6": "libx11-6", "libexpat.so.1": "libexpat1", "libz.so.1": "zlib1g",
        "libstdc++.so.6": "libstdc++6", "libgcc_s.so.1": "libgcc-s1"}  # fmt: skip


@contextmanager
def child(path: Path, chord_mm: float | None = None) -> Iterator[Callable[[], tuple[dict[str, Any], Arrays]]]:
    """Start the kernel on `path`, and give the function that waits for what it found: words (a dict) and arrays.

    That function raises BadInput with whatever went wrong there. The process ends with the `with` block.
    """
    seconds = _limit(SECONDS_VARIABLE, _SECONDS + _SECONDS_PER_MB * path.stat().st_size / 1e6)
    with tempfile.TemporaryDirectory(prefix="areacalc-step-") as folder:
        command = [sys.executable, "-m", __spec__.name if __spec__ else __name__, str(path.resolve()), folder]
        if chord_mm is not None:
            command.append(repr(chord_mm))
        with subprocess.Popen(command, cwd=folder, env=_environment(), stdin=subprocess.DEVNULL,
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:  # fmt: skip
            try:
                yield lambda: _answer(path.name, process, Path(folder), seconds)
            finally:
                process.kill()


def _answer(name: str, process: subprocess.Popen[bytes], folder: Path, seconds: float) -> tuple[dict[str, Any], Arrays]:
    try:
        said = process.communicate(timeout=seconds)[1]
    except subprocess.TimeoutExpired:
        what = f"the CAD kernel did not finish within {seconds:.0f} s"
        raise BadInput(name, what, f"export a simpler part, or set {SECONDS_VARIABLE} higher") from None
    answer = folder / "words.json"
    if not answer.is_file():
        raise _died(name, process.returncode, said.decode("utf-8", "replace"))
    words: dict[str, Any] = json.loads(answer.read_text("utf-8"))
    if "refused" in words:
        raise BadInput(*words["refused"])
    with np.load(folder / "arrays.npz", allow_pickle=False) as file:
        return words, {key: file[key] for key in file.files}


def _limit(variable: str, standard: float) -> float:
    text = os.environ.get(variable)
    if text is None:
        return standard
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.0 < value <= _MOST_LIMIT:
        said = f"'{text}' is not a number above zero and up to {_MOST_LIMIT:.0f}"
        raise BadInput(variable, said, "set it to a number, or unset it")
    return value


def _environment() -> dict[str, str]:
    """This process's, with this very package found first."""
    root = str(Path(__file__).resolve().parents[2])
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, [root, os.environ.get("PYTHONPATH", "")]))}


def _died(name: str, code: int, said: str) -> BadInput:
    if "MemoryError" in said or "bad_alloc" in said or "Cannot allocate" in said:
        return BadInput(
            name, "the CAD kernel ran out of memory", f"export a simpler part, or set {MEMORY_VARIABLE} higher"
        )
    cause = f"signal {-code}" if code < 0 else f"exit {code}"
    what = f"the CAD kernel broke down while reading it ({cause}); the file may be damaged"
    return BadInput(name, what, "export the part again, as AP214 or AP242")


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


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # not on every system
        return
    whole = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    allowed = int(_limit(MEMORY_VARIABLE, max(_LEAST_MEMORY_GB, _MEMORY_SHARE * whole / 2**30)) * 2**30)
    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    resource.setrlimit(resource.RLIMIT_AS, (allowed if hard < 0 else min(allowed, hard), hard))
    resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))


def _work(path: Path, folder: Path, chord_mm: float | None) -> None:
    words: dict[str, Any]
    try:
        _limit_memory()
        try:
            from areacalc.shape.step.step_kernel import read_part
        except ImportError as error:
            raise missing_library(error) from None
        words, arrays = read_part(path, chord_mm)
        np.savez(folder / "arrays.npz", **arrays)  # type: ignore[arg-type]
    except BadInput as error:
        words = {"refused": [error.where, error.what, error.remedy]}
    (folder / "half.json").write_text(json.dumps(words), "utf-8")
    os.replace(folder / "half.json", folder / "words.json")


if __name__ == "__main__":
    _work(Path(sys.argv[1]), Path(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else None)
    sys.stdout.flush()
    os._exit(0)  # the kernel's own clearing up can take seconds and has crashed
