"""Worker processes: each does one job at a time, says how far it is, and can be killed without harm to the page."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from areacalc.errors import AreacalcError, BadInput

from .hang_jobs import UnderJob, WaysJob, under_result, ways_result
from .jobs import PageShelf, PartJob, PlanJob, Tell, part_result, plan_result, warm

Job = PartJob | PlanJob | WaysJob | UnderJob
_SPAWN = multiprocessing.get_context("spawn")


class Lost(Exception):
    """The process ended before its answer came: killed, or taken down by the file it was given."""


class Worker:
    """One process, started now and kept."""

    def __init__(self) -> None:
        self.pipe, far = _SPAWN.Pipe()
        self.process = _SPAWN.Process(target=work, args=(far,), daemon=True, name="areacalc-worker")
        self.process.start()
        far.close()
        self.seen: set[str] = set()  # the files it has open
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
    """A few workers; a job goes to a free one that has its file open, else to any free one."""

    def __init__(self, count: int = 2) -> None:
        self._free = [Worker() for _ in range(count)]
        self._busy: set[Worker] = set()
        self._room = asyncio.Condition()
        self._closed = False

    async def do(self, job: Job, tell: Tell, longest_s: float = 900.0) -> Any:
        """The job's answer; cancelling the wait, or the longest time, kills the process that is at it.

        Raises AreacalcError as the job did; BadInput where the job took its process down or too long.
        """
        file = "" if isinstance(job, PlanJob) else job.file
        worker = await self._take(file)
        loop = asyncio.get_running_loop()

        def tell_here(told: str | dict[str, Any]) -> None:
            loop.call_soon_threadsafe(tell, told)

        answer = _in_thread(lambda: worker.do(job, tell_here))
        try:
            content = await asyncio.wait_for(asyncio.shield(answer), longest_s)
            worker.seen.add(file)
            return content
        except (Lost, TimeoutError) as gone:
            worker.kill()
            took = "took too long" if isinstance(gone, TimeoutError) else "took its worker down"
            raise BadInput(
                "the part", f"{took} and was stopped; everything else is as it was", "export it again, coarser"
            ) from None
        except asyncio.CancelledError:
            worker.kill()
            raise
        finally:
            if not answer.done():
                answer.add_done_callback(lambda f: f.exception())
            await self._give(worker)

    async def _take(self, file: str) -> Worker:
        async with self._room:
            await self._room.wait_for(lambda: bool(self._free))
            worker = next((w for w in self._free if file in w.seen), self._free[0])
            self._free.remove(worker)
            self._busy.add(worker)
            return worker

    async def _give(self, worker: Worker) -> None:
        self._busy.discard(worker)
        if self._closed:
            return
        self._free.append(Worker() if worker.killed else worker)
        async with self._room:
            self._room.notify()

    def close(self) -> None:
        """End every worker."""
        self._closed = True
        for worker in (*self._free, *self._busy):
            worker.kill()


def _in_thread(call: Callable[[], Any]) -> asyncio.Future[Any]:
    """Run a call in a thread of its own that does not hold up the end of the program."""
    loop = asyncio.get_running_loop()
    done: asyncio.Future[Any] = loop.create_future()

    def settle(result: Any, fault: BaseException | None) -> None:
        if done.cancelled():
            return
        if fault is None:
            done.set_result(result)
        else:
            done.set_exception(fault)

    def run() -> None:
        try:
            outcome: tuple[Any, BaseException | None] = (call(), None)
        except BaseException as fault:
            outcome = (None, fault)
        with contextlib.suppress(RuntimeError):  # the page has ended meanwhile
            loop.call_soon_threadsafe(settle, *outcome)

    threading.Thread(target=run, daemon=True).start()
    return done


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
        return "done", _done(job, shelf)
    except AreacalcError as refused:
        return "refused", _named(refused, job) if isinstance(job, PartJob) else refused
    except MemoryError:
        return "refused", BadInput("the part", "needs more memory than there is", "export it with a coarser mesh")
    except Exception as fault:
        return "fault", f"{type(fault).__name__}: {fault}"


def _done(job: Job, shelf: PageShelf) -> Any:
    match job:
        case PartJob():
            return part_result(job, shelf)
        case PlanJob():
            return plan_result(job, shelf)
        case WaysJob():
            return ways_result(job, shelf)
        case UnderJob():
            return under_result(job, shelf)


def _named(refused: AreacalcError, job: PartJob) -> AreacalcError:
    """The same refusal, with the name that the person knows the file by."""
    stored = job.file.rpartition("/")[2]
    return BadInput(*(words.replace(stored, job.name) for words in (refused.where, refused.what, refused.remedy)))
