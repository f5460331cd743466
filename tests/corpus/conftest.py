"""Packages of the registries that hold CAD files: fetched by their ordinary clients, unpacked, none of it kept here."""

import csv
import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def table(name: str) -> list[dict[str, str]]:
    """The rows of a small table beside this file."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


def fetch_npm(package: str, version: str, folder: Path) -> None:
    """Unpack a package of npm into `folder`."""
    run("npm", "pack", "--silent", f"{package}@{version}", at=folder)
    unpack_tar(next(folder.glob("*.tgz")), folder)


def fetch_pypi(package: str, version: str, folder: Path) -> None:
    """Unpack a wheel of PyPI into `folder`."""
    run(sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:", "--dest", ".",
        f"{package}=={version}", at=folder)  # fmt: skip
    with zipfile.ZipFile(next(folder.glob("*.whl"))) as wheel:
        wheel.extractall(folder)


def fetch_debian(package: str, version: str, folder: Path) -> None:
    """Unpack a package of Debian into `folder`, with package lists of its own, so that nothing needs root."""
    for name in ("lists/partial", "archives/partial"):
        (folder / name).mkdir(parents=True)
    own = ("-o", f"Dir::State::Lists={folder}/lists", "-o", f"Dir::Cache={folder}", "-q")
    run("apt-get", *own, "update", at=folder)
    run("apt-get", *own, "download", f"{package}={version}", at=folder)
    run("dpkg-deb", "--extract", str(next(folder.glob("*.deb"))), ".", at=folder)


FETCH = {"npm": fetch_npm, "pypi": fetch_pypi, "debian": fetch_debian}


def run(*command: str, at: Path) -> None:
    """Run a package client; skip the test where there is no such client, no network or no such version."""
    if shutil.which(command[0]) is None:
        pytest.skip(f"{command[0]} is not on this machine")
    done = subprocess.run(command, cwd=at, capture_output=True, text=True, timeout=300, check=False)
    if done.returncode:
        last = (done.stderr.strip() or done.stdout.strip() or "no word").splitlines()[-1]
        pytest.skip(f"{command[0]} could not fetch the package: {last}")


def unpack_tar(archive: Path, folder: Path) -> None:
    with tarfile.open(archive) as tar:
        tar.extractall(folder, filter="data")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """`row`: every row of the list of files."""
    if "row" in metafunc.fixturenames:
        metafunc.parametrize("row", table("files.tsv"), ids=lambda row: f"{row['package']}:{Path(row['path']).name}")


@pytest.fixture(scope="session")
def every_row() -> list[dict[str, str]]:
    return table("files.tsv")


@pytest.fixture(scope="session")
def package_folder(request: pytest.FixtureRequest) -> Callable[[str], Path]:
    """The folder of an unpacked package, fetched once and kept in pytest's cache (or where AREACALC_CORPUS says)."""
    own = os.environ.get("AREACALC_CORPUS")
    cache = Path(own) if own else Path(request.config.cache.mkdir("corpus"))  # type: ignore[union-attr]
    known = {row["package"]: row for row in table("packages.tsv")}
    failed: dict[str, str] = {}

    def folder(package: str) -> Path:
        row = known[package]
        ready = cache / f"{package}-{row['version'].replace('~', '-')}"
        if package in failed:
            pytest.skip(failed[package])
        if not ready.is_dir():
            half = cache / f"{ready.name}.half"
            shutil.rmtree(half, ignore_errors=True)
            half.mkdir(parents=True)
            try:
                FETCH[row["kind"]](package, row["version"], half)
            except pytest.skip.Exception as reason:
                failed[package] = str(reason)
                raise
            half.rename(ready)
        return ready

    return folder
