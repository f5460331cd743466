"""Meshes of the geometry library as bodies, the way an STL brings them: three vertices to every triangle."""

import itertools
import os
import signal
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import settings

from areacalc import loops
from areacalc.shape.body import Body
from areacalc.shape.fence import one_fence
from areacalc.shape.kinds import UnitBasis, UnitHow

# tests start processes by the hundred: what one compiled no other need compile again, whatever the environment says
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

_NUMBER = itertools.count()

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
for each in ("SIGINT", "SIGHUP"):  # in the background, or under nohup, both would be handed down as ignored
    number = getattr(signal, each, None)
    if number is not None and signal.getsignal(number) is signal.SIG_IGN:
        signal.signal(number, signal.default_int_handler if each == "SIGINT" else signal.SIG_DFL)


def pytest_configure(config: pytest.Config) -> None:
    """What sends the page anything at all takes seconds to load, in every worker: only with the slow tests."""
    if "not slow" not in config.option.markexpr:
        config.pluginmanager.import_plugin("schemathesis.pytest.plugin")


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    anything = collection_path.name == "test_page_anything_sent.py"
    return True if anything and not config.pluginmanager.has_plugin("schemathesis.pytest.plugin") else None


def pytest_sessionstart() -> None:
    """Loops that are not compiled, or from older sources, would make the tests take hours or test something else."""
    if not loops.compiled() or loops.stale():
        pytest.exit(loops.STALE, returncode=2)


@pytest.fixture(scope="session")
def logbooks(tmp_path_factory):
    """A folder for the logbooks of tests that have no folder of their own, which most do not need."""
    return tmp_path_factory.mktemp("logbooks")


@pytest.fixture(autouse=True)
def no_logbook_of_the_user(request, monkeypatch, logbooks):
    """Each test has a logbook of its own: in its folder, if it has one."""
    own = "tmp_path" in request.fixturenames
    path = request.getfixturevalue("tmp_path") / "logbook.sqlite" if own else logbooks / f"{next(_NUMBER)}.sqlite"
    monkeypatch.setenv("AREACALC_LOGBOOK", str(path))


@pytest.fixture(scope="session", autouse=True)
def one_kernel():
    """One CAD kernel reads the files of all tests: starting it takes longer than what most of them look at."""
    with one_fence():
        yield


@pytest.fixture(scope="session")
def soup():
    """A body of meshes; solids names one for each, as files do that hold several objects."""

    def made(*meshes, solids=()):
        vertices = np.concatenate([mesh.vertices[mesh.faces].reshape(-1, 3) for mesh in meshes])
        counts = [len(mesh.faces) for mesh in meshes]
        solid_of = np.repeat(np.arange(len(meshes), dtype=np.int32), counts) if solids else np.empty(0, np.int32)
        triangles = np.arange(len(vertices), dtype=np.int32).reshape(-1, 3)
        basis = UnitBasis("mm", UnitHow.GIVEN)
        return Body("part", "part.stl", vertices, triangles, basis, solids=tuple(solids), solid_of_triangle=solid_of)

    return made
