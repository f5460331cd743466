"""Files that commands write: never over another unasked, whole or not at all, and known to be written."""

import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from areacalc_cli import write as writing
from typed import BIN, typed

from areacalc.errors import BadInput
from areacalc.whole_file import write_whole

SAMPLES = Path(__file__).parents[2] / "sample_models"
ROD = ("sketch", "0 12, 40 12")
MINE = "the only copy of something"


@pytest.mark.parametrize(
    ("words", "name"),
    [((*ROD, "--export", "x.stl"), "x.stl"), ((*ROD, "--draw", "x.svg"), "x.svg"),
     (("sheet", SAMPLES / "desk-set.toml", "--out", "x.pdf"), "x.pdf"),
     (("draw", SAMPLES / "ring.stl", "--unit", "mm", "--out", "x.png"), "x.png"),
     (("hang", SAMPLES / "ring.stl", "--unit", "mm", "--draw", "x.svg", "--up", "z+"), "x.svg"),
     (("plan", SAMPLES / "desk-set.toml", "--sweep", "temperature = 18 C to 20 C in 2", "--plot", "x.svg"), "x.svg"),
     (("tank", "--area", "1 dm2", "--draw", "x.svg"), "x.svg"), (("init", "x.toml"), "x.toml")],
)  # fmt: skip
def test_no_command_writes_over_a_file_unless_told(tmp_path, words, name):
    (tmp_path / name).write_text(MINE)
    refused = typed(*words, cwd=tmp_path)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr == f"areacalc: {name}: already exists; choose another name, or give --force\n"
    assert (tmp_path / name).read_text() == MINE
    assert "--force" in typed(words[0], "--help", cwd=tmp_path).stdout


def test_a_file_written_over_keeps_its_mode_and_a_link_is_written_through(tmp_path):
    kept, link = tmp_path / "kept.svg", tmp_path / "link.svg"
    kept.write_text(MINE)
    kept.chmod(0o640)
    link.symlink_to("kept.svg")
    assert typed(*ROD, "--draw", "link.svg", "--force", cwd=tmp_path).returncode == 0
    assert link.is_symlink()
    assert kept.read_text().startswith("<svg")
    assert kept.stat().st_mode & 0o777 == 0o640


def test_once_a_file_is_written_the_command_succeeds_though_nobody_hears_it(tmp_path):
    with open("/dev/full", "w") as full:
        done = subprocess.run([BIN, *ROD, "--draw", "x.svg"], cwd=tmp_path, stdout=full, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (0, b"")
    assert (tmp_path / "x.svg").exists()


def test_an_interrupt_waits_until_it_is_known_whether_a_file_is_written():
    with pytest.raises(KeyboardInterrupt), writing.done("x.svg is written"):  # noqa: PT012
        os.kill(os.getpid(), signal.SIGINT)
        still_here = True
    assert still_here
    assert writing.DONE.pop() == "x.svg is written"


def test_what_was_written_is_told_when_a_command_is_stopped(tmp_path):
    words = "import os, signal, sys, areacalc_cli.show as s; from areacalc_cli.main import run\n"
    words += "s.say = lambda _: os.kill(os.getpid(), signal.SIGINT); sys.argv = ['areacalc', 'init', 'x.toml']; run()"
    done = subprocess.run([sys.executable, "-c", words], cwd=tmp_path, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (130, "areacalc: stopped; x.toml is written\n")


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_json_is_valid_on_any_terminal_with_any_file_name(tmp_path, encoding):
    name = os.fsdecode(b"kn\xffopf \xc3\xbc.stl")
    (tmp_path / name).write_bytes((SAMPLES / "ring.stl").read_bytes())
    more = {"env": {**os.environ, "PYTHONIOENCODING": encoding}}
    done = subprocess.run([BIN, "area", name, "--unit", "mm", "--json"], cwd=tmp_path, capture_output=True, **more)
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode("ascii" if encoding != "utf-8" else "utf-8")
    assert json.loads(text)["parts"][0]["name"] == "kn\ufffdopf ü"
    plain = subprocess.run([BIN, "area", name, "--unit", "mm"], cwd=tmp_path, capture_output=True, **more)
    assert (plain.returncode, plain.stderr) == (0, b"")


def test_a_full_disk_leaves_the_file_as_it_was(tmp_path):
    (tmp_path / "x.txt").write_text(MINE)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, hard))
    try:
        with pytest.raises(BadInput, match=r"x\.txt cannot be written: File too large"):
            write_whole(tmp_path / "x.txt", lambda file: file.write(bytes(2000)))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert [(p.name, p.read_text()) for p in tmp_path.iterdir()] == [("x.txt", MINE)]


WRITER = """
import sys
from pathlib import Path
from areacalc.whole_file import write_whole
print("ready", flush=True)
for n in range(10**9):
    write_whole(Path("x.txt"), lambda file: [file.write(str(n % 10).encode() * 40_000) for _ in range(5)])
"""


def kill_writers(folder, kills, seed):
    chance = random.Random(seed)
    for _ in range(kills):
        with subprocess.Popen([sys.executable, "-c", WRITER], cwd=folder, stdout=subprocess.PIPE) as process:
            process.stdout.readline()
            time.sleep(chance.uniform(0.0, 0.03))
            process.kill()
        if (folder / "x.txt").exists():
            text = (folder / "x.txt").read_text()
            assert text == text[0] * 200_000
            (folder / "x.txt").chmod(0o640)


def test_a_killed_write_leaves_the_file_whole_and_is_tidied_by_the_next(tmp_path):
    kill_writers(tmp_path, 4, 1)
    theirs = tmp_path / ".areacalc-notes"
    theirs.write_text(MINE)
    left = tmp_path / f".areacalc-{'0' * 16}"
    left.write_text("half")
    write_whole(tmp_path / "y.txt", lambda file: file.write(b"y"))
    assert {p.name for p in tmp_path.iterdir()} - {"x.txt"} == {".areacalc-notes", "y.txt"}


@pytest.mark.campaign
def test_60_kills_leave_every_file_whole(tmp_path):
    kill_writers(tmp_path, 60, 2)
    write_whole(tmp_path / "y.txt", lambda file: file.write(b"y"))
    assert {p.name for p in tmp_path.iterdir()} == {"x.txt", "y.txt"}
    assert (tmp_path / "x.txt").stat().st_mode & 0o777 == 0o640
