"""STEP on a machine without a display: the kernel's viewer gets stand-ins for the libraries it is linked with."""

import subprocess
import sys
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_models/lamp-knob.step"
WITHOUT = f"""
import ctypes
from pathlib import Path
from areacalc.shape.step.step_inside import read_inside

real = ctypes.CDLL
def bare(name):
    if name in ("libGL.so.1", "libX11.so.6"):
        raise OSError(name)
    return real(name)
ctypes.CDLL = bare
_, body = read_inside(Path({str(SAMPLE)!r}))
loaded = (line.split()[-1] for line in open("/proc/self/maps"))
print(len(body.faces), sorted(file for file in loaded if "libGL." in file or "libX11." in file))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the kernel needs neither")
def test_the_kernel_reads_without_a_displays_libraries() -> None:
    run = subprocess.run([sys.executable, "-W", "ignore", "-c", WITHOUT], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert "areacalc/shape/step/libGL.so.1" in run.stdout
    assert "/lib/x86_64" not in run.stdout
