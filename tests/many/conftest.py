"""A folder of many small part files, some bad, some that crash their worker, and the command that measures them."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

SAMPLES = Path(__file__).parents[2] / "sample_models"
BIN = Path(sys.executable).with_name("areacalc")
CRASHES = """
import os, signal
from areacalc.many.record import measure as sound

def measure(path, asked):
    if "crash" in path.name:
        os.kill(os.getpid(), signal.SIGSEGV)
    return sound(path, asked)
"""
AT_START = """
import sys
if sys.argv and sys.argv[0] != "-c":  # the command itself, not its workers
    import areacalc.many.crew
    areacalc.many.crew.MEASURE = "crashing:measure"
"""
CORNERS = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]], float)
SIDES = ((0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2))


def write_wedge(path, size_mm):
    """A corner of a cube, as text STL; its area is (3 + sqrt 3) / 2 of the size squared."""
    facets = "".join(
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {x} {y} {z}\n" for x, y, z in CORNERS[list(side)] * size_mm)
        + "endloop\nendfacet\n"
        for side in SIDES
    )
    path.write_text(f"solid\n{facets}endsolid\n")


@pytest.fixture
def many(tmp_path):
    """Write so many files, bad and crashing ones among them, spread evenly."""

    def made(count, bad=0, crashing=0):
        folder = tmp_path / "parts"
        folder.mkdir()
        odd = np.linspace(1, count - 2, bad + crashing).astype(int).tolist()
        for number in range(count):
            if number not in odd:
                write_wedge(folder / f"{number:05}.stl", 5 + number / 100)
            elif odd.index(number) < crashing:
                write_wedge(folder / f"{number:05}-crash.stl", 5)
            else:
                (folder / f"{number:05}-bad.stl").write_text("solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2\n")
        return folder

    return made


@pytest.fixture
def command(tmp_path):
    """The command, in whose workers files named `crash` bring down the process."""
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    (hooks / "crashing.py").write_text(CRASHES)
    (hooks / "sitecustomize.py").write_text(AT_START)

    def start(*words):
        return subprocess.Popen(
            [BIN, *words], cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(hooks)}, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip

    return start
