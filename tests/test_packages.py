"""The sdist, and the wheel built from it, carry all they need: the README's commands run with each, from elsewhere."""

import os
import re
import shutil
import subprocess
import sys
import tarfile
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
pytestmark = pytest.mark.campaign


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    room = tmp_path_factory.mktemp("packages")
    subprocess.run([sys.executable, "-m", "build", "--outdir", room, ROOT], check=True, capture_output=True)
    return {"sdist": next(room.glob("*.tar.gz")), "wheel": next(room.glob("*.whl"))}


@pytest.fixture(scope="module", params=["sdist", "wheel"])
def installed(
    request: pytest.FixtureRequest, packages: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """Where the commands of an environment stand that has that package and what it draws with."""
    room = tmp_path_factory.mktemp(request.param)
    venv.create(room, with_pip=True)
    bin_ = room / ("Scripts" if os.name == "nt" else "bin")
    subprocess.run([bin_ / "python", "-m", "pip", "install", "-q", f"{packages[request.param]}[pictures]"], check=True)
    return bin_


def test_the_commands_of_the_readme_run(installed: Path, tmp_path: Path) -> None:
    pages = [(ROOT / "README.md").read_text("utf-8").partition("## Your first part")[2]]
    pages += [path.read_text("utf-8") for path in sorted((ROOT / "areacalc/docs").glob("*.md"))]
    lines = dict.fromkeys("".join(re.findall(r"^```sh\n(.*?)^```", "\n".join(pages), re.M | re.S)).splitlines())
    assert len(lines) > 10
    shutil.copytree(ROOT / "sample_models", tmp_path / "sample_models")
    around = {**os.environ, "PATH": f"{installed}{os.pathsep}{os.environ['PATH']}"}
    for line in lines:
        done = subprocess.run(line, shell=True, cwd=tmp_path, capture_output=True, text=True, env=around)
        assert done.returncode == 0, (line, done.stderr)
        assert "compiled" not in done.stderr, done.stderr


def test_the_page_has_its_samples(installed: Path, tmp_path: Path) -> None:
    code = "from areacalc_cli.page.catalogue import sample_folder; print((sample_folder() / 'ring.stl').is_file())"
    run = subprocess.run([installed / "python", "-c", code], cwd=tmp_path, capture_output=True, text=True)
    assert run.stdout.strip() == "True", run.stderr


def test_the_sdist_holds_what_a_checkout_does(packages: dict[str, Path]) -> None:
    with tarfile.open(packages["sdist"]) as sdist:
        held = {name.partition("/")[2] for name in sdist.getnames()}
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert [name for name in tracked.splitlines() if name not in held and not name.startswith(".git")] == []
