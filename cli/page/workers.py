"""Worker processes: each does one job at a time, says how far it is, and can be killed without harm to the page."""

import asyncio
import contextlib
import multiprocessing
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from areacalc.errors import AreacalcError, BadInput

from .answered import Running
from .hang_jobs import UnderJob, WaysJob, under_result, ways_result
from .jobs import PageShelf, PartJob, PlanJob, Stage, Tell, part_result, plan_result, warm

Job = PartJob | PlanJob | WaysJob | UnderJob
_SPAWN = multiprocessing.get_context("spawn")
_ANY = 2  # jobs of any size at once
_SMALL_BYTES, _SMALL_S = 1_000_000, 20.0  # of what goes beside them
_STOPPED = "{} and was stopped; everything else is as it was"
_COARSER = "export it again, coarser"
_RESULTS: dict[type[Job], Callable[[Any, PageShelf], dict[str, Any]]] = {
    PartJob: part_result, PlanJob: plan_result, WaysJob: ways_result, UnderJob: under_result,
}  # fmt: skip


class Lost(Exception):
    """The process ended before its answer came: killed, or taken down by the file it was given."""


class Worker:
    """One process, started now and kept."""

    def __init__(self) -> None:
        self.pipe, far = _SPAWN.Pipe()
        self.process = _SPAWN.Process(target=work, args=(far,), daemon=True, name="areacalc-worker")
        self.process.start()
        far.close()
        self.seen: set[Path] = set()  # the files it has open
        self.killed = False

    def do(self, job: Job, tell: Tell) -> Any:
        """The job's answer. Raises AreacalcError as the job did, Lost where the process ended."""
        try:
            self.pipe.send(job)
            while True:
                kind, content = self.pipe.recv()
                if kind == "told":
                    tell(content)
                elif kind == "refused":
                    raise content
                elif kind == "fault":
                    raise BadInput(
                        "the part", f"brought areacalc to a fault of its own ({content})", "report it, with the file"
                    )
                else:
                    return content
        except (EOFError, OSError):
            raise Lost from None

    def kill(self) -> None:
        """End it at once."""
        self.killed = True
        with contextlib.suppress(ValueError):
            self.process.kill()


class Pool:
    """A few workers; a job goes to a free one that has its files open, else to any free one.

    Two jobs of any size are done at once, and beside them a small one: what turns out to be long is taken out of that
    place and begun again when its turn comes, so that large parts never hold up small ones.
    """

    def __init__(self) -> None:
        self._free = [Worker() for _ in range(_ANY)]
        self._busy: dict[Worker, _Run] = {}
        self._room = asyncio.Condition()
        self._closed = False

    def running(self) -> list[Running]:
        """What is under way: name, and since how many seconds."""
        now = time.monotonic()
        return [{"name": run.name, "seconds": round(now - run.since_s)} for run in self._busy.values()]

    async def do(self, job: Job, tell: Tell, longest_s: float = 900.0) -> Any:
        """The job's answer; cancelling the wait, or the longest time, kills the process that is at it.

        Raises AreacalcError as the job did; BadInput where the job took its process down or too long.
        """
        small = _is_small(job)
        for may_be_small in (True, False) if small else (False,):
            worker = await self._take(job, may_be_small, tell)
            beside = self._busy[worker].beside
            try:
                return await self._done(worker, job, tell, _SMALL_S if beside else longest_s)
            except TimeoutError:
                if not beside:
                    raise BadInput(job.name, _STOPPED.format("took too long"), _COARSER) from None
            except Lost:
                raise BadInput(job.name, _STOPPED.format("took its worker down"), _COARSER) from None
        raise AssertionError("a job that is not small ends above")

    async def _done(self, worker: Worker, job: Job, tell: Tell, longest_s: float) -> Any:
        """The job's answer from a worker taken for it, which is free again afterwards. Raises TimeoutError, Lost."""
        loop = asyncio.get_running_loop()

        def tell_here(told: Stage | dict[str, Any]) -> None:
            loop.call_soon_threadsafe(tell, told)

        answer = _in_thread(lambda: worker.do(job, tell_here))
        try:
            content = await asyncio.wait_for(asyncio.shield(answer), longest_s)
            worker.seen.update(job.files)
            return content
        except (Lost, TimeoutError, asyncio.CancelledError):
            worker.kill()
            raise
        finally:
            answer.cancel()  # if it is still to come, nobody waits for it
            await self._give(worker)

    async def _take(self, job: Job, small: bool, tell: Tell) -> Worker:
        """A worker for the job, as soon as there is a place for it."""
        async with self._room:
            if self._place(small) is None:
                tell(Stage(f"waiting for {' and '.join(run.name for run in self._busy.values())}"))
            await self._room.wait_for(lambda: self._place(small) is not None)
            beside = self._place(small) == "beside"
            files = set(job.files)
            worker = next((w for w in self._free if files & w.seen), None) or (self._free or [Worker()])[0]
            if worker in self._free:
                self._free.remove(worker)
            self._busy[worker] = _Run(job.name, time.monotonic(), beside)
            return worker

    def _place(self, small: bool) -> str | None:
        """Where a job would go now: to a place for any, to the one beside them, or nowhere yet."""
        beside = sum(run.beside for run in self._busy.values())
        if len(self._busy) - beside < _ANY:
            return "any"
        return "beside" if small and not beside else None

    async def _give(self, worker: Worker) -> None:
        self._busy.pop(worker, None)
        if self._closed:
            return
        if not worker.killed:
            self._free.append(worker)
        elif len(self._free) + len(self._busy) < _ANY:
            self._free.append(Worker())
        async with self._room:
            self._room.notify_all()

    def close(self) -> None:
        """End every worker."""
        self._closed = True
        for worker in (*self._free, *self._busy):
            worker.kill()


@dataclass(frozen=True, slots=True)
class _Run:
    """A job under way: since when, and whether in the place that is kept for small ones."""

    name: str
    since_s: float
    beside: bool


def _is_small(job: Job) -> bool:
    try:
        return isinstance(job, PartJob | PlanJob) and sum(f.stat().st_size for f in job.files) < _SMALL_BYTES
    except OSError:
        return True  # a file that is not there is soon told


def _in_thread(call: Callable[[], Any]) -> asyncio.Future[Any]:
    """Run a call in a thread of its own that does not hold up the end of the program."""
    done: Future[Any] = Future()
    done.set_running_or_notify_cancel()

    def run() -> None:
        try:
            done.set_result(call())
        except BaseException as fault:
            done.set_exception(fault)

    threading.Thread(target=run, daemon=True).start()
    return asyncio.wrap_future(done)


def work(pipe: Connection) -> None:
    """The life of a worker process: a job in, its stages and its answer out, until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    warm()
    shelf = PageShelf(lambda told: pipe.send(("told", told)))
    while True:
        try:
            job = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_outcome(job, shelf))


def _outcome(job: Job, shelf: PageShelf) -> tuple[str, Any]:
    try:
        return "done", _RESULTS[type(job)](job, shelf)
    except AreacalcError as refused:
        return "refused", refused
    except MemoryError:
        return "refused", BadInput("the part", "needs more memory than there is", "export it with a coarser mesh")
    except Exception as fault:
        return "fault", f"{type(fault).__name__}: {fault}"
