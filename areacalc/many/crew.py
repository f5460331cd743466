"""Workers for many files: each a process that lives on, does one file at a time, and dies only when it must."""

import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import suppress
from pathlib import Path
from typing import Self, TypeVar

from areacalc.errors import AreacalcError, Passing
from areacalc.many.asked import Asked
from areacalc.many.record import Record, refused_record
from areacalc.shape.fence import CLOCK, Bounds, Budget, Fence, machine_bytes

_SECONDS, _SECONDS_PER_MB = 300.0, 60.0  # of processor, beside what the reader behind its own fence may take
_LEAST_BYTES, _SHARE = 2 << 30, 0.75  # of memory: what one worker of several may take
MEASURE = "areacalc.many.record:measure"
T = TypeVar("T")


class Crew:
    """So many workers. A crash, or too much time or memory, costs the one row and gives a new worker."""

    def __init__(self, workers: int) -> None:
        self._bytes = share_of_memory(workers)
        self._threads = ThreadPoolExecutor(workers, "crew")
        self._workers = workers
        self._fences: list[Fence] = []
        self._mine = threading.local()

    def __enter__(self) -> Self:
        return self

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
