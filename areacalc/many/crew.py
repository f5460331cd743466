"""Workers for many files: processes here that live on, one file each at a time, or those of a cluster."""

import itertools
import os
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import AbstractContextManager, suppress
from pathlib import Path
from typing import Any, TypeVar

from areacalc import __version__
from areacalc.errors import AreacalcError, BadInput, Field, Passing
from areacalc.many.asked import Asked, read_with
from areacalc.many.record import Record, measure, refused_record
from areacalc.shape.fence import CLOCK, Bounds, Budget, Fence, machine_bytes

_SECONDS, _SECONDS_PER_MB = 300.0, 60.0  # of processor, beside what the reader behind its own fence may take
_LEAST_BYTES, _SHARE = 2 << 30, 0.75  # of memory: what one worker of several may take
MEASURE = "areacalc.many.record:measure"
T = TypeVar("T")


class Crew(AbstractContextManager["Crew"]):
    """So many workers. A crash, or too much time or memory, costs the one row and gives a new worker."""

    def __init__(self, workers: int) -> None:
        self._bytes = share_of_memory(workers)
        self._threads = ThreadPoolExecutor(workers, "crew")
        self._workers = workers
        self._fences: list[Fence] = []
        self._mine = threading.local()

    def __exit__(self, *_: object) -> None:
        self._threads.shutdown(wait=False, cancel_futures=True)
        for fence in self._fences:
            fence.close()
        self._threads.shutdown()

    def records(self, jobs: Iterable[tuple[Path, str]], asked: Asked) -> Iterator[tuple[Path, str, Record]]:
        """The row of each file (path and digest), in the order in which they are done."""

        def one(job: tuple[Path, str]) -> tuple[Path, str, Record]:
            return *job, self._record(job[0], asked)

        return in_hand(jobs, lambda job: self._threads.submit(one, job), 2 * self._workers)

    def _record(self, path: Path, asked: Asked) -> Record:
        if not hasattr(self._mine, "fence"):
            self._mine.fence = Fence()
            self._fences.append(self._mine.fence)
        return fenced_record(self._mine.fence, path, asked, self._bytes)


def share_of_memory(workers: int) -> int:
    """What one worker of several on a machine may take [bytes]."""
    return max(_LEAST_BYTES, int(_SHARE * machine_bytes() / workers))


def fenced_record(fence: Fence, path: Path, asked: Asked, most_bytes: int) -> Record:
    """The row of one file, measured by the worker behind the fence; whatever happens there, a row."""
    megabytes = 0.0
    with suppress(OSError):
        megabytes = path.stat().st_size / 1e6
    seconds = _SECONDS + _SECONDS_PER_MB * megabytes
    bounds = Bounds(path.name, Budget(seconds, CLOCK * seconds, most_bytes), "the worker")
    try:
        record: Record = fence.call(MEASURE, (path, asked), bounds)
        return record
    except AreacalcError as refused:
        return refused_record(refused)
    except OSError as trouble:
        return refused_record(Passing(path.name, f"cannot be read ({trouble.strerror or trouble})", "try again"))


def in_hand(jobs: Iterable[object], start: Callable[..., Future[T]], most: int) -> Iterator[T]:
    """The results of jobs as they end, with no more than so many begun at once."""
    running: set[Future[T]] = set()
    for job in jobs:
        running.add(start(job))
        if len(running) >= most:
            done, running = wait(running, return_when=FIRST_COMPLETED)
            yield from (each.result() for each in done)
    while running:
        done, running = wait(running, return_when=FIRST_COMPLETED)
        yield from (each.result() for each in done)


_AHEAD = 3  # jobs begun for each thread of the cluster
_AGAIN = 5  # times that a job is begun again
_HERE = threading.local()  # on a worker: the fence of each of its threads
Sent = list[tuple[str, bytes]]


class Cluster(AbstractContextManager["Cluster"]):
    """The workers of a Dask scheduler. The files lie in a folder that all share, or are sent along."""

    def __init__(self, address: str, send: bool = False) -> None:
        try:
            from distributed import Client
        except ImportError:
            raise BadInput(Field.CLUSTER, "needs distributed", "pip install 'areacalc[cluster]'") from None
        self._send = send
        try:
            self._client = Client(address, timeout=10, set_as_default=False)
        except (OSError, ValueError, RuntimeError):
            remedy = "check the address, such as tcp://10.0.0.5:8786, and that the scheduler runs"
            raise BadInput(Field.CLUSTER, f"no scheduler answers at '{address}'", remedy) from None

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def records(self, jobs: Iterable[tuple[Path, str]], asked: Asked) -> Iterator[tuple[Path, str, Record]]:
        """The row of each file (path and digest), in the order in which they are done. Raises BadInput."""
        from distributed import as_completed

        jobs_of: dict[Any, tuple[Path, str]] = {}

        def begin(some: Iterable[tuple[Path, str]]) -> Iterator[Any]:
            for path, digest in some:
                sent = read_with(path) if self._send and digest else []
                where = os.path.abspath(path) if digest else str(path)
                task = self._client.submit(record_there, where, sent, asked, pure=False, retries=_AGAIN)
                jobs_of[task.key] = path, digest
                yield task

        waiting = iter(jobs)
        most = _AHEAD * max(1, sum(self._client.nthreads().values()))
        running = as_completed(begin(itertools.islice(waiting, most)), loop=self._client.loop)
        for task in running:
            path, digest = jobs_of.pop(task.key)
            yield path, digest, self._row_of(task, path)
            running.update(list(begin(itertools.islice(waiting, 1))))

    def _row_of(self, task: Any, path: Path) -> Record:
        from distributed import KilledWorker

        fault = task.exception()
        if isinstance(fault, KilledWorker):
            lost = Passing(path.name, "its workers were lost one after the other", "run the same command again")
            return refused_record(lost)
        if fault is not None:
            what = f"a worker cannot measure ({type(fault).__name__}: {fault})"
            raise BadInput(Field.CLUSTER, what, f"install areacalc {__version__} on every worker")
        answer: tuple[str, Record] = task.result()
        version, record = answer
        if version != __version__:
            raise BadInput(Field.CLUSTER, f"a worker has areacalc {version}", f"install {__version__} on every worker")
        return record


def record_there(path: str, sent: Sent, asked: Asked) -> tuple[str, Record]:
    """On a worker: its version and the row of a file, which lies there or was sent along with what it needs."""
    if not sent:
        return __version__, _fenced(Path(path), asked)
    with tempfile.TemporaryDirectory(prefix="areacalc-") as folder:
        for name, content in sent:
            (Path(folder) / name).write_bytes(content)
        return __version__, _fenced(Path(folder) / sent[0][0], asked)


def _fenced(path: Path, asked: Asked) -> Record:
    from distributed import get_worker

    if not path.is_file():
        return measure(path, asked)  # which says why not
    if not hasattr(_HERE, "fence"):
        _HERE.fence = Fence()
    return fenced_record(_HERE.fence, path, asked, share_of_memory(get_worker().state.nthreads))
