"""Every block of the README and the documentation is run on a copy of the samples; the first of each command afresh."""

import os
import re
import runpy
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from typed import typed

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DOCS = "".join(path.read_text("utf-8") for path in sorted((ROOT / "areacalc" / "docs").glob("*.md")))
BIN = Path(sys.executable).parent


def blocks(language):
    found = re.findall(rf"^## ([^\n]+)|^```{language}\n(.*?)^```", README + DOCS, re.M | re.S)
    heading = ""
    for head, block in found:
        heading = head or heading
        if block and heading != "Set up":
            yield heading, block


COMMANDS = list(dict.fromkeys(line for _, block in blocks("sh") for line in block.splitlines() if line.strip()))
FRESH = {" ".join(line.split()[:2]): line for line in reversed(COMMANDS)}  # the first of each command


@pytest.fixture
def workshop(tmp_path):
    shutil.copytree(ROOT / "sample_models", tmp_path / "sample_models")
    return tmp_path


def run(words, cwd, shell=False):
    path = f"{BIN}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(words, cwd=cwd, shell=shell, capture_output=True, text=True, env={**os.environ, "PATH": path})


def test_the_readme_has_commands():
    assert len(COMMANDS) > 10


@pytest.mark.parametrize("line", COMMANDS)
def test_a_command_runs(line, workshop):
    plain = line.startswith("areacalc ") and not set("|<>*;&$") & set(line)
    again = plain and line not in FRESH.values()
    done = typed(*shlex.split(line)[1:], cwd=workshop) if again else run(line, workshop, shell=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
    assert "fault" not in done.stderr


def test_the_python_blocks_run(workshop):
    for _, block in blocks("python"):
        done = run([sys.executable, "-W", "error", "-c", block], workshop)
        assert done.returncode == 0, done.stderr


def test_the_choices_in_toml_do_what_the_command_does(workshop):
    (_, text) = next(b for b in blocks("toml") if "plug" in b[1])
    assert tomllib.loads(text)
    by_words = next(line for line in COMMANDS if "bores under 5 mm" in line)
    (workshop / "sample_models" / "ring.wet.toml").write_text(text)
    by_file = typed("area", "sample_models/ring.stl", "--unit", "mm", "-q", cwd=workshop)
    (workshop / "sample_models" / "ring.wet.toml").unlink()
    assert by_file.stdout == typed(*shlex.split(by_words)[1:], "-q", cwd=workshop).stdout


def test_the_profile_in_toml_is_a_part_of_the_docs_own_form(tmp_path):
    (_, text) = next(b for b in blocks("toml") if "outside" in b[1])
    (tmp_path / "spacer.toml").write_text(text)
    done = typed("sketch", tmp_path / "spacer.toml")
    assert done.returncode == 0, done.stderr
    assert "spacer: 48 x 19.11 x 19.11 mm" in done.stdout


def test_every_command_stands_in_the_readme():
    listed = re.findall(r"^│ ([a-z][a-z-]+)  ", typed("--help").stdout, re.M)
    assert listed
    assert [name for name in listed if f"areacalc {name}" not in README] == []


def test_the_set_up_takes_two_commands():
    block = re.search(r"^## Set up.*?^```sh\n(.*?)^```", README + DOCS, re.M | re.S)[1]
    assert len(block.strip().splitlines()) == 2


SCREENS = runpy.run_path(str(ROOT / "sample_models" / "make_screens.py"))


@pytest.mark.slow
@pytest.mark.parametrize("name", SCREENS["SCREENS"])
def test_the_picture_of_a_screen_shows_what_the_command_prints(name):
    shown = SCREENS["svg"](SCREENS["screen"](SCREENS["SCREENS"][name]))
    assert (ROOT / "sample_models" / "pictures" / f"{name}.svg").read_text("utf-8") == shown, "make_screens.py"
