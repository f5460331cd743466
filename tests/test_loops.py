"""Every loop answers, compiled, as its plain Python does. (That it is compiled as it stands, conftest.py sees to.)"""

import os
import subprocess
import sys
from importlib.machinery import EXTENSION_SUFFIXES
from pathlib import Path

import pytest
from areacalc_cli import main

from areacalc import loops
from areacalc.shape.fence import fault_line

ROOT = Path(__file__).parent.parent


def test_every_loop_answers_as_its_plain_python_does() -> None:
    run = subprocess.run([sys.executable, ROOT / "tests/loops_both_ways.py"], capture_output=True, text=True, cwd=ROOT)
    assert run.returncode == 0, run.stderr[-3000:]
    assert run.stdout.splitlines()[-1] == "not called: none"


def test_a_fault_where_the_loops_are_older_than_their_sources_tells_how_to_build_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    room = tmp_path / "areacalc" / "shape" / "mesh"
    room.mkdir(parents=True)
    kinds, source, made = (room / f"measure_loops{end}" for end in (".pxd", ".py", EXTENSION_SUFFIXES[0]))
    for number, each in enumerate((kinds, source, made, tmp_path / "setup.py")):
        each.write_text("")
        os.utime(each, (1000 + number, 1000 + number))
    monkeypatch.setattr(loops, "_HERE", tmp_path / "areacalc")
    assert not loops.stale()
    assert "knob.stl" in str(fault_line("knob.stl", "TypeError: no such argument"))
    os.utime(source, (2000, 2000))
    assert loops.stale()
    assert str(fault_line("knob.stl", "TypeError: no such argument")) == f"areacalc: {loops.STALE}"
    assert main._fault(TypeError("no such argument")) == 1
    assert capsys.readouterr().err == f"areacalc: {loops.STALE}\n"
    (tmp_path / "setup.py").unlink()  # installed: the times of its files tell nothing
    assert not loops.stale()
