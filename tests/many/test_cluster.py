"""A real scheduler and three worker processes: the rows of a run at home, also where a worker is lost in the middle."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

pytest.importorskip("distributed")
pytestmark = pytest.mark.slow
BIN = Path(sys.executable).with_name("areacalc")
DASK = [sys.executable, "-m", "dask"]


@pytest.fixture
def started(tmp_path):
    """Processes that end with the test."""
    running = []

    def start(*words, cwd=tmp_path):
        running.append(subprocess.Popen(words, cwd=cwd, stdout=subprocess.PIPE, stderr=subprocess.PIPE))
        return running[-1]

    yield start
    for each in running:
        each.kill()
        each.communicate()


@pytest.fixture
def cluster(tmp_path, started):
    """The scheduler's address, and its three workers, in a folder of their own."""
    note, away = tmp_path / "scheduler.json", tmp_path / "away"
    away.mkdir()
    quiet = ("--no-dashboard", "--host", "127.0.0.1")
    started(*DASK, "scheduler", "--port", "0", *quiet, "--scheduler-file", note)
    workers = [
        started(*DASK, "worker", "--scheduler-file", note, "--nthreads", "1", "--no-nanny", *quiet, cwd=away)
        for _ in range(3)
    ]
    from distributed import Client

    with Client(scheduler_file=str(note), set_as_default=False) as client:
        client.wait_for_workers(3, timeout=60)
        yield client.scheduler.address, workers


def area(cwd, *words):
    return subprocess.run([BIN, "area", *words], cwd=cwd, capture_output=True, text=True)


@pytest.mark.parametrize("send", [(), ("--send",)])
def test_a_worker_is_killed_in_the_middle_and_the_rows_are_those_of_a_run_at_home(
    many, tmp_path, cluster, started, send
):
    address, workers = cluster
    many(300, bad=5)
    words = ("parts", "parts/no-such.stl")
    assert area(tmp_path, *words, "--out", "home.csv").returncode == 2
    run = started(BIN, "area", *words, "--out", "away.csv", "--cluster", address, *send)
    kept = tmp_path / "away.csv.rows"
    while not kept.exists() or kept.stat().st_size < 100_000:
        assert run.poll() is None, run.communicate()
        time.sleep(0.01)
    workers[0].kill()
    said, errors = run.communicate()
    assert run.returncode == 2, errors
    assert "295 parts in away.csv (301 files read, 0 unchanged)" in said.decode()
    assert (tmp_path / "away.csv").read_bytes() == (tmp_path / "home.csv").read_bytes()


def test_no_scheduler_is_one_line_and_nothing_is_written(many, tmp_path):
    many(2)
    done = area(tmp_path, "parts", "--out", "t.csv", "--cluster", "tcp://127.0.0.1:9")
    assert done.returncode == 2
    assert done.stderr.startswith("areacalc: --cluster: no scheduler answers at 'tcp://127.0.0.1:9'; ")
    assert done.stderr.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["parts"]
