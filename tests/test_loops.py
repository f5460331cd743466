"""Every loop answers, compiled, as its plain Python does. (That it is compiled as it stands, conftest.py sees to.)"""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_every_loop_answers_as_its_plain_python_does() -> None:
    run = subprocess.run([sys.executable, ROOT / "tests/loops_both_ways.py"], capture_output=True, text=True, cwd=ROOT)
    assert run.returncode == 0, run.stderr[-3000:]
    assert run.stdout.splitlines()[-1] == "not called: none"
