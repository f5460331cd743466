"""Loops: what goes in and comes back, and that a kept loop is opened without the compiler, if it is whole."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

LOOPS = """
import numpy as np
from areacalc.compiled import compiled
from constant import FACTOR

@compiled
def scaled(values, by, twice):
    out = np.empty((len(values), 2))
    for i in range(len(values)):
        out[i, 0] = _times(values[i], by) * FACTOR
        out[i, 1] = 2.0 if twice else 1.0
    return out[: len(out) // 2 + 1].copy(), len(out), twice, out[0, 0] / (by - by)

@compiled
def _times(one, by):
    return one * by

@compiled
def fill(out):
    for i in range(len(out)):
        out[i] = i
"""
ASK = """
import sys, numpy as np, loops
given = np.arange(6.0)[::STEP]
array, count, twice, endless = loops.scaled(given, 3, True)
filled = np.zeros(3, np.int32)
nothing = loops.fill(filled)
print(array.tolist(), count, twice, np.isnan(endless), filled.tolist(), nothing, "numba" in sys.modules)
"""


@pytest.fixture
def room(tmp_path: Path) -> Path:
    (tmp_path / "loops.py").write_text(LOOPS)
    (tmp_path / "constant.py").write_text("FACTOR = 10\n")
    return tmp_path


def ask(room: Path, step: int = 1, **environment: str) -> str:
    """What the loops answer in a process of their own."""
    code = ASK.replace("STEP", str(step))
    around = {**os.environ, "PYTHONPATH": os.pathsep.join([str(room), *sys.path]), **environment}
    run = subprocess.run([sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, env=around)
    assert run.returncode == 0, run.stderr
    return run.stdout.strip()


ANSWER = "[[0.0, 2.0], [30.0, 2.0], [60.0, 2.0], [90.0, 2.0]] 6 True True [0, 1, 2] None"


def test_a_kept_loop_answers_the_same_without_the_compiler(room: Path) -> None:
    assert ask(room) == f"{ANSWER} True"
    assert ask(room) == f"{ANSWER} False"


def test_an_array_with_gaps_is_read_as_it_is(room: Path) -> None:
    for _ in range(2):
        assert ask(room, step=2).startswith("[[0.0, 2.0], [60.0, 2.0]] 3 ")


def test_a_changed_source_or_constant_is_compiled_again(room: Path) -> None:
    ask(room)
    (room / "constant.py").write_text("FACTOR = 100\n")
    assert ask(room).startswith("[[0.0, 2.0], [300.0, 2.0]")
    (room / "loops.py").write_text(LOOPS.replace("one * by", "one + by"))
    assert ask(room).startswith("[[300.0, 2.0], [400.0, 2.0]")


@pytest.mark.parametrize("harm", [lambda code: code[:-7], lambda code: b"", lambda code: code[:-1] + b"?"])
def test_a_damaged_file_is_not_opened(room: Path, harm: object) -> None:
    ask(room)
    for kept in room.glob("__pycache__/*.loop"):
        kept.write_bytes(harm(kept.read_bytes()))  # type: ignore[operator]
    assert ask(room) == f"{ANSWER} True"
    assert ask(room) == f"{ANSWER} False"


def test_another_loops_file_is_not_opened(room: Path) -> None:
    ask(room)
    one, two = room.glob("__pycache__/*.loop")
    first = one.read_bytes()
    one.write_bytes(two.read_bytes())
    two.write_bytes(first)
    assert ask(room) == f"{ANSWER} True"
    assert ask(room) == f"{ANSWER} False"


def test_what_cannot_be_written_whole_leaves_nothing(room: Path) -> None:
    (room / "sitecustomize.py").write_text(
        "import os\ndef full(*_): raise OSError(28, 'No space left on device')\nos.replace = full\n"
    )
    assert ask(room, PYTHONDONTWRITEBYTECODE="1") == f"{ANSWER} True"
    assert not list(room.glob("__pycache__/*"))


def test_an_array_in_another_order_of_bytes_is_refused() -> None:
    from areacalc.shape.mesh.measure_loops import normals

    points, corners = np.eye(3), np.array([[0, 1, 2]], np.int32)
    swapped = points.astype(points.dtype.newbyteorder("S"))
    assert normals(points, corners)[1] == pytest.approx(3.0**0.5 / 2.0)
    with pytest.raises(TypeError, match="order of bytes"):
        normals(swapped, corners)


def test_where_nothing_can_be_kept_it_still_answers(room: Path) -> None:
    (room / "__pycache__").write_text("a file where the folder would be")
    blocked = room / "home"
    blocked.write_text("")
    nowhere = room / "passing"
    nowhere.mkdir(mode=0o700)
    (nowhere / f"areacalc-{os.getuid()}").write_text("")
    for _ in range(2):
        assert ask(room, HOME=str(blocked), TMPDIR=str(nowhere)) == f"{ANSWER} True"


def test_where_neither_source_nor_home_can_be_written_a_private_folder_for_passing_things_serves(room: Path) -> None:
    (room / "__pycache__").write_text("a file where the folder would be")
    blocked, passing = room / "home", room / "passing"
    blocked.write_text("")
    passing.mkdir()
    assert ask(room, HOME=str(blocked), TMPDIR=str(passing)) == f"{ANSWER} True"
    assert ask(room, HOME=str(blocked), TMPDIR=str(passing)) == f"{ANSWER} False"
    (own,) = passing.iterdir()
    assert own.stat().st_mode & 0o077 == 0
    own.chmod(0o777)  # another could have put code there
    assert ask(room, HOME=str(blocked), TMPDIR=str(passing)) == f"{ANSWER} True"


def test_code_kept_beside_a_source_that_may_not_be_written_is_opened(room: Path) -> None:
    ask(room)
    for kept in room.glob("__pycache__/*.loop"):
        kept.chmod(0o444)
    (room / "__pycache__").chmod(0o555)
    try:
        assert ask(room) == f"{ANSWER} False"
    finally:
        (room / "__pycache__").chmod(0o755)


@pytest.mark.parametrize("tried", ["", "machine_code._TRIED = ((0, 1), (0, 2))"])
def test_who_has_no_home_and_may_not_write_is_answered(room: Path, tried: str) -> None:
    (room / "sitecustomize.py").write_text(
        "import pathlib\n"
        "from areacalc import machine_code\n"
        "def none(_): raise RuntimeError('Could not determine home directory.')\n"
        "pathlib.Path.home = classmethod(none)\n"
        f"{tried}\n"
    )
    (room / "__pycache__").write_text("a file where the folder would be")
    assert ask(room, HOME=str(room / "constant.py"), TMPDIR=str(room)) == f"{ANSWER} True"


def test_a_version_that_was_not_tried_is_left_to_the_compiler(room: Path) -> None:
    (room / "sitecustomize.py").write_text(
        "from areacalc import machine_code\nmachine_code._TRIED = ((0, 1), (0, 2))\n"
    )
    for _ in range(2):
        assert ask(room) == f"{ANSWER} True"
    assert not list(room.glob("__pycache__/*.loop"))


def test_arrays_given_back_do_not_stay_in_memory(room: Path) -> None:
    code = (
        "import resource, numpy as np, loops\n"
        "given = np.zeros(500_000)\n"
        "def most():\n"
        "    for _ in range(20): loops.scaled(given, 1, False)\n"
        "    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "first = most()\n"
        "for _ in range(5): last = most()\n"
        "print(last / first)\n"
    )
    around = {**os.environ, "PYTHONPATH": os.pathsep.join([str(room), *sys.path])}
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=around, check=True)
    assert float(run.stdout) < 1.2


def test_threads_that_open_a_loop_at_once_share_it(room: Path) -> None:
    code = (
        "import gc, numpy as np, loops\n"
        "from concurrent.futures import ThreadPoolExecutor\n"
        "from threading import Barrier\n"
        "given, start = np.zeros(500_000), Barrier(8)\n"
        "def one(_):\n"
        "    start.wait()\n"
        "    return loops.scaled(given, 1, False)[0]\n"
        "with ThreadPoolExecutor(8) as pool: found = list(pool.map(one, range(8)))\n"
        "print({each.shape for each in found}, len(loops.scaled._opened))\n"
        "del found; gc.collect()\n"
    )
    around = {**os.environ, "PYTHONPATH": os.pathsep.join([str(room), *sys.path])}
    for _ in range(2):
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=around)
        assert (run.returncode, run.stdout) == (0, "{(250001, 2)} 1\n"), run.stderr


def test_arguments_by_name_are_refused() -> None:
    from areacalc.shape.mesh.topology_loops import join

    with pytest.raises(TypeError, match="in order"):
        join(across=np.zeros((1, 3), np.int32))
