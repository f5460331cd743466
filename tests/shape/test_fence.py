"""The fence: whatever happens behind it ends as a result or one line, and nothing outlives the process that asked."""

import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pytest

from areacalc.errors import BadInput
from areacalc.shape.fence import Bounds, Budget, Fence, fenced, one_fence, watched
from areacalc.shape.fenced import receive, send

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks /proc")
HERE = "fence_calls:"


def bounds(seconds=20.0, clock=60.0, megabytes=1024):
    return Bounds("part.obj", Budget(seconds, clock, megabytes << 20))


@pytest.fixture(autouse=True)
def calls(tmp_path, monkeypatch):
    """Functions to call behind the fence, in a module that the child can import."""
    (tmp_path / "fence_calls.py").write_text(
        "import ctypes, os, signal, sys, time\n"
        "import numpy as np\n"
        "from areacalc.errors import BadInput\n"
        "def add(a, b): return a + b\n"
        "loaded = False\n"
        "def load():\n    global loaded\n    loaded = True\n"
        "def is_loaded(): return loaded\n"
        "def pid(): return os.getpid()\n"
        "def big(): return np.arange(3_000_000.0), 'words'\n"
        "def refuse(): raise BadInput('part.obj, line 7', 'is no face', 'export it again')\n"
        "def fault(): return [][3]\n"
        "def spin():\n    while True: pass\n"
        "def sleep(): time.sleep(600)\n"
        "def eat(): return [bytearray(1 << 24) for _ in range(1 << 20)]\n"
        "from areacalc.shape.fenced import tell\n"
        "def steps():\n    for k in range(3): tell('counting', k, 3); time.sleep(0.25)\n    return 'done'\n"
        "def crash(): os.kill(os.getpid(), signal.SIGSEGV)\n"
        "def swollen_crash():\n    held = bytearray(b'x') * (800 << 20)\n    os.kill(os.getpid(), signal.SIGSEGV)\n"
        "def chatter():\n    print('a library talks' * 9999)\n    os.write(1, b'its C code too')\n    return 'sound'\n"
    )
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    with one_fence():  # of its own, with that module
        yield


def test_results_come_whole_and_errors_as_they_were():
    with Fence() as fence:
        assert fence.call(f"{HERE}add", (2, 3), bounds()) == 5
        numbers, words = fence.call(f"{HERE}big", (), bounds())
        assert (numbers == np.arange(3_000_000.0)).all()
        assert words == "words"
        with pytest.raises(BadInput, match=r"part\.obj, line 7 is no face; export it again"):
            fence.call(f"{HERE}refuse", (), bounds())
        assert fence.call(f"{HERE}chatter", (), bounds()) == "sound"


@pytest.mark.parametrize(("call", "said"), [
    ("fault", r"cannot be read \(IndexError: list index out of range\); the file may be damaged"),
    ("crash", r"the reader broke down while reading it \(signal 11\); the file may be damaged"),
    ("eat", "the reader ran out of memory"),
    ("swollen_crash", "the reader ran out of memory"),
])  # fmt: skip
def test_every_other_end_is_one_line_and_the_next_file_is_read(call, said):
    with Fence() as fence:
        with pytest.raises(BadInput, match=said) as refused:
            fence.call(f"{HERE}{call}", (), bounds())
        assert "\n" not in str(refused.value)
        assert fence.call(f"{HERE}add", (2, 3), bounds()) == 5


@LINUX
def test_a_crash_is_not_put_down_to_the_memory_of_this_process():
    held = bytearray(b"x") * (300 << 20)
    with pytest.raises(BadInput, match=r"broke down while reading it \(signal 11\)"):
        fenced(f"{HERE}crash", (), bounds(megabytes=400))
    assert len(held) == 300 << 20


@pytest.mark.parametrize(("first", "loaded"), [(f"{HERE}load", True), (f"{HERE}fault", False), ("no:such", False)])
def test_what_is_needed_can_be_loaded_before_the_first_call(first, loaded):
    with Fence(first) as fence:
        fence.start()
        assert fence.call(f"{HERE}is_loaded", (), bounds()) is loaded
        assert fence.call(f"{HERE}add", (2, 3), bounds()) == 5


def test_processor_time_and_time_by_the_clock_are_both_limited():
    with pytest.raises(BadInput, match="did not finish within 1 s"):
        fenced(f"{HERE}spin", (), bounds(seconds=1.0))
    began = time.monotonic()
    with pytest.raises(BadInput, match="did not finish within 0 s"):
        fenced(f"{HERE}sleep", (), bounds(clock=0.3))
    assert time.monotonic() - began < 30


def test_how_far_a_long_call_is_can_be_watched():
    told = []
    with watched(lambda *words: told.append(words)):
        assert fenced(f"{HERE}steps", (), bounds()) == "done"
    assert told[0] == ("part.obj", "counting", 0, 3)
    assert [words[2] for words in told[:3]] == [0, 1, 2]
    assert told[3:] == [("part.obj", "", 0, 0)]


def test_one_process_serves_many_files_and_its_time_is_counted_for_each():
    with one_fence():
        first = fenced(f"{HERE}pid", (), bounds(seconds=1.0))
        assert fenced(f"{HERE}pid", (), bounds(seconds=1.0)) == first
    assert fenced(f"{HERE}pid", (), bounds()) != first


@LINUX
@pytest.mark.parametrize("end", [signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
def test_what_runs_behind_the_fence_ends_with_its_parent_and_leaves_nothing(tmp_path, monkeypatch, end):
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setenv("TMPDIR", str(folder))
    script = (
        "from areacalc.shape.fence import Bounds, Budget, Fence\nfence = Fence()\n"
        "budget = Budget(100, 100, 1 << 30)\n"
        f"print(fence.call('{HERE}pid', (), Bounds('a', budget)), flush=True)\n"
        f"fence.call('{HERE}sleep', (), Bounds('a', budget))\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True) as parent:
        assert parent.stdout is not None
        child = int(parent.stdout.readline())
        time.sleep(0.2)
        assert alive(child)
        parent.send_signal(end)
        parent.wait(20)
    for _ in range(100):
        if not alive(child):
            break
        time.sleep(0.05)
    assert not alive(child)
    assert os.listdir(folder) == []


def alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_what_is_no_message_is_an_end(tmp_path):
    path = tmp_path / "pipe"
    for content in (b"", b"areacalc", b"x" * 100, b"areacalc" + b"\xff" * 16, b"areacalc" + bytes(16) + b"junk"):
        path.write_bytes(content)
        with path.open("rb") as file, pytest.raises(EOFError):
            receive(file)
    with path.open("wb") as file:
        send(file, {"rows": np.eye(3)})
    with path.open("rb") as file:
        assert (receive(file)["rows"] == np.eye(3)).all()


@LINUX
def test_no_folder_need_be_writable(monkeypatch):
    def none_is():
        raise FileNotFoundError("No usable temporary directory found")

    monkeypatch.setattr(tempfile, "gettempdir", none_is)
    monkeypatch.setattr(tempfile, "tempdir", None)
    monkeypatch.setattr(tempfile, "_get_default_tempdir", none_is)
    with Fence() as fence:
        assert fence.call(f"{HERE}pid", (), bounds()) != os.getpid()
